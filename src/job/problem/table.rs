//! Problems of the text itself: tables, keys, types, words.

use super::{either, short};
use crate::value::Dimension;

/// What is wrong with the text, its tables and keys, or the type of a value.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, miette::Diagnostic)]
#[non_exhaustive]
pub enum TableProblem {
    /// More bytes than any job file has.
    #[error("the file has {bytes} bytes, expected at most {most}")]
    #[diagnostic(help("a job file is a page or two of text: is this another file?"))]
    TooLarge {
        /// Bytes found.
        bytes: usize,
        /// Bytes allowed.
        most: usize,
    },
    /// Not TOML.
    #[error("{says}")]
    #[diagnostic(help("{}", syntax_advice(says)))]
    Syntax {
        /// What the reader of TOML found.
        says: String,
    },
    /// A key that its table does not have.
    #[error("the {} has no key `{}`", table_word(table), short(found))]
    #[diagnostic(help("{}", near_key(nearest.as_deref())))]
    UnknownKey {
        /// The table, as its header is written.
        table: &'static str,
        /// The key.
        found: String,
        /// The key that may be meant, as it would be written.
        nearest: Option<String>,
    },
    /// A value of the wrong type.
    #[error("found {found} for `{key}`, expected {}", expected.says())]
    #[diagnostic(help("{}", expected.help(key, written.as_deref())))]
    WrongType {
        /// The key.
        key: String,
        /// What stands there, such as `the number 47`.
        found: String,
        /// What should stand there.
        expected: Expected,
        /// What stands there as it should be written, where that is plain.
        written: Option<String>,
    },
    /// A key that its table must have.
    #[error("`{table}` has no `{key}`")]
    #[diagnostic(help("{help}"))]
    Missing {
        /// The table, as its header is written.
        table: &'static str,
        /// The key.
        key: &'static str,
        /// What to write.
        help: &'static str,
    },
    /// Neither a can nor a node.
    #[error("the job has no `[[can]]`")]
    #[diagnostic(help(
        "begin with what the can says: a line `[[can]]`, and below it such as `stamping = \"40-20 MFD 450 WVDC\"`"
    ))]
    NoCan,
    /// More tables or entries of one kind than any set has.
    #[error("found {found} of `{table}`, expected at most {most}")]
    #[diagnostic(help("is this file made of several? keep one chassis in a job"))]
    TooMany {
        /// The table, as its header is written.
        table: &'static str,
        /// How many were found.
        found: usize,
        /// How many are allowed.
        most: usize,
    },
    /// A word that is none of those known for the key.
    #[error("found `{}` for `{key}`, expected {}", short(found), either(words))]
    #[diagnostic(help("{}", near_word(*nearest, words, found)))]
    Word {
        /// The key.
        key: String,
        /// The word as typed.
        found: String,
        /// The words known.
        words: Vec<&'static str>,
        /// The word that may be meant.
        nearest: Option<&'static str>,
    },
    /// A text without characters.
    #[error("`{key}` is empty")]
    #[diagnostic(help("leave the line out where it is not known"))]
    Empty {
        /// The key.
        key: String,
    },
    /// A name that a screen can't show in one line.
    #[error("`{key}` holds a control character or a line break")]
    #[diagnostic(help("write it in one line of plain text"))]
    Control {
        /// The key.
        key: String,
    },
    /// A name longer than a line of a report.
    #[error("`{key}` has {characters} characters, expected at most {most}")]
    #[diagnostic(help("give a short name"))]
    TooLong {
        /// The key.
        key: String,
        /// Characters found.
        characters: usize,
        /// Characters allowed.
        most: usize,
    },
}

/// What type a value should have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Expected {
    /// Text in quotes with its unit.
    Quantity(Dimension),
    /// Text in quotes.
    Text,
    /// `true` or `false`.
    Boolean,
    /// One table.
    Table,
    /// Tables that may stand several times.
    Tables,
    /// A quantity for each of several names.
    ByName(Dimension),
}

impl Expected {
    fn says(self) -> String {
        match self {
            Self::Quantity(dimension) => format!("{} in quotes", dimension.with_article()),
            Self::Text => "text in quotes".into(),
            Self::Boolean => "true or false without quotes".into(),
            Self::Table => "one table in single brackets".into(),
            Self::Tables => "a table in double brackets".into(),
            Self::ByName(_) => "names with their values".into(),
        }
    }

    fn help(self, key: &str, written: Option<&str>) -> String {
        match (self, written) {
            (Self::Quantity(_), Some(written)) => {
                format!("write it in quotes, with its unit: `{key} = \"{written}\"`")
            }
            (Self::Quantity(dimension), None) => {
                let example = dimension.example();
                format!("write it in quotes, with its unit, such as `{key} = \"{example}\"`")
            }
            (Self::Text, _) => format!("write it in quotes: `{key} = \"…\"`"),
            (Self::Boolean, _) => format!("write `{key} = true` or leave it out"),
            (Self::Table, _) => format!("write a line `[{key}]` once, and its keys below it"),
            (Self::Tables, _) => {
                format!("write a line `[[{key}]]`, two brackets either side, and its keys below it")
            }
            (Self::ByName(dimension), _) => {
                format!("write such as `{key} = {{ B1 = \"{}\" }}`", dimension.example())
            }
        }
    }
}

fn table_word(table: &str) -> String {
    if table.starts_with('[') { format!("table `{table}`") } else { table.to_owned() }
}

fn near_key(nearest: Option<&str>) -> String {
    match nearest {
        Some(nearest) => format!("did you mean `{nearest}`?"),
        None => "take the line out, or see whether it belongs to another table".into(),
    }
}

fn near_word(nearest: Option<&'static str>, words: &[&'static str], found: &str) -> String {
    match (nearest, words) {
        (None, ["reservoir", ..]) if found.to_lowercase().contains("bypass") => {
            "a cathode bypass is no node: write a table `[[bypass]]`".into()
        }
        (Some(nearest), _) => format!("did you mean `{nearest}`?"),
        (None, [only]) => format!("write `{only}`"),
        (None, _) => "take one of these words, or leave the line out where it is not known".into(),
    }
}

fn syntax_advice(says: &str) -> &'static str {
    if says.ends_with("twice") {
        "give each key once, and each table in single brackets once"
    } else if says.contains("recurs") {
        "a job file is never so deep: take out what is nested"
    } else {
        "a line is `key = \"value\"`, `[table]`, `[[table]]` or `# remark`"
    }
}
