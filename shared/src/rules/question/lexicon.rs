//! The ordinary words of questions about rules, as data. All are plain: lower case, no apostrophes, in the singular.

/// Words with which a question begins that wants a yes or a no.
pub(super) const ASKING: &[&str] = &[
    "do", "doe", "does", "did", "can", "could", "is", "are", "wa", "was", "were", "will", "would", "should", "shall",
    "may", "might", "must", "ha", "has", "have", "had", "am", "doesnt", "dont", "isnt", "arent", "cant", "wont",
    "couldnt", "wouldnt", "shouldnt", "hasnt", "havent", "didnt", "wasnt", "werent", "aint",
];
/// Words that may stand before them, or before a question word.
pub(super) const LEADING: &[&str] = &[
    "so", "but", "and", "or", "hey", "hi", "hello", "please", "wait", "ok", "okay", "hang", "on", "well", "then",
    "rule", "hmm", "mate", "sorry", "right", "also", "now", "er", "um", "lol", "no", "nah", "yes", "quick", "question",
    "look", "anyone", "just", "oh", "ah", "if", "say", "honestly", "actually", "again", "about", "still", "even",
];
/// Words that ask for something other than a yes or a no.
pub(super) const WHICH: &[&str] = &[
    "what", "which", "who", "whom", "whose", "why", "how", "when", "where", "explain", "tell", "show", "describe",
    "read", "list",
];
/// Ends and asides that ask for a yes.
pub(super) const TAGS: &[&str] = &[
    "right", "yeah", "yea", "yep", "ye", "yes", "correct", "no", "eh", "innit", "true", "allowed", "legal", "ok",
    "okay", "possible",
];
/// Words that ask for a yes or a no wherever they stand.
pub(super) const SURELY: &[&str] = &["surely", "whether", "certainly", "allowed", "permitted", "legal"];

/// Words that deny what follows.
pub(super) const NOT: &[&str] = &[
    "not", "no", "without", "isnt", "arent", "hasnt", "havent", "hadnt", "didnt", "dont", "doesnt", "never", "wasnt",
    "werent", "aint", "cant", "wont", "nor", "neither",
];
/// Words that may stand between a `not` and what it denies, or before a name.
pub(super) const SMALL: &[&str] = &[
    "a",
    "an",
    "any",
    "the",
    "from",
    "at",
    "in",
    "is",
    "it",
    "its",
    "behind",
    "being",
    "be",
    "been",
    "have",
    "ha",
    "has",
    "had",
    "my",
    "his",
    "her",
    "their",
    "our",
    "your",
    "much",
    "really",
    "actually",
    "yet",
    "itself",
    "themselve",
    "himself",
    "of",
    "to",
    "on",
];
/// Words between what says the part that a unit plays and its name.
pub(super) const ARTICLES: &[&str] = &[
    "a", "an", "any", "the", "my", "his", "hi", "her", "their", "our", "your", "some", "that", "this", "it", "its",
    "other",
];
/// Words that stand in the middle of a name of the table: `set itself up`.
pub(super) const WITHIN_NAMES: &[&str] =
    &["itself", "themselve", "themselves", "himself", "herself", "it", "them", "him", "her"];

/// The attacker moved.
pub(super) const MOVED: &[&str] = &[
    "moved",
    "moving",
    "move",
    "movement",
    "advanced",
    "advancing",
    "ran",
    "punted",
    "poled",
    "rowed",
    "sailed",
    "shifted",
    "repositioned",
    "budged",
    "running",
    "drove",
    "driving",
    "walked",
    "walking",
    "marched",
    "rode",
    "riding",
    "charged",
    "charging",
    "rushed",
    "rushing",
    "galloped",
    "galloping",
    "speed",
];
/// The attacker did not move.
pub(super) const STILL: &[&str] = &["stationary", "immobile", "motionle", "motionless"];
/// Verbs with `still` that mean the same: `stood still`.
pub(super) const STOOD: &[&str] = &[
    "stood", "stand", "standing", "sat", "sit", "sitting", "stay", "stayed", "staying", "kept", "keep", "remain",
    "remained", "holding", "held", "hold", "parked",
];

/// Further than what follows.
pub(super) const BEYOND: &[&str] = &["beyond", "outside", "past", "over", "further", "farther", "more"];
/// No further than what follows.
pub(super) const WITHIN: &[&str] = &["within", "inside", "under", "closer", "nearer", "le", "less", "upto"];

/// Whatever comes after these is the other side.
pub(super) const AGAINST: &[&str] = &["against", "v", "vs", "versu", "versus", "off", "facing"];
/// Who acts, in the passive voice: `shot at by rifles`.
pub(super) const BY: &[&str] = &["by", "from"];
/// Words after which a unit stands near another.
pub(super) const NEAR: &[&str] = &[
    "near",
    "nearby",
    "beside",
    "alongside",
    "next",
    "close",
    "by",
    "around",
    "accompanying",
    "adjacent",
    "among",
    "with",
];
/// Words after which stands whoever gains or is touched by a rule.
pub(super) const ON_WHOM: &[&str] =
    &["for", "on", "to", "affect", "affects", "hit", "bother", "help", "benefit", "touch", "hurt", "give"];

/// Claims that something is so in all cases.
pub(super) const ALWAYS: &[&str] =
    &["always", "every", "everytime", "whenever", "everybody", "everyone", "everything", "each", "all"];

/// What makes it better for whoever rolls.
pub(super) const BETTER: &[&str] = &[
    "better",
    "easier",
    "improve",
    "improves",
    "bonu",
    "bonus",
    "plu",
    "plus",
    "boost",
    "help",
    "helps",
    "benefit",
    "gain",
    "gains",
    "protect",
    "stronger",
    "straight",
    "straighter",
    "good",
];
/// What makes it worse for whoever rolls.
pub(super) const WORSE: &[&str] = &[
    "worse", "harder", "penalty", "mess", "spoil", "hurt", "hurts", "hinder", "hamper", "suffer", "minu", "minus",
    "bother", "ruin", "bad", "badly", "throw", "weaker", "drawback", "wreck", "affect", "reduce", "lower",
];
/// What takes a roll away, or is too much for it.
pub(super) const DEFEATS: &[&str] = &[
    "stop",
    "stops",
    "block",
    "cancel",
    "cancels",
    "ignore",
    "ignores",
    "bypas",
    "bypass",
    "through",
    "thru",
    "round",
    "around",
    "past",
    "deny",
    "denies",
    "negate",
    "negates",
    "remove",
    "prevent",
    "beat",
    "beats",
    "skip",
    "forbid",
    "lose",
    "loses",
    "lost",
    "useless",
    "worthless",
    "pointless",
    "futile",
];
/// What is done with a weapon.
pub(super) const USES: &[&str] = &[
    "use",
    "used",
    "using",
    "fire",
    "fired",
    "firing",
    "shoot",
    "shooting",
    "shot",
    "discharge",
    "discharged",
    "swing",
    "throw",
    "thrown",
    "attack",
    "attacked",
    "strike",
    "fight",
    "allowed",
    "usable",
    "loose",
    "loosed",
    "launch",
    "lob",
    "work",
    "working",
];
/// What people say of those who may run.
pub(super) const FEAR: &[&str] = &[
    "scared",
    "frightened",
    "frighten",
    "panic",
    "panicking",
    "flee",
    "fleeing",
    "rout",
    "routing",
    "waver",
    "bolting",
];
/// All that shoots.
pub(super) const GUNS: &[&str] = &["gun", "firearm", "shooter"];

/// A body of people.
pub(super) const SOLDIERS: &[&str] =
    &["soldier", "men", "man", "infantry", "people", "troop", "folk", "person", "bloke", "lad", "foot"];
/// Hulls.
pub(super) const ARMOUR: &[&str] = &["armour", "armoured", "armor", "armored", "vehicle", "hull", "tank", "machine"];

/// Short words that name a place only where they stand so: after one of these.
pub(super) const BEFORE_PLACE: &[&str] =
    &["from", "in", "at", "the", "it", "its", "his", "my", "their", "her", "on", "up", "into", "direct", "directly"];

/// Words for the rolls of an attack that any pack has.
pub(super) const TO_HIT: &[&str] =
    &["aim", "accuracy", "shoot", "shooting", "shot", "hit", "fire", "firing", "aiming", "marksmanship"];
/// Words for mending.
pub(super) const MENDS: &[&str] = &[
    "mend",
    "mending",
    "repair",
    "repairing",
    "heal",
    "healing",
    "fix",
    "fixing",
    "restore",
    "patch",
    "bail",
    "recover",
];

/// Numbers in words.
pub(super) const NUMBERS: &[(&str, u32)] = &[
    ("two", 2),
    ("three", 3),
    ("four", 4),
    ("five", 5),
    ("six", 6),
    ("seven", 7),
    ("eight", 8),
    ("nine", 9),
    ("ten", 10),
    ("eleven", 11),
    ("twelve", 12),
    ("thirteen", 13),
    ("fourteen", 14),
    ("fifteen", 15),
    ("sixteen", 16),
    ("eighteen", 18),
    ("twenty", 20),
    ("thirty", 30),
    ("forty", 40),
    ("dozen", 12),
    ("sixe", 6),
    ("fours", 4),
    ("nines", 9),
];
/// What counts models: `ten of them`, `9 men`.
pub(super) const BODIES: &[&str] =
    &["of", "model", "body", "men", "man", "people", "bloke", "lad", "strong", "soldier", "u", "us", "left"];
/// What a number is of that is neither a face nor a count of models.
pub(super) const AMOUNTS: &[&str] = &[
    "hit", "dice", "die", "shot", "attack", "more", "le", "less", "off", "point", "pt", "wound", "turn", "try", "time",
    "success", "spar", "rib", "damage", "roll", "better", "worse", "inche", "inch",
];

/// Words of the lists above that no slip of a name is read from.
pub(super) fn is_ordinary(word: &str) -> bool {
    let lists: [&[&str]; 16] = [
        ASKING, LEADING, WHICH, TAGS, SURELY, NOT, MOVED, STILL, STOOD, BEYOND, WITHIN, ALWAYS, BETTER, WORSE, DEFEATS,
        USES,
    ];
    lists.iter().any(|list| is_in(list, word))
        || [TO_HIT, MENDS, BODIES, AMOUNTS, SOLDIERS, ARMOUR].iter().any(|list| is_in(list, word))
}

/// Whether a plain word stands in a list; lists hold ordinary spellings, plain words have lost an `s`.
pub(super) fn is_in(list: &[&str], word: &str) -> bool {
    list.contains(&word) || (word.len() > 2 && list.iter().any(|other| other.strip_suffix('s') == Some(word)))
}
