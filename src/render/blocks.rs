//! A document in blocks: headings, lines behind a label, tables of cells. Each piece of
//! text says what it is, never how it looks.

use crate::rules::Grade;

/// What a piece of text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Words.
    Text,
    /// A figure, which stands to the right in its column.
    Figure,
    /// The name of a section.
    Mark,
    /// The word of a verdict.
    Verdict(Grade),
    /// What must be read before hands go in.
    Danger,
}

/// A piece of text of one kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// What it is.
    pub kind: Kind,
    /// Its words.
    pub text: String,
}

/// Pieces that follow each other.
pub type Text = Vec<Piece>;

/// A piece of `kind`.
pub fn piece(kind: Kind, text: impl Into<String>) -> Piece {
    Piece { kind, text: text.into() }
}

/// Words alone.
pub fn plain(text: impl Into<String>) -> Text {
    vec![piece(Kind::Text, text)]
}

/// A figure alone.
pub fn figure(text: impl Into<String>) -> Text {
    vec![piece(Kind::Figure, text)]
}

/// The name of a section alone.
pub fn mark(text: impl Into<String>) -> Text {
    vec![piece(Kind::Mark, text)]
}

/// One block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// A line of its own over what follows.
    Heading(Text),
    /// Text behind a label, its further lines under its first; with an empty label it
    /// stands under what a label is before, and without one at the margin.
    Line(Option<&'static str>, Text),
    /// A table, or a part of one: tables of one group have the same columns.
    Table(Table),
    /// An empty line.
    Gap,
}

/// Rows of cells under a head.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Table {
    /// Names of the columns; empty for rows that go on with an earlier table.
    pub head: Vec<Text>,
    /// A cell a column; missing ones are empty.
    pub rows: Vec<Vec<Text>>,
    /// Which tables share their columns.
    pub group: usize,
    /// Columns that its rows stand in from the margin.
    pub indent: usize,
}

/// A block with shorter ways to say it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// The fullest way first.
    pub ways: Vec<Vec<Block>>,
    /// What goes first where there is no room: the lowest; `None` always stays.
    pub weight: Option<u8>,
    /// What the item is counted as where it is left out.
    pub counted: (usize, &'static str),
}

/// A page in blocks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// Its items, in order.
    pub items: Vec<Item>,
    /// Columns of the labels.
    pub label: usize,
    /// Where what is left out can be read.
    pub rest: &'static str,
}

impl Document {
    /// An empty page with labels of `label` columns.
    #[must_use]
    pub fn new(label: usize, rest: &'static str) -> Self {
        Self { items: Vec::new(), label, rest }
    }

    /// Adds what always stays.
    pub fn keep(&mut self, block: Block) {
        self.items.push(Item { ways: vec![vec![block]], weight: None, counted: (0, "") });
    }

    /// Adds a labelled line that always stays.
    pub fn keep_line(&mut self, label: &'static str, text: Text) {
        self.keep(Block::Line(Some(label), text));
    }

    /// Adds a labelled line that may be left out, counted as `what`.
    pub fn line(&mut self, weight: u8, label: &'static str, text: Text, what: &'static str) {
        self.add(weight, vec![vec![Block::Line(Some(label), text)]], (1, what));
    }

    /// Adds what may be said more shortly, or be left out.
    pub fn add(&mut self, weight: u8, ways: Vec<Vec<Block>>, counted: (usize, &'static str)) {
        self.items.push(Item { ways, weight: Some(weight), counted });
    }

    /// Adds what may be said more shortly and is never left out.
    pub fn add_shorter(&mut self, weight: u8, ways: Vec<Vec<Block>>) {
        self.add(weight, ways, (0, ""));
    }
}
