//! Who attacks whom, by prepositions, verbs and voice.
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::names::Sort;
use super::sides::{Side, Whose};

/// The roles of the units of a message, as places in the list of sides.
#[derive(Clone, Debug, Default)]
pub struct Roles {
    /// Who attacks.
    pub attackers: Vec<usize>,
    /// Who is attacked.
    pub targets: Vec<usize>,
    /// Whether something in the sentence says so.
    pub sure: bool,
}

/// Finds the roles.
pub fn roles(message: &ParsedMessage<'_>, sides: &[Side], used: &mut [bool]) -> Roles {
    let all: Vec<usize> = (0..sides.len()).filter(|at| !sides[*at].helper).collect();
    if let Some(roles) = labelled(message, sides, &all) {
        return roles;
    }
    match all.as_slice() {
        [] => Roles::default(),
        [one] => alone(message, sides, *one),
        [first, second] => {
            let (turned, sure) = turned(message, &sides[*first], &sides[*second], used);
            if turned {
                Roles { attackers: vec![*second], targets: vec![*first], sure }
            } else {
                Roles { attackers: vec![*first], targets: vec![*second], sure }
            }
        }
        several => many(message, sides, several),
    }
}

/// Words that stand right before the target.
fn is_towards(message: &ParsedMessage<'_>, at: usize) -> bool {
    message.is(at, Class::Vs) || message.any(at, &["on", "into", "at", "onto", "to", "upon"])
}

/// The word right before a side, over articles and arcs: `from the rear of a heron`.
fn lead(message: &ParsedMessage<'_>, side: &Side) -> Option<usize> {
    (0..side.start).rev().find(|&at| {
        !message.any(at, &["a", "an", "the", "my", "his", "her", "their", "our", "your", "of", "some", "that", "this"])
    })
}

fn alone(message: &ParsedMessage<'_>, sides: &[Side], one: usize) -> Roles {
    let side = &sides[one];
    let attack = |at: usize| message.is(at, Class::Attack) || message.is(at, Class::Charged);
    let led = lead(message, side);
    let towards = led.is_some_and(|at| is_towards(message, at) || attack(at));
    let attacked = (0..side.start).any(|at| attack(at) || message.is(at, Class::Vs));
    let behind = (side.end()..message.tokens.len()).any(attack);
    let with = led.is_some_and(|at| message.any(at, &["with", "w", "by", "using", "from"]));
    let suffers = suffers(message, side);
    let target = suffers || towards || attacked && !with || (!behind && side.count.is_none() && !with);
    if target {
        Roles { attackers: Vec::new(), targets: vec![one], sure: towards || attacked || suffers }
    } else {
        Roles { attackers: vec![one], targets: Vec::new(), sure: behind || with }
    }
}

/// Whether a side does what whoever is attacked does: `survive`, `lose`, `die`, `gets shot`.
fn suffers(message: &ParsedMessage<'_>, side: &Side) -> bool {
    let near = side.end()..(side.end() + 4).min(message.tokens.len());
    let after = near.clone().any(|at| {
        message.is(at, Class::Suffer)
            && !message.is(at, Class::Kill)
            && (side.end()..at).all(|at| message.is(at, Class::Small))
    });
    let passive = near.clone().any(|at| {
        message.any(at, &["gets", "get", "getting", "gettin", "got", "is", "are", "being", "been", "be", "was"])
            && (at + 1..at + 3).any(|at| is_participle(message, at))
            && (side.end()..at).all(|at| !message.is(at, Class::Attack))
    });
    after || passive
}

/// `shot`, `rammed`, `hit`: what a passive ends with.
fn is_participle(message: &ParsedMessage<'_>, at: usize) -> bool {
    let word = message.word(at);
    let attack = message.is(at, Class::Attack) || message.is(at, Class::Charged) || message.is(at, Class::Contact);
    attack
        && (word.ends_with("ed")
            || ["shot", "hit", "hurt", "struck", "sunk", "blown", "torn", "beaten", "cut", "slain", "broken", "burnt"]
                .contains(&word))
}

/// Whether the second of two units attacks the first, and whether something says who does.
fn turned(message: &ParsedMessage<'_>, first: &Side, second: &Side, used: &mut [bool]) -> (bool, bool) {
    let between = first.end()..second.start;
    if let Some(turned) = by_pronoun(message, first, second) {
        return (turned, true);
    }
    // `down to its last wound` is no attack.
    let point = |at: usize| {
        message.is(at, Class::Structure)
            && at > 0
            && (message.any(at - 1, &["last", "one", "a", "its", "final"]) || message.number(at - 1).is_some())
    };
    let attack = |at: usize| {
        (message.is(at, Class::Attack) || message.is(at, Class::Charged) || message.is(at, Class::Contact))
            && !point(at)
    };
    let led = lead(message, second).filter(|at| *at >= first.end());
    let led_first = lead(message, first);
    if led_first.is_some_and(|at| message.is(at, Class::Vs)) && !between.clone().any(|at| message.is(at, Class::Vs)) {
        return (true, true);
    }
    // `wardens in contact with the rear of a walker`
    let into_side = led.is_some_and(|at| {
        [Class::ArcFront, Class::ArcSide, Class::ArcRear].iter().any(|arc| message.is(at, *arc))
            && message.any(at + 1, &["of"])
            && message.any(at.wrapping_sub(1), &["the", "his", "its", "their", "my"])
            && message.any(at.wrapping_sub(2), &["with", "into", "at", "to", "on", "in", "against"])
    });
    if into_side {
        return (false, true);
    }
    // `lies with its bow towards two crews`, `his stern is turned to my crew`: whose arc is said is shot at.
    let shown = led.is_some_and(|at| {
        message.any(at, &["towards", "toward", "to", "at"])
            && (at.saturating_sub(3)..at).any(|arc| {
                arc >= first.end()
                    && [Class::ArcFront, Class::ArcSide, Class::ArcRear].iter().any(|class| message.is(arc, *class))
                    && (message.any(arc.wrapping_sub(1), &["its", "his", "her", "their", "your", "the"])
                        || message.tokens[arc - 1].owns)
            })
    });
    if shown && !between.clone().any(&attack) {
        return (true, true);
    }
    // `upon five rifles storm six runners`: what stands behind the word at the beginning is attacked.
    let begins = led_first.is_some_and(|at| {
        message.any(at, &["on", "upon", "onto", "at", "into"]) && (at == 0 || message.is_end(at - 1))
    });
    if begins && between.clone().any(&attack) && !led.is_some_and(|at| is_towards(message, at)) {
        return (true, true);
    }
    // `the bittern is from a crew shot`
    let shot_from = led.is_some_and(|at| message.any(at, &["from"]))
        && between.clone().any(|at| message.any(at, &["is", "are", "becomes", "become", "gets", "get", "was", "were"]))
        && (second.end()..(second.end() + 3).min(message.tokens.len())).any(|at| is_participle(message, at));
    if shot_from {
        return (true, true);
    }
    if let Some(at) = between.clone().find(|at| message.any(*at, &["by"]) && !used[*at]) {
        used[at] = true;
        return (true, true);
    }
    if between.clone().any(|at| message.is(at, Class::Vs)) {
        return (false, true);
    }
    // `lost 7 of 10 dyke hands to 5 riders`, `the whaleback lost 5 spars to a gun crew`
    let lost = |at: usize| message.any(at, &["lost", "lose", "loses", "losing"]);
    if led.is_some_and(|at| message.any(at, &["to", "from"]))
        && (0..led.unwrap_or(0)).any(lost)
        && !between.clone().any(|at| attack(at) && !message.is(at, Class::Suffer) && !message.is(at, Class::Lost))
    {
        return (true, true);
    }
    if is_told_of(message, first, second, &attack) {
        return (true, true);
    }
    // `heron's down to its last point. his culverin dead astern of it`
    let of_it = (second.end()..(second.end() + 8).min(message.tokens.len())).any(|at| {
        message.any(at, &["of", "at", "on", "into", "behind", "to"]) && message.any(at + 1, &["it", "them", "him"])
    });
    let parted = between.clone().any(|at| message.is_end(at));
    if of_it && parted && !between.clone().any(&attack) && !led.is_some_and(|at| is_towards(message, at)) {
        return (true, true);
    }
    // `whale on 4 spars, his hauler just drove its prow into it`
    let soon = (second.end()..(second.end() + 3).min(message.tokens.len())).find(|at| attack(*at));
    let clean = !between.clone().any(&attack)
        && !led.is_some_and(|at| is_towards(message, at) || message.any(at, &["with", "w"]));
    // `he's got 3 skiffs left, my crew shoots one`
    let mine = second.whose == Some(Whose::Mine) && first.whose != Some(Whose::Mine);
    if let Some(verb) = soon.filter(|_| parted && clean && (first.count.is_none() || mine))
        && (second.end()..verb).all(|at| message.is(at, Class::Small))
    {
        return (true, true);
    }
    let verb_before = (0..first.start).any(&attack);
    let verb_between = between.clone().any(|at| attack(at) && !used[at] || message.is(at, Class::Charged));
    let verb_behind = (second.end()..message.tokens.len()).find(|at| attack(*at));
    if suffers(message, first) && !suffers(message, second) {
        return (true, true);
    }
    let joined = led.is_some_and(|at| {
        (first.end()..at).any(|at| {
            message.is(at, Class::Contact)
                || message.is(at, Class::ContactBand)
                || message.any(at, &["melee", "fight", "stuck"])
                || message.named(Sort::Range).any(|one| (one.at..one.at + one.len).contains(&at))
        })
    });
    if led.is_some_and(|at| message.any(at, &["with", "w"])) && joined && !verb_before {
        return (false, true);
    }
    // `what hurts a heron more, hitting its side or its back with 3 barges`
    let object = led_first.is_some_and(|at| attack(at) && !message.is(at, Class::Suffer));
    if led.is_some_and(|at| message.any(at, &["with", "w", "using"])) && (!verb_between || object) {
        return (true, true);
    }
    // `my whaleback is showing its broadside to his gun`
    if between.clone().any(|at| {
        message.any(at, &["showing", "shows", "presents", "presenting", "turned", "turning", "exposes", "exposing"])
    }) {
        return (true, true);
    }
    // `getting it from a rack crew`
    if between.clone().any(|at| message.any(at, &["getting", "gets", "gettin", "taking"]))
        && led.is_some_and(|at| message.any(at, &["from"]))
    {
        return (true, true);
    }
    if led.is_some_and(|at| message.any(at, &["from"]))
        && (verb_before || verb_between || led_first.is_some_and(|at| message.any(at, &["off"])))
    {
        return (true, true);
    }
    // `how many rifles do I lose if the skiff hits`, `does my heron survive if …`
    let loses = between.clone().any(|at| message.is(at, Class::Suffer) && !message.is(at, Class::Kill));
    if loses && !verb_between {
        return (true, true);
    }
    if led.is_some_and(|at| is_towards(message, at) || attack(at))
        || led_first.is_some_and(|at| {
            message.any(at, &["what", "do", "does", "can", "will", "would", "could", "if", "when", "whether", "chance"])
        }) && verb_between
    {
        return (false, true);
    }
    // `how many heath riders does a mortar crew kill`, `… is down to 2. Do 10 rifles finish it off`
    if let Some(at) = verb_behind.filter(|_| !verb_between) {
        let object = message.any(at + 1, &["it", "them", "him", "her", "em"])
            || message.any(at + 2, &["it", "them", "him", "em"]);
        let many = (first.start.saturating_sub(5)..first.start).any(|at| message.any(at, &["many"]));
        let helping =
            between.clone().any(|at| message.any(at, &["do", "does", "can", "will", "would", "could", "did"]));
        if object || many || helping && !verb_before {
            return (true, true);
        }
    }
    // `three oxen in the alders and twelve bows let fly at them`: cover is that of whoever is attacked.
    let hidden = message.named(Sort::Cover).any(|one| between.contains(&one.at));
    if hidden && !between.clone().any(&attack) && !led.is_some_and(|at| is_towards(message, at)) {
        return (true, true);
    }
    // `bittern. my barges, two. stern shot`: without a verb, who speaks attacks.
    // `stern shot.`: a noun.
    let noun = |at: usize| {
        message.any(at, &["shot", "attack", "charge", "hit"])
            && message.is_end(at + 1)
            && [Class::ArcFront, Class::ArcSide, Class::ArcRear].iter().any(|arc| message.is(at - 1, *arc))
    };
    let verbless = !verb_before && !verb_between && verb_behind.is_none_or(noun) && parted;
    if verbless && second.whose == Some(Whose::Mine) && first.whose != Some(Whose::Mine) {
        return (true, false);
    }
    (false, verb_between || verb_before)
}

/// `his sledge faces my crew. I shoot it`: where one side is mine, who does something to the other is said by the pronoun.
fn by_pronoun(message: &ParsedMessage<'_>, first: &Side, second: &Side) -> Option<bool> {
    let mine = |side: &Side| side.whose == Some(Whose::Mine);
    if mine(first) == mine(second) {
        return None;
    }
    let acts = |subject: &[&str], object: &[&str]| {
        (second.end()..message.tokens.len()).any(|at| {
            message.any(at, subject)
                && (at + 1..at + 3).any(|verb| {
                    message.is(verb, Class::Attack)
                        && !message.is(verb, Class::Suffer)
                        && (verb + 1..verb + 3).any(|at| message.any(at, object))
                })
        })
    };
    let (ours, theirs) =
        (acts(&["i", "we"], &["it", "him", "them", "her", "em"]), acts(&["he", "she", "they"], &["me", "us"]));
    match (ours, theirs) {
        (true, false) => Some(mine(second)),
        (false, true) => Some(mine(first)),
        _ => None,
    }
}

/// `what's left of my sappers if a crew lands one on them`: the first is only told of, the condition says who acts.
fn is_told_of(message: &ParsedMessage<'_>, first: &Side, second: &Side, attack: &dyn Fn(usize) -> bool) -> bool {
    const OUTCOMES: &[&str] = &[
        "left",
        "remains",
        "remain",
        "become",
        "becomes",
        "happens",
        "happen",
        "bad",
        "lose",
        "loses",
        "survivors",
        "survive",
    ];
    let cond = (first.end()..second.start)
        .find(|at| message.any(*at, &["if", "when", "after", "once", "whenever", "should", "because"]));
    let Some(cond) = cond.filter(|cond| !(first.end()..*cond).any(|at| attack(at) && !message.is(at, Class::Suffer)))
    else {
        return false;
    };
    // `… the heron if it shoots the barge`: the first is the subject of the condition too.
    if (cond + 1..second.start).any(|at| message.any(at, &["it", "they", "he", "she", "i", "we"]) || attack(at)) {
        return false;
    }
    let outcome = (0..first.start).any(|at| message.any(at, OUTCOMES));
    let end = (second.end()..message.tokens.len()).find(|at| message.is_end(*at)).unwrap_or(message.tokens.len());
    let harmed = (second.end()..end).any(|at| {
        message.any(at, &["it", "them", "him", "her", "em", "me", "us"])
            && (second.end()..at).any(|at| attack(at) || message.any(at, &["on", "at", "into", "onto"]))
    });
    harmed || outcome
}

/// Three units or more: all behind the word that points are targets.
fn many(message: &ParsedMessage<'_>, sides: &[Side], all: &[usize]) -> Roles {
    let points = |side: &Side| {
        lead(message, side).is_some_and(|at| {
            is_towards(message, at) || message.is(at, Class::Attack) || message.is(at, Class::Charged)
        })
    };
    let first = all.iter().position(|at| points(&sides[*at]));
    match first {
        Some(0) => {
            // `against a tally crew: drift rifles or deck hands`
            Roles { attackers: all[1..].to_vec(), targets: vec![all[0]], sure: true }
        }
        Some(place) => Roles { attackers: all[..place].to_vec(), targets: all[place..].to_vec(), sure: true },
        None => Roles { attackers: all.to_vec(), targets: Vec::new(), sure: false },
    }
}

/// `attacker: 3 barges, target: heron`.
fn labelled(message: &ParsedMessage<'_>, sides: &[Side], all: &[usize]) -> Option<Roles> {
    let label = |at: usize| {
        let colon = sides[at]
            .start
            .checked_sub(1)
            .filter(|at| matches!(message.tokens[*at].kind, crate::typing::token::TokenKind::Colon))?;
        match message.word(colon.checked_sub(1)?) {
            "attacker" | "unit" | "attackers" => Some(false),
            "target" | "against" | "targets" => Some(true),
            _ => None,
        }
    };
    let known: Vec<(usize, Option<bool>)> = all.iter().map(|at| (*at, label(*at))).collect();
    let one = known.iter().find_map(|(_, label)| *label)?;
    let targets = |(at, label): &(usize, Option<bool>)| label.unwrap_or(!one).then_some(*at);
    let attackers = |(at, label): &(usize, Option<bool>)| (!label.unwrap_or(!one)).then_some(*at);
    Some(Roles {
        attackers: known.iter().filter_map(attackers).collect(),
        targets: known.iter().filter_map(targets).collect(),
        sure: true,
    })
}
