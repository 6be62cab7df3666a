//! Reads a record of any version that this program or an earlier one wrote.

use miette::{Diagnostic, LabeledSpan, NamedSource, SourceCode};
use serde_json::{Value, json};

use super::{SCHEMA, documents::RecordDoc};

/// Schema of the first records: without the inputs to work them out from.
const EARLY: &str = "recan.record/1";

/// Why a text is no record.
#[derive(Debug, thiserror::Error)]
#[error("{message}")]
pub struct RecordError {
    message: String,
    help: &'static str,
    at: Option<usize>,
    input: Box<NamedSource<String>>,
}

/// The record in `text`; `source` names it in messages.
///
/// # Errors
/// No JSON, no record, or one of a version that this program does not know.
pub fn read(source: &str, text: &str) -> Result<RecordDoc, RecordError> {
    let failed = |message: String, help, at| RecordError {
        message,
        help,
        at,
        input: Box::new(NamedSource::new(source, text.to_owned())),
    };
    let of_json = |error: &serde_json::Error| {
        let words = error.to_string();
        let says = words.rsplit_once(" at line ").map_or(words.as_str(), |(says, _)| says);
        let help = "give record.json of a record as recan record wrote it";
        failed(says.to_owned(), help, place(text, error))
    };
    let version = serde_json::from_str::<Value>(text).map_err(|error| of_json(&error))?;
    match version.get("schema").and_then(Value::as_str) {
        Some(SCHEMA) => serde_json::from_str(text).map_err(|error| of_json(&error)),
        Some(EARLY) => serde_json::from_value(brought_up(version)).map_err(|error| of_json(&error)),
        Some(other) if other.starts_with("recan.record/") => {
            let message = format!("a record of schema {other}, at most {SCHEMA} expected");
            Err(failed(message, "a newer recan wrote it: use that one to read it", None))
        }
        Some(other) => {
            let message = format!("a document of schema {other}, a record expected");
            Err(failed(message, "give record.json of a record", None))
        }
        None => {
            let help = "give record.json of a record, or the record's folder";
            Err(failed("no schema, a record expected".into(), help, None))
        }
    }
}

/// A record of the first version with what later ones have besides. Nothing that
/// it says is lost but the schema: its readings were always null.
fn brought_up(mut early: Value) -> Value {
    let can = early.pointer("/typed/can").cloned().unwrap_or(Value::Null);
    if let Value::Object(fields) = &mut early {
        let about = json!({ "chassis": null, "can": can, "other_cans": [] });
        fields.insert("schema".into(), SCHEMA.into());
        fields.insert("about".into(), about);
        fields.insert("inputs".into(), Value::Null);
        for reading in ["predicted", "readings"] {
            fields.insert(reading.into(), Value::Null);
        }
        let facts = fields.get_mut("facts").and_then(Value::as_array_mut);
        for fact in facts.into_iter().flatten() {
            if fact["from"] == "data/rectifiers.csv" {
                fact["from"] = "handbook".into();
            }
        }
    }
    early
}

/// The byte that an error of JSON is at.
fn place(text: &str, error: &serde_json::Error) -> Option<usize> {
    let line = error.line().checked_sub(1)?;
    let before: usize = text.split_inclusive('\n').take(line).map(str::len).sum();
    let at = (before + error.column().saturating_sub(1)).min(text.len().checked_sub(1)?);
    (0..=at).rev().find(|&at| text.is_char_boundary(at))
}

impl Diagnostic for RecordError {
    fn help<'a>(&'a self) -> Option<Box<dyn std::fmt::Display + 'a>> {
        Some(Box::new(self.help))
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let at = self.at?;
        let length = self.input.inner()[at..].chars().next().map_or(1, char::len_utf8);
        Some(Box::new(std::iter::once(LabeledSpan::underline(at..at + length))))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.at.map(|_| &*self.input as &dyn SourceCode)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: &str) {
        let error = read("record.json", text).unwrap_err();
        assert_eq!(error.to_string(), expected);
        let _ = error.labels().map(Iterator::count);
    }

    #[test]
    fn what_is_no_record_is_told() {
        check("", "EOF while parsing a value");
        check("{", "EOF while parsing an object");
        check("[]", "no schema, a record expected");
        check(
            "{\"schema\": \"recan.sets/1\"}",
            "a document of schema recan.sets/1, a record expected",
        );
        check(
            "{\"schema\": \"recan.record/9\"}",
            "a record of schema recan.record/9, at most recan.record/2 expected",
        );
        check("{\"schema\": \"recan.record/2\"}", "missing field `number`");
        check("{\"schema\": \"recan.record/1\"}", "missing field `number`");
        check(&"[".repeat(100_000), "recursion limit exceeded");
        check("{\"µ\": µ}", "expected value");
    }
}
