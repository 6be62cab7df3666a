//! Blocks as lines of a terminal: wrapped by display width, tables aligned, colour and
//! weight for verdict words and danger alone, ASCII where nothing else can be shown.

use anstyle::{AnsiColor, Style};
use unicode_width::UnicodeWidthStr;

use super::{
    Screen,
    blocks::{Block, Kind, Piece, Table, Text},
};
use crate::{record::reason::is_steering, rules::Grade};

/// Columns between those of a table.
const BETWEEN: usize = 2;
/// A column of a table is never narrower, however little room there is.
const NARROWEST: usize = 8;

/// A word in its kind, and whether it must stay on the line of the one before it.
struct Word {
    kind: Kind,
    text: String,
    glued: bool,
}

/// The lines of `blocks`, labels `label` columns wide.
pub(super) fn lines(blocks: &[Block], label: usize, screen: Screen) -> Vec<String> {
    let mut lines = Vec::new();
    for block in blocks {
        match block {
            Block::Gap => lines.push(String::new()),
            Block::Heading(text) => lines.extend(wrapped(text, screen.width, screen)),
            Block::Line(None, text) => lines.extend(hanging("", 0, 2, text, screen)),
            Block::Line(Some(name), text) => {
                let danger = text.iter().any(|piece| piece.kind == Kind::Danger);
                let painted = if danger { paint(Kind::Danger, name) } else { (*name).to_owned() };
                let start = padded(&painted, name.width(), label.max(name.width() + 1));
                lines.extend(hanging(&start, label, label, text, screen));
            }
            Block::Table(table) => {
                let widths = widths(blocks, table.group, screen);
                let head = (!table.head.is_empty()).then_some(&table.head);
                let rows = head.into_iter().chain(&table.rows);
                let indent = " ".repeat(table.indent);
                let rows = rows.flat_map(|row| row_lines(row, &widths, screen));
                lines.extend(rows.map(|row| format!("{indent}{row}")));
            }
        }
    }
    lines
}

/// `text` behind `start`, which is `first` columns wide, further lines `rest` columns in.
fn hanging(start: &str, first: usize, rest: usize, text: &Text, screen: Screen) -> Vec<String> {
    let room = screen.width.saturating_sub(first.max(rest));
    let lines = wrapped(text, room, screen);
    let indent = " ".repeat(rest);
    let each = lines.into_iter().enumerate();
    let each = each.map(|(i, line)| format!("{}{line}", if i == 0 { start } else { &indent }));
    each.map(|line| line.trim_end().to_owned()).collect()
}

/// Whether the tables of `group` fit `screen` as they stand.
pub(super) fn is_narrow(tables: &[&Table], screen: Screen) -> bool {
    let indent = tables.iter().map(|table| table.indent).max().unwrap_or(0);
    indent + total(&natural(tables.iter().copied(), screen)) <= screen.width
}

/// The columns of a group of tables: as wide as what stands in them, the widest cut
/// where that is too much.
fn widths(blocks: &[Block], group: usize, screen: Screen) -> Vec<usize> {
    let tables = blocks.iter().filter_map(|block| match block {
        Block::Table(table) if table.group == group => Some(table),
        _ => None,
    });
    let indent = tables.clone().map(|table| table.indent).max().unwrap_or(0);
    let mut widths = natural(tables, screen);
    while indent + total(&widths) > screen.width {
        let widest = (0..widths.len()).max_by_key(|i| widths[*i]);
        match widest.filter(|i| widths[*i] > NARROWEST) {
            Some(widest) => widths[widest] -= 1,
            None => break,
        }
    }
    widths
}

fn natural<'t>(tables: impl Iterator<Item = &'t Table>, screen: Screen) -> Vec<usize> {
    let mut widths: Vec<usize> = Vec::new();
    for row in tables.flat_map(|table| std::iter::once(&table.head).chain(&table.rows)) {
        for (i, cell) in row.iter().enumerate() {
            let width = width(cell, screen);
            match widths.get_mut(i) {
                Some(widest) => *widest = width.max(*widest),
                None => widths.push(width),
            }
        }
    }
    widths
}

fn total(widths: &[usize]) -> usize {
    widths.iter().sum::<usize>() + BETWEEN * widths.len().saturating_sub(1)
}

fn width(cell: &Text, screen: Screen) -> usize {
    cell.iter().map(|piece| shown(&piece.text, screen).width()).sum()
}

fn row_lines(row: &[Text], widths: &[usize], screen: Screen) -> Vec<String> {
    let cells: Vec<Vec<(String, usize)>> =
        row.iter().zip(widths).map(|(cell, width)| wrap(cell, *width, screen)).collect();
    let height = cells.iter().map(Vec::len).max().unwrap_or(0).max(1);
    let line = |at: usize| {
        let mut line = String::new();
        for ((cell, lines), width) in row.iter().zip(&cells).zip(widths) {
            let (text, taken) = lines.get(at).cloned().unwrap_or_default();
            let right = cell.first().is_some_and(|piece| piece.kind == Kind::Figure);
            let blanks = " ".repeat(width.saturating_sub(taken));
            line.push_str(&if right { blanks + &text } else { text + &blanks });
            line.push_str(&" ".repeat(BETWEEN));
        }
        line.trim_end().to_owned()
    };
    (0..height).map(line).collect()
}

fn wrapped(text: &Text, width: usize, screen: Screen) -> Vec<String> {
    let lines = wrap(text, width, screen).into_iter().map(|(line, _)| line);
    let lines: Vec<String> = lines.collect();
    if lines.is_empty() { vec![String::new()] } else { lines }
}

/// Lines of at most `width` columns, painted, each with its width.
fn wrap(text: &Text, width: usize, screen: Screen) -> Vec<(String, usize)> {
    let mut lines: Vec<(String, usize)> = Vec::new();
    let words = words(text, width, screen);
    let mut at = 0;
    while at < words.len() {
        // A figure and its unit stay together.
        let end = (at + 1..words.len()).find(|i| !words[*i].glued).unwrap_or(words.len());
        let needed: usize = words[at..end].iter().map(|word| word.text.width() + 1).sum();
        let fits = lines.last().is_some_and(|(_, taken)| taken + needed <= width);
        if !fits {
            lines.push((String::new(), 0));
        }
        for word in &words[at..end] {
            let Some((line, taken)) = lines.last_mut() else { continue };
            if *taken > 0 && *taken + 1 + word.text.width() > width {
                lines.push((paint(word.kind, &word.text), word.text.width()));
                continue;
            }
            if *taken > 0 {
                line.push(' ');
                *taken += 1;
            }
            line.push_str(&paint(word.kind, &word.text));
            *taken += word.text.width();
        }
        at = end;
    }
    lines.into_iter().map(|(line, taken)| (joined(line), taken)).collect()
}

/// Words of one kind that follow each other are painted as one.
fn joined(mut line: String) -> String {
    let kinds = [Grade::Pass, Grade::Caution, Grade::Fail].map(Kind::Verdict);
    for kind in kinds.into_iter().chain([Kind::Danger]) {
        let style = style(kind);
        line = line.replace(&format!("{style:#} {style}"), " ");
    }
    line
}

/// Words with their kinds; one wider than a line is cut into pieces that are not.
fn words(text: &Text, width: usize, screen: Screen) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    for Piece { kind, text } in text {
        for word in shown(text, screen).split_whitespace() {
            let after_a_figure =
                words.last().is_some_and(|word| word.text.ends_with(|c: char| c.is_ascii_digit()));
            let glued = after_a_figure && is_unit(word);
            let mut rest = word;
            while rest.width() > width.max(1) {
                let fits = |(i, c): (usize, char)| {
                    let end = i + c.len_utf8();
                    (rest[..end].width() <= width.max(1)).then_some(end)
                };
                let end = rest.char_indices().map_while(fits).last().unwrap_or(rest.len());
                words.push(Word { kind: *kind, text: rest[..end].to_owned(), glued: false });
                rest = &rest[end..];
                if end == 0 {
                    break;
                }
            }
            if !rest.is_empty() {
                words.push(Word { kind: *kind, text: rest.to_owned(), glued });
            }
        }
    }
    words
}

/// Whether a word begins with the unit of the figure before it.
fn is_unit(word: &str) -> bool {
    const UNITS: [&str; 17] = [
        "V", "mV", "µV", "uV", "A", "mA", "µA", "µF", "uF", "pF", "Ω", "kΩ", "ohm", "kohm", "W",
        "dB", "%",
    ];
    let bare = word.trim_end_matches([',', ';', ':', '.', ')']);
    UNITS.contains(&bare)
}

fn padded(text: &str, taken: usize, width: usize) -> String {
    format!("{text}{}", " ".repeat(width.saturating_sub(taken)))
}

fn paint(kind: Kind, text: &str) -> String {
    let style = style(kind);
    format!("{style}{text}{style:#}")
}

/// Nothing but verdict words and danger has a style.
fn style(kind: Kind) -> Style {
    match kind {
        Kind::Verdict(Grade::Pass) => AnsiColor::Green.on_default(),
        Kind::Verdict(Grade::Caution) => AnsiColor::Yellow.on_default(),
        Kind::Verdict(Grade::Fail) => AnsiColor::Red.on_default(),
        Kind::Danger => Style::new().bold(),
        Kind::Text | Kind::Figure | Kind::Mark => Style::new(),
    }
}

/// Text that a terminal takes for nothing but text, in what it can show.
fn shown(text: &str, screen: Screen) -> String {
    let harmless = text.chars().map(|c| if c.is_control() || is_steering(c) { ' ' } else { c });
    if !screen.ascii {
        return harmless.collect();
    }
    let mut ascii = String::new();
    for c in harmless {
        match c {
            c if c.is_ascii() => ascii.push(c),
            'µ' | 'μ' => ascii.push('u'),
            'Ω' | '\u{2126}' => ascii.push_str("ohm"),
            '±' => ascii.push_str("+-"),
            '°' => ascii.push_str("deg "),
            '×' => ascii.push('x'),
            '²' => ascii.push('2'),
            '√' => ascii.push_str("sqrt "),
            'π' => ascii.push_str("pi"),
            '½' => ascii.push_str("1/2"),
            '–' | '—' | '−' => ascii.push('-'),
            '→' => ascii.push_str("->"),
            '…' => ascii.push_str("..."),
            '◗' => ascii.push_str("half-round"),
            '□' | '■' => ascii.push_str("square"),
            '△' | '▲' => ascii.push_str("triangle"),
            '‘' | '’' => ascii.push('\''),
            '“' | '”' => ascii.push('"'),
            '\u{a0}' => ascii.push(' '),
            _ => ascii.push('?'),
        }
    }
    ascii
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::blocks::{figure, mark, piece, plain};

    fn text(blocks: &[Block], screen: Screen) -> String {
        let text = lines(blocks, 8, screen).join("\n");
        anstream::adapter::strip_str(&text).to_string()
    }

    #[test]
    fn a_table_and_a_line_that_wraps() {
        let table = Table {
            head: vec![plain(""), plain("hot V")],
            rows: vec![vec![mark("square"), figure("9.5")], vec![mark("plain"), figure("393")]],
            group: 0,
            indent: 0,
        };
        let says =
            "a sentence that is longer than sixty columns are, up to the figure 47 µF, and on";
        let blocks = [
            Block::Table(table),
            Block::Line(Some("Next"), plain(says)),
            Block::Line(Some("Danger"), vec![piece(Kind::Danger, "unplug")]),
        ];
        insta::assert_snapshot!(text(&blocks, Screen::new(60, true)), @r"
                hot V
        square    9.5
        plain     393
        Next    a sentence that is longer than sixty columns are, up
                to the figure 47 uF, and on
        Danger  unplug
        ");
    }

    #[test]
    fn no_line_is_wider_than_the_screen() {
        let long = "x".repeat(300);
        let cell = |text: &str| plain(text.to_owned());
        let row = vec![cell("half-round"), cell("47 µF 450 V side by side with more"), cell(&long)];
        let table = Table { head: Vec::new(), rows: vec![row.clone(), row], group: 1, indent: 2 };
        let blocks = [Block::Table(table), Block::Line(Some("Next"), cell(&long))];
        for width in [60, 80, 100] {
            let screen = Screen::new(width, false);
            for line in text(&blocks, screen).lines() {
                assert!(line.width() <= width, "{width}: {line}");
            }
        }
    }
}
