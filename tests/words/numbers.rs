//! What a card claims of its numbers beside what the service worked out: certainty, and figures that are held against
//! each other.
use super::sentences::Read;
use serde_json::Value;

/// Whether a distribution cannot come to nothing.
pub fn sure_number(summary: &Value) -> bool {
    summary["distribution"][0]["value"].as_u64().is_some_and(|lowest| lowest >= 1)
}

/// Whether anything but a step is certain: a fraction of 1, or a number that is never 0.
fn has_certainty(of: &Value) -> bool {
    match of {
        Value::Object(fields) => {
            fields.get("fraction").is_some_and(|fraction| fraction == "1")
                || sure_number(of)
                || fields.iter().filter(|(name, _)| *name != "chain").any(|(_, value)| has_certainty(value))
        }
        Value::Array(all) => all.iter().any(has_certainty),
        _ => false,
    }
}

/// 100% of what is not certain.
pub fn sure(read: &Read<'_>) -> Vec<String> {
    if read.path.is_empty() || read.path == "/v1/rule" || read.path == "/v1/list-points" {
        return Vec::new();
    }
    let mut found = Vec::new();
    let values = read.card.lines.iter().map(|line| format!("{}: {}", line.label, line.value));
    for text in std::iter::once(read.card.headline.clone()).chain(values) {
        let says =
            text.match_indices("100%").any(|(at, _)| !text[..at].ends_with(|c: char| c.is_ascii_digit() || c == '.'));
        // Where nothing more can come, what came or less is all that can.
        let whole = |other: &str| read.answer["exactly"]["chance"] == read.answer[other]["chance"];
        let all_there_is = read.path == "/v1/luck"
            && (text.starts_with("this or fewer") && whole("at_least")
                || text.starts_with("this or more") && whole("at_most")
                || text.starts_with("just this") && whole("at_least") && whole("at_most"));
        let exact =
            ["/v1/matchup", "/v1/odds", "/v1/check", "/v1/repair", "/v1/luck", "/v1/draw", "/v1/blast", "/v1/duel"];
        // Nothing is likelier than what is likeliest: of the whole log, and of the face that says most.
        let likeliest =
            read.path == "/v1/fair" && (read.answer["chance"]["chance"] == 1.0 || read.answer["face"]["chance"] == 1.0);
        let held = all_there_is || likeliest || exact.contains(&read.path) && has_certainty(read.answer);
        if says && !held {
            found.push(format!("not certain: {text:?}"));
        }
    }
    let certain = read.path == "/v1/check" && read.answer["fraction"] == "1";
    for step in read.card.steps.iter().filter(|step| step.text.contains(" 100%") && !certain) {
        if ["/v1/matchup", "/v1/odds", "/v1/check"].contains(&read.path) {
            found.push(format!("not certain: {} {}", step.name, step.text));
        }
    }
    // A step that is said to be sure, one way or the other, has a fraction of 1 or 0.
    // Of a duel the fractions of its steps are not answered: what is said is held against the dice that are said.
    if read.path == "/v1/duel" {
        for part in read.card.steps.iter().flat_map(|step| step.text.split("; ")) {
            let says = [": always gets through", ": never gets through"].map(|words| part.ends_with(words));
            if says.contains(&true) {
                let totals = totals(part).unwrap_or_else(|| panic!("dice in {part:?}"));
                let against = part.split(" against ").nth(1).and_then(|rest| rest.split([':', ',']).next());
                let against: i64 = against.and_then(|number| number.parse().ok()).expect("armour");
                if says[0] && totals.0 <= against || says[1] && totals.1 >= against {
                    found.push(format!("not sure: {part}"));
                }
            }
        }
        return found;
    }
    for step in &read.card.steps {
        let says = |words: &[&str]| words.iter().any(|word| step.text.contains(word));
        let fractions = || read.answer["steps"].as_array().into_iter().flatten().map(|step| &step["fraction"]);
        if says(&["can't stop it", "can't fail", "always gets through"]) && !fractions().any(|one| one == "1") {
            found.push(format!("not sure: {} {}", step.name, step.text));
        }
        if says(&["always stops it", "can't succeed", "can't get through"]) && !fractions().any(|one| one == "0") {
            found.push(format!("not sure: {} {}", step.name, step.text));
        }
    }
    if let Some(chart) = &read.card.chart
        && chart.bars.len() > 1
        && chart.bars.iter().any(|bar| bar.chance >= 1.0)
        && ["/v1/matchup", "/v1/odds", "/v1/check", "/v1/repair"].contains(&read.path)
        && chart.at_least.len() == chart.bars.len()
    {
        found.push(format!("a bar of several is certain: {}", chart.title));
    }
    found
}

/// The least and the most that `pierce 2d6+9 against 14` rolls.
fn totals(part: &str) -> Option<(i64, i64)> {
    let dice = part.split(" against ").next()?.rsplit(' ').next()?;
    let (count, rest) = dice.split_once('d')?;
    let signs = rest.replace('-', " -").replace('+', " +");
    let mut numbers = signs.split(' ').map(str::parse::<i64>);
    let faces = numbers.next()?.ok()?;
    let plus = numbers.sum::<Result<i64, _>>().ok()?;
    let count: i64 = count.parse().ok()?;
    Some((count + plus, count * faces + plus))
}

/// All per cents of a text.
fn percents(text: &str) -> Vec<&str> {
    text.split([' ', '(', ')', ',', ';'])
        .map(|word| word.trim_end_matches('.'))
        .filter(|word| word.ends_with('%'))
        .collect()
}

fn unlike(a: f64, b: f64) -> bool {
    (a - b).abs() > 1e-9 * a.abs().max(b.abs())
}

/// Two unlike figures that stand against each other in the same words.
pub fn alike(read: &Read<'_>) -> Vec<String> {
    let (answer, card) = (read.answer, read.card);
    let number = |pointer: &str| answer.pointer(pointer).and_then(Value::as_f64);
    let said = percents(&card.headline);
    let mut found = Vec::new();
    let mut hold = |pair: Option<(f64, f64)>, text: &str, said: &[&str]| {
        if let (Some((a, b)), [first, second, ..]) = (pair, said)
            && unlike(a, b)
            && first == second
        {
            found.push(format!("{a} and {b} look alike in {text:?}"));
        }
    };
    match read.path {
        "/v1/needed" => {
            hold(number("/chance").zip(number("/below/chance")), &card.headline, &said);
            hold(number("/limit/chance").zip(number("/want/chance")), &card.headline, &said);
            let rows = answer["table"].as_array().map(Vec::as_slice).unwrap_or_default();
            for (pair, lines) in rows
                .windows(2)
                .zip(card.lines.iter().filter(|line| line.label != "points").collect::<Vec<_>>().windows(2))
            {
                let chances = pair[0]["chance"].as_f64().zip(pair[1]["chance"].as_f64());
                hold(chances, &lines[1].label, &[&lines[0].value, &lines[1].value]);
            }
        }
        "/v1/duel" => {
            let last = answer["turns"].as_array().and_then(|turns| turns.last()).unwrap_or(&Value::Null);
            let within =
                card.lines.iter().filter(|line| line.label.starts_with("within ") || line.label == "in one turn");
            let within = within.map(|line| (last, &line.value));
            let turns = card.steps.iter().filter_map(|step| {
                let turn: usize = step.name.strip_prefix("by turn ")?.parse().expect("a turn");
                Some((&answer["turns"][turn - 1], &step.text))
            });
            for (row, said) in within.chain(turns) {
                let chances = row["b_destroyed"].as_f64().zip(row["a_destroyed"].as_f64());
                hold(chances, said, &percents(said));
            }
        }
        "/v1/repair" => {
            let reached = |of: &Value| {
                let last = of["turns"].as_array()?.last()?;
                let rows = last["restored"]["distribution"].as_array()?;
                rows.iter()
                    .find(|row| row["value"].as_u64() >= Some(1))
                    .map_or(Some(0.0), |row| row["at_least"].as_f64())
            };
            let other = answer["compared"].as_array().and_then(|all| all.first()).and_then(reached);
            hold(reached(answer).zip(other), &card.headline, &said);
        }
        "/v1/rule" => {
            for line in card.lines.iter().filter(|line| line.value.contains(" with it, ")) {
                let (with, without) = line.value.split_once(" with it, ").expect("both");
                if with == without.trim_end_matches(" without") {
                    found.push(format!("alike with the rule and without it: {}", line.value));
                }
            }
        }
        _ => {}
    }
    found
}
