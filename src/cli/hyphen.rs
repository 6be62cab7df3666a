//! Text that begins with a hyphen (`- 20 MFD 25 V`, the plain lug's mark) is no
//! option. Such arguments are marked before the parser sees them, and the mark
//! is taken off their values.

use std::{convert::Infallible, ffi::OsString};

/// No text that people type begins with this character.
const MARK: char = '\u{1}';

/// Marks every argument that begins with a hyphen and can't be an option.
pub(super) fn mark(argument: OsString) -> OsString {
    match argument.to_str() {
        Some(text) if text.starts_with('-') && !is_option(text) => format!("{MARK}{text}").into(),
        _ => argument,
    }
}

/// The text as typed: a value parser for whatever may begin with a hyphen.
#[expect(clippy::unnecessary_wraps, reason = "the parser's interface")]
pub(super) fn text(value: &str) -> Result<String, Infallible> {
    Ok(value.strip_prefix(MARK).unwrap_or(value).to_owned())
}

/// `-`, `--`, `-h`, `-V`, `--name` or `--name=value`.
fn is_option(text: &str) -> bool {
    let Some(long) = text.strip_prefix("--") else {
        return matches!(text, "-" | "-h" | "-V");
    };
    let name = long.split('=').next().unwrap_or(long);
    name.bytes().all(|b| b.is_ascii_lowercase() || b == b'-')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(typed: &str, option: bool) {
        let marked = mark(typed.into());
        assert_eq!(marked == typed, option, "{typed}");
        assert_eq!(text(marked.to_str().unwrap()), Ok(typed.to_owned()));
    }

    #[test]
    fn options_are_left_alone() {
        for typed in ["-", "--", "-h", "-V", "--fit", "--no-ask", "--fit=half-round=22 + 22"] {
            check(typed, true);
        }
    }

    #[test]
    fn text_is_marked() {
        for typed in
            ["- 20 25", "-20 MFD 25 V", "-20", "--20", "-C 40 450", "-x", "--- 20 25", "-="]
        {
            check(typed, typed == "---");
        }
    }
}
