//! The first `job.toml` of a job folder, and the stampings in one. The rest of
//! a job file is not read here.

use std::ops::Range;

use miette::{Diagnostic, LabeledSpan, NamedSource, SourceCode};
use serde::Deserialize;
use toml_edit::DocumentMut;

use super::reason::{harmless, is_steering};

/// A can of a job file.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct JobCan {
    /// Its name, where the file gives one.
    pub name: Option<String>,
    /// What is stamped on it.
    pub stamping: String,
}

/// What the file holds that is needed here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobText {
    /// The cans, one or more.
    pub cans: Vec<JobCan>,
    /// The whole text.
    pub text: String,
}

/// Why a job file gives no stamping.
#[derive(Debug, Clone, thiserror::Error)]
#[error("{message}")]
pub struct JobFileError {
    message: String,
    help: &'static str,
    span: Option<Range<usize>>,
    input: Box<NamedSource<String>>,
}

/// Begins an answer that a job file keeps as a comment: no key is for it, or not yet.
pub const NOTED: &str = "# noted: ";

/// The pair behind [`NOTED`]: the flag of the question, the place it is about (empty
/// for the job) and the answer; `None` where it is none.
#[must_use]
pub fn noted_pair(text: &str) -> Option<(String, String, String)> {
    let pair: DocumentMut = text.parse().ok()?;
    let (flag, item) = pair.iter().next()?;
    if let Some(answer) = item.as_str() {
        return Some((flag.to_owned(), String::new(), answer.to_owned()));
    }
    let (place, answer) = item.as_table_like()?.iter().next()?;
    Some((flag.to_owned(), place.to_owned(), answer.as_str()?.to_owned()))
}

/// The answers that a job file keeps as comments, each as [`noted_pair`] has it; lines
/// that are none are left out.
pub fn noted(text: &str) -> impl Iterator<Item = (String, String, String)> {
    text.lines().filter_map(|line| noted_pair(line.trim().strip_prefix(NOTED)?))
}

/// The cans in the text of a job file; `source` names it in messages.
///
/// # Errors
/// No TOML, no `[[can]]`, or one without a stamping.
pub fn read(source: &str, text: &str) -> Result<JobText, JobFileError> {
    let failed = |message: String, help, span| JobFileError {
        message,
        help,
        span,
        input: Box::new(NamedSource::new(source, shown(text))),
    };
    let parsed: Tables = toml::from_str(text).map_err(|error| {
        let help = "a job file is TOML: [[can]] on one line, then stamping = \"…\"";
        failed(lower_case(error.message()), help, error.span())
    })?;
    if parsed.can.is_empty() {
        let help = "add [[can]] with stamping = \"what is stamped on the can\"";
        return Err(failed("no [[can]] in the job file".into(), help, None));
    }
    Ok(JobText { cans: parsed.can, text: text.to_owned() })
}

/// The text of a new job file for one can. The stamping reads back exactly.
#[must_use]
pub fn new(stamping: &str) -> String {
    format!(
        "# A job: one chassis and its can. Everything but the stamping is optional;\n\
         # add what you know, and what is missing is left not judged.\n\
         [[can]]\n\
         stamping = {}\n",
        quoted(stamping)
    )
}

/// Whether two stampings are the same text, apart from spaces and from how a
/// line break was typed.
#[must_use]
pub fn same_stamping(one: &str, other: &str) -> bool {
    let plain = |text: &str| {
        let text = text.replace("\\n", "\n");
        let lines = text.lines().map(|l| l.split_whitespace().collect::<Vec<_>>().join(" "));
        lines.filter(|line| !line.is_empty()).collect::<Vec<_>>()
    };
    plain(one) == plain(other)
}

/// A TOML basic string: over several lines where the text has several.
pub(crate) fn quoted(text: &str) -> String {
    let (open, close) = if text.contains('\n') { ("\"\"\"\n", "\"\"\"") } else { ("\"", "\"") };
    let mut out = String::from(open);
    for c in text.chars() {
        match c {
            '\n' => out.push('\n'),
            '\\' => out.push_str("\\\\"),
            '"' => out.push_str("\\\""),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() || is_steering(c) => out.push_str(&escaped(c)),
            c => out.push(c),
        }
    }
    out + close
}

fn escaped(c: char) -> String {
    let code = u32::from(c);
    if code > 0xffff { format!("\\U{code:08X}") } else { format!("\\u{code:04X}") }
}

/// `text` as a terminal may show it: what steers one becomes as many question
/// marks as it has bytes, so that places stay right.
fn shown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        let steers = c.is_control() && !matches!(c, '\n' | '\t' | '\r') || is_steering(c);
        if steers { out.push_str(&"?".repeat(c.len_utf8())) } else { out.push(c) }
    }
    out
}

/// The parser's message in the manner of the house: one line, lower case.
fn lower_case(message: &str) -> String {
    let line = harmless(message.lines().next().unwrap_or_default());
    let mut chars = line.chars();
    chars.next().map_or_else(String::new, |c| c.to_lowercase().chain(chars).collect())
}

#[derive(Deserialize)]
struct Tables {
    #[serde(default)]
    can: Vec<JobCan>,
}

impl Diagnostic for JobFileError {
    fn help<'a>(&'a self) -> Option<Box<dyn std::fmt::Display + 'a>> {
        Some(Box::new(self.help))
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let span = self.span.clone()?;
        Some(Box::new(std::iter::once(LabeledSpan::underline(span))))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.span.as_ref().map(|_| &*self.input as &dyn SourceCode)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_round_trip(stamping: &str) {
        let text = new(stamping);
        let read = read("job.toml", &text).unwrap();
        assert_eq!(read.cans, [JobCan { name: None, stamping: stamping.into() }], "{text}");
        assert!(text.chars().all(|c| c == '\n' || !c.is_control()));
    }

    #[test]
    fn stampings_read_back_exactly() {
        for stamping in [
            "40-40-20 MFD 450 WVDC / 20 MFD 25 WVDC",
            "◗ 40 MFD 450 V\n■ 20 MFD 450 V\n— 20 MFD 25 V",
            "\n40 450\n\n",
            "/\\ 30 450 \"surge\" 525",
            "\"\"\"\n\"\"",
            "'''\n\\",
            "a\\nb",
            "\u{0}\u{1b}[31m\u{7f}\u{85}\u{202e}\u{e0041}\r\n\t",
            "",
            " 40 µF ",
        ] {
            check_round_trip(stamping);
        }
    }

    #[track_caller]
    fn check_error(text: &str, expected: &str) {
        assert_eq!(read("job.toml", text).unwrap_err().to_string(), expected);
    }

    #[test]
    fn errors_say_what_is_missing() {
        check_error("", "no [[can]] in the job file");
        check_error("[mains]\nvolts = \"121 V\"\n", "no [[can]] in the job file");
        check_error("[[can]]\nname = \"A\"\n", "missing field `stamping`");
        check_error("[[can]]\nstamping = 40\n", "invalid type: integer `40`, expected a string");
    }

    #[test]
    fn places_are_shown_and_nothing_steers_the_terminal() {
        let text = "# \u{1b}[31m\n[[can]]\nstamping = \u{9b}5m \u{1b}[2J\u{202e}\n";
        let error = read("job.toml", text).unwrap_err();
        let mut out = String::new();
        let theme = miette::GraphicalTheme::unicode_nocolor();
        let handler = miette::GraphicalReportHandler::new_themed(theme).with_width(80);
        handler.render_report(&mut out, &error).unwrap();
        insta::assert_snapshot!(out, @r#"
          × invalid comment character, expected printable characters
           ╭─[job.toml:1:3]
         1 │ # ?[31m
           ·   ▲
         2 │ [[can]]
           ╰────
          help: a job file is TOML: [[can]] on one line, then stamping = "…"
        "#);
    }

    #[test]
    fn several_cans_and_other_tables_are_told() {
        let text = "[mains]\n[[can]]\nname = \"A\"\nstamping = \"40 450\"\n[[can]]\nstamping = \"8 475\"\n[[node]]\n";
        let job = read("job.toml", text).unwrap();
        assert_eq!(job.cans.len(), 2);
        assert!(job.text.contains("[mains]"));
    }

    #[test]
    fn spaces_and_line_breaks_make_no_difference() {
        assert!(same_stamping("40  450\n20 25", "40 450 \\n 20 25 "));
        assert!(!same_stamping("40 450; 20 25", "40 450; 20 50"));
    }
}
