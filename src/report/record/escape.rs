//! Text that Markdown can take for nothing but text (`CommonMark` 0.31; tables
//! and bare links as in its GitHub dialect).

use unicode_width::UnicodeWidthStr;

use crate::record::reason::harmless;

/// Columns of a page.
const WIDTH: usize = 80;

/// `text` on one line, with everything escaped that could begin markup.
pub(super) fn inline(text: &str) -> String {
    let text = harmless(text);
    let mut out = String::with_capacity(text.len());
    let mut rest = text.chars();
    while let Some(c) = rest.next() {
        let link = c == ':' && rest.as_str().starts_with("//");
        let www = c == '.' && out.to_ascii_lowercase().ends_with("www");
        if link || www || is_markup(c) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

/// A list item or paragraph: `first` before its first line, as many spaces
/// before the others, wrapped.
pub(super) fn wrapped(first: &str, text: &str) -> String {
    prefixed(first, &" ".repeat(first.width()), text)
}

/// As [`wrapped`], with `rest` before the further lines.
pub(super) fn prefixed(first: &str, rest: &str, text: &str) -> String {
    // One column is kept for an escape at the beginning of a line.
    let options = textwrap::Options::new(WIDTH - first.width() - 1)
        .break_words(false)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    let escaped = inline(text);
    let lines = textwrap::wrap(escaped.trim(), options);
    let lines = lines.iter().enumerate().map(|(i, line)| {
        format!("{}{}\n", if i == 0 { first } else { rest }, line_start(line.trim()))
    });
    lines.collect()
}

/// Text over several lines in which nothing is markup: indented code.
pub(super) fn verbatim(text: &str) -> String {
    let lines = text.lines().map(|line| format!("    {}\n", harmless(line).trim_end()));
    lines.collect()
}

/// Escapes what is markup only at the beginning of a line: headings, lists,
/// rules, underlines of headings, fences of definitions.
fn line_start(line: &str) -> String {
    let digits = line.chars().take_while(char::is_ascii_digit).count();
    if digits > 0 && line[digits..].starts_with(['.', ')']) {
        return format!("{}\\{}", &line[..digits], &line[digits..]);
    }
    if line.starts_with(['#', '+', '-', '=', ':']) { format!("\\{line}") } else { line.into() }
}

fn is_markup(c: char) -> bool {
    matches!(c, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '&' | '~' | '$' | '@' | '!')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: &str) {
        assert_eq!(inline(text), expected);
    }

    #[test]
    fn markup_is_escaped() {
        check("5Y3-GT at 95 mA", "5Y3-GT at 95 mA");
        check("a|b `c` <b>&amp;</b>", "a\\|b \\`c\\` \\<b\\>\\&amp;\\</b\\>");
        check("![x](y) *z* _u_ ~~v~~", "\\!\\[x\\](y) \\*z\\* \\_u\\_ \\~\\~v\\~\\~");
        check("http://x www.y a@b", "http\\://x www\\.y a\\@b");
        check("one\ntwo\r\n\u{1b}[0m", "one two  \\[0m");
    }

    #[test]
    fn no_line_begins_markup() {
        for (line, expected) in [
            ("# x", "\\# x"),
            ("- x", "\\- x"),
            ("1. x", "1\\. x"),
            ("20) x", "20\\) x"),
            ("===", "\\==="),
            ("20 µF", "20 µF"),
            ("−20", "−20"),
        ] {
            assert_eq!(line_start(line), expected);
        }
    }

    #[test]
    fn long_text_is_wrapped_under_its_first_line() {
        let text = "x".repeat(60) + " yyyy zzzz " + &"w".repeat(90) + " - 20";
        insta::assert_snapshot!(wrapped("- ", &text), @r#"
        - xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx yyyy zzzz
          wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww
          \- 20
        "#);
        assert_eq!(wrapped("- ", ""), "- \n");
    }
}
