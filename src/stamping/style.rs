//! How a whole text is written: marks before or after, pairs, volts first.

use super::{
    piece::{Class, List, Piece, PieceKind},
    plausible,
};
use crate::can::Mark;

/// How the whole text is written.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is one observation, independent of the others"
)]
pub(super) struct Style {
    /// Marks stand before the values.
    pub(super) marks_before: bool,
    /// Some value has a unit.
    pub(super) explicit: bool,
    /// A bare `40-450` stands somewhere.
    pub(super) pairs: bool,
    /// Colours carry their polarity: `RED + 16`.
    pub(super) polar: bool,
    /// Volts come first, values after.
    pub(super) volts_first: bool,
}

pub(super) fn style(pieces: &[Piece]) -> Style {
    let mut style = Style::default();
    let mut first_mark = None;
    for (i, piece) in pieces.iter().enumerate() {
        match &piece.kind {
            PieceKind::Mark(mark) => {
                first_mark = first_mark.or(Some(i));
                style.polar |= matches!(mark, Mark::Colour(_))
                    && matches!(pieces.get(i + 1).map(|p| &p.kind), Some(PieceKind::Sign('+')));
            }
            PieceKind::Strange => first_mark = first_mark.or(Some(i)),
            PieceKind::List(list) => {
                style.explicit |= list.class.is_farads();
                style.pairs |= list.class == Class::Bare
                    && is_value_pair(list)
                    && matches!(list.sign, '-' | '/');
            }
            _ => {}
        }
    }
    style.pairs |= pieces.split(|p| matches!(p.kind, PieceKind::Break(_))).any(is_bare_pair);
    style.marks_before = first_mark.is_some_and(|i| !list_before_in_line(pieces, i));
    let mut lists = pieces.iter().filter_map(|p| match &p.kind {
        PieceKind::List(l) => Some(l.class),
        _ => None,
    });
    let (first, last) = (lists.next(), lists.next_back());
    style.volts_first = first == Some(Class::Volts) && last.is_some_and(Class::is_farads);
    style
}

/// `40 450` as the only figures of a stretch.
fn is_bare_pair(stretch: &[Piece]) -> bool {
    let mut lists = stretch.iter().filter_map(|p| match &p.kind {
        PieceKind::List(l) => Some(l),
        _ => None,
    });
    let bare = |l: &&List| l.class == Class::Bare && l.figures.len() == 1;
    let value = |l: &List| l.figures.first().map_or(0.0, |f| f.value);
    match (lists.next().filter(bare), lists.next().filter(bare), lists.next()) {
        (Some(a), Some(b), None) => {
            value(a) < plausible::SURELY_VOLTS && value(b) >= plausible::SURELY_VOLTS
        }
        _ => false,
    }
}

/// Whether figures stand before piece `i` in its line.
fn list_before_in_line(pieces: &[Piece], i: usize) -> bool {
    pieces
        .get(..i)
        .unwrap_or_default()
        .iter()
        .rev()
        .take_while(|p| !matches!(p.kind, PieceKind::Break('\n' | ';')))
        .any(|p| matches!(p.kind, PieceKind::List(_)))
}

/// `40-450V`: value and volts in one list, so no volts for what stands before.
pub(super) fn is_value_pair(list: &List) -> bool {
    matches!(list.figures.as_slice(), [a, b] if a.value < plausible::SURELY_VOLTS && b.value >= plausible::SURELY_VOLTS)
}
