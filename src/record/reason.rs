//! The technician's reason: free text made harmless, and nothing else changed.

/// Longest reason, characters.
pub const MOST_CHARACTERS: usize = 8_000;

/// Free text that no terminal or page can take for anything but text: line
/// breaks stay, other control characters and those that turn the direction of
/// writing are gone, spaces at line ends too.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Reason(String);

/// A reason too long to be one.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, miette::Diagnostic)]
#[error("a reason of {characters} characters, at most {MOST_CHARACTERS} expected")]
#[diagnostic(help("give the reason in a few sentences"))]
pub struct ReasonError {
    /// What was found.
    pub characters: usize,
}

impl Reason {
    /// The reason in `text`; an empty one where it holds nothing to read.
    ///
    /// # Errors
    /// More than [`MOST_CHARACTERS`] characters.
    pub fn new(text: &str) -> Result<Self, ReasonError> {
        let characters = text.chars().count();
        if characters > MOST_CHARACTERS {
            return Err(ReasonError { characters });
        }
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        let lines: Vec<String> =
            text.split('\n').map(|line| harmless(line).trim_end().to_owned()).collect();
        Ok(Self(lines.join("\n").trim().to_owned()))
    }

    /// The text, or `None` where there is none.
    #[must_use]
    pub fn text(&self) -> Option<&str> {
        (!self.0.is_empty()).then_some(self.0.as_str())
    }
}

/// `text` without what steers a terminal or the direction of writing: tabs and
/// line breaks become spaces, other such characters go.
#[must_use]
pub fn harmless(text: &str) -> String {
    let kept = text.chars().filter_map(|c| match c {
        '\t' | '\n' | '\r' => Some(' '),
        c if c.is_control() || is_steering(c) => None,
        c => Some(c),
    });
    kept.collect()
}

/// Whether `c` is an invisible character that steers how others are shown:
/// direction marks, embeddings and isolates, line and paragraph separators,
/// zero-width characters, tags (Unicode, chapters 9 and 23).
#[must_use]
pub fn is_steering(c: char) -> bool {
    matches!(c,
        '\u{61c}' | '\u{ad}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}'
        | '\u{e0000}'..='\u{e007f}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: Option<&str>) {
        assert_eq!(Reason::new(text).unwrap().text(), expected);
    }

    #[test]
    fn text_stays_and_control_goes() {
        check("owner wants it quiet", Some("owner wants it quiet"));
        check("one\r\ntwo  \rthree", Some("one\ntwo\nthree"));
        check("\u{1b}[31mred\u{1b}[0m\u{7}", Some("[31mred[0m"));
        check("a\u{202e}b\u{2066}c", Some("abc"));
        check("µF Ω ◗ |<b>`", Some("µF Ω ◗ |<b>`"));
        check(" \n\t\u{0}\n", None);
        check("", None);
    }

    #[test]
    fn too_long_is_refused() {
        assert_eq!(
            Reason::new(&"x".repeat(MOST_CHARACTERS + 1)).unwrap_err().to_string(),
            "a reason of 8001 characters, at most 8000 expected"
        );
        assert!(Reason::new(&"µ".repeat(MOST_CHARACTERS)).is_ok());
    }
}
