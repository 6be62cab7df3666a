//! The notation of the lists' `expected` column, and a reading against it.

use recan::{
    can::Can,
    quantity::{in_microfarads, in_volts},
    stamping::{Answers, Reading, StampingError, read},
};

/// One row of a list.
pub(crate) struct Row {
    pub(crate) id: String,
    pub(crate) text: String,
    pub(crate) expected: String,
    pub(crate) kind: String,
}

/// The rows of a list in CSV; lines that start with `#` are remarks.
pub(crate) fn rows(text: &str) -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    reader
        .records()
        .map(|record| {
            let record = record.expect("a list is good CSV");
            let cell = |i: usize| record.get(i).unwrap_or_default().to_owned();
            Row { id: cell(0), text: cell(1), expected: cell(2), kind: cell(3) }
        })
        .collect()
}

/// Whether the reading of a row is what the row expects; else what differs.
pub(crate) fn judge(row: &Row) -> Result<(), String> {
    let result = read(&row.text, &Answers::default());
    if let Some(cause) = row.expected.strip_prefix("ERROR:") {
        return judge_refusal(result, cause);
    }
    if let Some(rest) = row.expected.strip_prefix("ASK:") {
        let (_, assume) = rest.split_once("| ASSUME:").ok_or("the row has no ASSUME")?;
        return judge_question(result, assume.trim(), &row.text);
    }
    let reading = result.map_err(|e| format!("got error: {e}"))?;
    if let Some(question) = reading.questions.first() {
        return Err(format!("asked: {} (got {})", question.asks, notation(&reading.can)));
    }
    if !reading.assumed.is_empty() {
        return Err(format!("assumed {:?}", reading.assumed));
    }
    same(&reading.can, &row.expected)
}

/// Words of the cause that the message must carry, by what the row is about.
const CAUSES: [(&str, &str); 13] = [
    ("picofarad", "pf"),
    ("working voltage missing", "working voltage missing"),
    ("but ", "but "),
    ("date", "date"),
    ("ac rating", "ac rating"),
    ("two sections carry", "two sections carry"),
    ("out of range", "out of range"),
    ("zero capacitance", "zero capacitance"),
    ("cannot read the unit", "cannot read the unit"),
    ("no values found", "no value"),
    ("three-digit code", "three-digit code"),
    ("(pf)", "pf"),
    ("type the word", "type the word"),
];

fn judge_refusal(result: Result<Reading, StampingError>, cause: &str) -> Result<(), String> {
    let (message, help) = match result {
        Ok(reading) => return Err(format!("accepted as {}", notation(&reading.can))),
        Err(StampingError::Undecided { questions, .. }) => {
            return Err(format!("asked {questions:?}"));
        }
        Err(StampingError::Refused { message, help, .. }) => (message, help),
    };
    let said = format!("{message} | {help}").to_lowercase();
    let cause = cause.trim().to_lowercase();
    let keyword =
        CAUSES.iter().find(|(key, _)| cause.contains(key)).map_or(cause.as_str(), |c| c.1);
    if help.is_empty() || !said.contains(keyword) {
        return Err(format!("the error says `{said}`, wanted `{keyword}`"));
    }
    Ok(())
}

fn judge_question(
    result: Result<Reading, StampingError>,
    assume: &str,
    text: &str,
) -> Result<(), String> {
    let questions = match (result, assume) {
        (Err(StampingError::Undecided { questions, .. }), "none") => questions,
        (Err(e), _) => return Err(format!("got error: {e}")),
        (Ok(reading), "none") => return Err(format!("went on with {}", notation(&reading.can))),
        (Ok(reading), _) => {
            if reading.assumed.is_empty() {
                return Err(format!("nothing assumed, got {}", notation(&reading.can)));
            }
            same(&reading.can, assume)?;
            reading.questions
        }
    };
    if questions.is_empty() || questions.iter().any(|q| q.readings.len() < 2) {
        return Err(format!("questions without two readings: {questions:?}"));
    }
    answered(text, questions.len(), questions[0].readings.len())
}

/// An answer chooses the reading: nothing is assumed then, and a reading with a
/// can gives that can.
fn answered(text: &str, questions: usize, readings: usize) -> Result<(), String> {
    if questions > 1 {
        return Ok(());
    }
    for n in 1..=readings {
        match read(text, &Answers(vec![n])) {
            Ok(reading) => {
                let can = reading.questions[0].readings[n - 1].can.as_ref();
                if can != Some(&reading.can) && reading.questions.len() == 1 {
                    return Err(format!("reading {n} gives another can than the question shows"));
                }
            }
            Err(StampingError::Refused { .. }) => {}
            Err(StampingError::Undecided { questions, .. }) if questions.len() > 1 => {}
            Err(e) => return Err(format!("reading {n}: {e}")),
        }
    }
    match read(text, &Answers(vec![readings + 1])) {
        Err(StampingError::Refused { message, .. }) if message.contains(&readings.to_string()) => {
            Ok(())
        }
        other => Err(format!("reading {} is not there: {other:?}", readings + 1)),
    }
}

fn same(can: &Can, expected: &str) -> Result<(), String> {
    let got = notation(can);
    if got == expected.trim() { Ok(()) } else { Err(format!("got: {got}")) }
}

/// A can in the lists' notation.
pub(crate) fn notation(can: &Can) -> String {
    let mut parts = Vec::new();
    let surges: Vec<f64> = can.sections().iter().filter_map(|s| s.surge).map(in_volts).collect();
    let one_surge = surges.len() == can.sections().len()
        && surges.windows(2).all(|w| (w[0] - w[1]).abs() < 1e-9);
    for s in can.sections() {
        let mark = s.mark.map_or_else(String::new, |m| format!("{m} "));
        let surge = s
            .surge
            .filter(|_| !one_surge)
            .map_or_else(String::new, |v| format!(" surge {}V", in_volts(v)));
        parts.push(format!(
            "{mark}{}uF {}V{surge}",
            in_microfarads(s.capacitance),
            in_volts(s.rated)
        ));
    }
    if let Some(surge) = surges.first().filter(|_| one_surge) {
        parts.push(format!("surge {surge}V"));
    }
    parts.extend(can.negative.map(|n| format!("negative={}", n.name())));
    if can.common_positive {
        parts.push("positive=common".to_owned());
    }
    if can.insulated {
        parts.push("can=insulated".to_owned());
    }
    parts.join("; ")
}
