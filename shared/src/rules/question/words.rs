//! The words of a question: plain, with what stands before them, and the numbers and distances among them.
use super::super::names::plain;
use super::lexicon::NUMBERS;

/// One word.
#[derive(Clone, Debug, PartialEq)]
pub struct Word {
    /// In its plain form: lower case, singular.
    pub plain: String,
    /// Whether a clause ends before it.
    pub breaks: bool,
    /// The number that it is.
    pub number: Option<u32>,
    /// The distance in inches that it is.
    pub inches: Option<f64>,
    /// Whether it is written as a need: `4+`.
    pub need: bool,
}

/// Centimetres in an inch, by definition (international yard and pound agreement, 1959).
const CM_PER_INCH: f64 = 2.54;

/// The words of a text.
pub(super) fn words(text: &str) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    let mut breaks = true;
    for chunk in text.to_lowercase().replace(['’', '‘', '`'], "'").replace(['“', '”', '″'], "\"").split_whitespace()
    {
        let (number, rest) = leading_number(chunk);
        if let (Some(number), Some(cm)) = (number, length(rest)) {
            push(&mut words, chunk, breaks, Some(number / cm));
            breaks = ends(rest.trim_start_matches(['"', '\'']));
            continue;
        }
        // Each piece between signs is a word of its own; signs other than those within words end a clause.
        let mut piece = String::new();
        for c in chunk.chars().chain([' ']) {
            match c {
                c if c.is_alphanumeric() || c == '\'' || c == '+' => piece.push(c),
                _ => {
                    if !piece.trim_matches('\'').is_empty() {
                        push(&mut words, &piece, breaks, None);
                        breaks = false;
                    }
                    piece.clear();
                    breaks |= matches!(c, '.' | ',' | ';' | ':' | '?' | '!' | '(' | ')' | '—' | '–');
                }
            }
        }
        breaks |= chunk == "-";
    }
    distances(&mut words);
    words
}

fn ends(rest: &str) -> bool {
    rest.contains(['.', ',', ';', ':', '?', '!'])
}

fn push(words: &mut Vec<Word>, text: &str, breaks: bool, inches: Option<f64>) {
    let need = text.len() > 1 && text.ends_with('+');
    let plain = plain(text);
    let ordinal = plain.trim_end_matches('+');
    let number = ordinal.parse().ok().or_else(|| NUMBERS.iter().find(|(name, _)| *name == plain).map(|(_, n)| *n));
    // `5s` is a five; the plain form has lost its s already.
    if !plain.is_empty() {
        words.push(Word { plain, breaks, number: number.filter(|_| inches.is_none()), inches, need });
    }
}

fn leading_number(chunk: &str) -> (Option<f64>, &str) {
    let chunk = chunk.trim_start_matches(['(', '~', '@']);
    let end = chunk.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(chunk.len());
    (chunk[..end].parse().ok(), &chunk[end..])
}

/// How many of a unit of length an inch has, where the text is one.
fn length(text: &str) -> Option<f64> {
    let text = text.trim_end_matches([',', '.', ';', '?', '!', ')']);
    match text {
        "\"" | "''" | "in" | "inch" | "inches" | "ins" => Some(1.0),
        "cm" | "cms" | "centimetres" | "centimeters" => Some(CM_PER_INCH),
        _ => None,
    }
}

/// Numbers with a unit of length behind them, and numbers that can be nothing else.
fn distances(words: &mut Vec<Word>) {
    let mut at = 0;
    while at < words.len() {
        let Some(number) = words[at].number.filter(|_| !words[at].need) else {
            at += 1;
            continue;
        };
        let next = words.get(at + 1).filter(|next| !next.breaks).map(|next| next.plain.as_str());
        let after = words.get(at + 2);
        let ends =
            after.is_none_or(|after| after.breaks || ["away", "off", "out", "from", "apart"].contains(&&*after.plain));
        let cm = match next {
            Some("inch" | "inche" | "inches") => Some(1.0),
            Some("in") if ends => Some(1.0),
            Some("cm" | "centimetre" | "centimeter") => Some(CM_PER_INCH),
            _ => None,
        };
        if let Some(cm) = cm {
            words[at].inches = Some(f64::from(number) / cm);
            words[at].number = None;
            words.remove(at + 1);
        } else if next == Some("away") {
            words[at].inches = Some(f64::from(number));
            words[at].number = None;
        }
        at += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::words;

    fn inches(text: &str) -> Option<f64> {
        words(text).iter().find_map(|word| word.inches)
    }

    #[test]
    fn distances_in_both_units() {
        for text in
            ["at 20\"", "at 20 inches?", "20in away", "20 in away", "at 20 in", "50.8cm off", "20''", "twenty inches"]
        {
            assert_eq!(inches(text), Some(20.0), "{text}");
        }
        for text in ["20 in contact", "10 of them", "a 9", "4+ in a hedge"] {
            assert_eq!(inches(text), None, "{text}");
        }
    }

    #[test]
    fn clauses_end_at_signs() {
        let found = words("moved. does it, though - work");
        let breaks: Vec<&str> = found.iter().filter(|word| word.breaks).map(|word| &*word.plain).collect();
        assert_eq!(breaks, ["moved", "doe", "though", "work"]);
    }
}
