//! Shows answers. A renderer takes an answer's document and works nothing out: it makes
//! blocks of it ([`blocks`]), leaves out what does not fit a screen ([`fit`]), and lays
//! the rest out for the place where it is read ([`terminal`]).

pub mod blocks;
pub mod check;
pub mod explain;
pub mod fault;
pub mod fit;
mod parts;
pub mod sets;
pub mod terminal;

/// Where an answer is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screen {
    /// Columns.
    pub width: usize,
    /// Whether only ASCII can be shown.
    pub ascii: bool,
}

impl Screen {
    /// Columns where nobody can tell, as in a pipe.
    pub const PIPE: usize = 80;
    /// Fewest and most columns that are made use of.
    pub const WIDTHS: [usize; 2] = [60, 100];

    /// A screen of `width` columns, within what is made use of.
    #[must_use]
    pub fn new(width: usize, ascii: bool) -> Self {
        let [fewest, most] = Self::WIDTHS;
        Self { width: width.clamp(fewest, most), ascii }
    }

    /// How many lines hold what `lines` of 80 columns do.
    #[must_use]
    pub fn lines(self, lines: usize) -> usize {
        if self.width >= Self::PIPE { lines } else { lines * Self::PIPE / self.width }
    }
}
