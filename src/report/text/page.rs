//! A page of text: lines of at most 80 columns, wrapped by display width.

use anstyle::{AnsiColor, Style};
use unicode_width::UnicodeWidthStr;

use crate::{record::reason::is_steering, rules::Verdict};

/// Columns of a page.
pub const WIDTH: usize = 80;

/// A page under construction.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Page {
    lines: Vec<String>,
}

impl Page {
    /// An empty page.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds one line as it stands.
    pub fn line(&mut self, line: impl Into<String>) {
        self.lines.push(line.into());
    }

    /// Adds an empty line.
    pub fn gap(&mut self) {
        self.lines.push(String::new());
    }

    /// Adds `text` behind `label`, wrapped, its further lines under its first.
    pub fn labelled(&mut self, label: &str, text: &str) {
        let label = pad(label, 10);
        let options = textwrap::Options::new(WIDTH)
            .initial_indent(&label)
            .subsequent_indent("          ")
            .word_separator(textwrap::WordSeparator::AsciiSpace)
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        self.lines.extend(textwrap::wrap(&harmless(text), options).into_iter().map(Into::into));
    }

    /// Number of lines.
    #[must_use]
    pub fn len(&self) -> usize {
        self.lines.len()
    }

    /// Whether there is no line.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// Adds the lines of another page.
    pub fn append(&mut self, other: Self) {
        self.lines.extend(other.lines);
    }

    /// The text, each line ended.
    #[must_use]
    pub fn into_text(self) -> String {
        let ended = self.lines.iter().map(|line| format!("{}\n", line.trim_end()));
        ended.collect()
    }
}

/// `text` with spaces after it up to `width` columns; cut with `…` where longer.
#[must_use]
pub fn pad(text: &str, width: usize) -> String {
    let shown = fit(text, width);
    let spaces = width.saturating_sub(shown.width());
    format!("{shown}{}", " ".repeat(spaces))
}

/// `text` cut to `width` columns, with `…` where something was cut.
#[must_use]
pub fn fit(text: &str, width: usize) -> String {
    let text = harmless(text);
    if text.width() <= width {
        return text;
    }
    let mut cut = String::new();
    for c in text.chars() {
        if cut.width() + c.to_string().width() + 1 > width {
            break;
        }
        cut.push(c);
    }
    cut.push('…');
    cut
}

/// What people typed, made harmless for a terminal: what steers one becomes a space.
#[must_use]
pub fn harmless(text: &str) -> String {
    text.chars().map(|c| if c.is_control() || is_steering(c) { ' ' } else { c }).collect()
}

/// `1 line`, `2 lines`.
#[must_use]
pub fn counted(count: usize, what: &str) -> String {
    match (count, what.strip_suffix('y')) {
        (1, _) => format!("1 {what}"),
        (_, Some(stem)) => format!("{count} {stem}ies"),
        _ => format!("{count} {what}s"),
    }
}

/// A verdict's word in its colour.
#[must_use]
pub fn verdict(verdict: Verdict) -> String {
    coloured(verdict.name(), verdict)
}

/// Another word in the colour of a verdict.
#[must_use]
pub fn coloured(word: &str, verdict: Verdict) -> String {
    let colour = match verdict {
        Verdict::Pass => AnsiColor::Green,
        Verdict::Caution => AnsiColor::Yellow,
        Verdict::Fail => AnsiColor::Red,
        Verdict::Note | Verdict::NotJudged => return word.into(),
    };
    paint(word, colour.on_default())
}

/// `text` in bold.
#[must_use]
pub fn bold(text: &str) -> String {
    paint(text, Style::new().bold())
}

fn paint(text: &str, style: Style) -> String {
    format!("{style}{text}{style:#}")
}
