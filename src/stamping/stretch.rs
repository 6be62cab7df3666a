//! Questions about one stretch of pieces, asked by the reader.

use std::ops::Range;

use super::{
    doubt::Stop,
    piece::{Class, Figure, List, Piece, PieceKind},
    plausible,
    role::{self, Member, Role},
    words::Word,
};
use crate::can::Mark;

/// Whether a stretch ends at piece `i`; a comma between two colours only lists them.
pub(super) fn is_break(pieces: &[Piece], i: usize) -> bool {
    let colour = |i: Option<usize>| {
        matches!(
            i.and_then(|i| pieces.get(i)).map(|p| &p.kind),
            Some(PieceKind::Mark(Mark::Colour(_)))
        )
    };
    let range = |i: Option<usize>| match i.and_then(|i| pieces.get(i)).map(|p| &p.kind) {
        Some(PieceKind::List(l)) => role::is_range(l),
        _ => false,
    };
    match pieces.get(i).map(|p| &p.kind) {
        Some(PieceKind::Break(',')) if range(i.checked_sub(1)) && range(Some(i + 1)) => false,
        Some(PieceKind::Break(',')) => !(colour(i.checked_sub(1)) && colour(Some(i + 1))),
        Some(PieceKind::Break(_)) => true,
        _ => false,
    }
}

/// `4- -20`, `40-20- MFD`: signs that join nothing, where a digit or a figure is lost.
pub(super) fn refuse_double_sign(stretch: &[Piece]) -> Result<(), Stop> {
    let sign = |p: &Piece| matches!(p.kind, PieceKind::Sign('-' | '/' | '+'));
    let list = |p: &Piece| matches!(&p.kind, PieceKind::List(l) if !l.reversed);
    let reversed = |p: &Piece| matches!(&p.kind, PieceKind::List(l) if l.reversed);
    // `40-X MFD`, `40-XX MFD`: letters in the place of a figure.
    let worn = |p: &Piece| matches!(p.kind, PieceKind::Word(Word::Times) | PieceKind::Unknown);
    let gap = |i: usize| match stretch.get(i..).unwrap_or_default() {
        [a, b, c, d, ..] if list(a) && sign(b) && sign(c) && list(d) => {
            Some(b.span.start..c.span.end)
        }
        [a, b, c, d, ..] if list(a) && sign(b) && worn(c) && reversed(d) => Some(c.span.clone()),
        [a, b, c, ..] if list(a) && sign(b) && reversed(c) => Some(b.span.clone()),
        _ => None,
    };
    (0..stretch.len()).find_map(gap).map_or(Ok(()), |span| {
        Err(Stop::refuse(
            span,
            "a sign that joins nothing, expected a figure behind it: one may be lost",
            "look at the can again, and type _ for a digit that can't be read",
        ))
    })
}

/// `40-20-450` or `40-450-20-450`: values and volts in one row.
pub(super) fn is_row(list: &List) -> bool {
    let count = list.figures.len();
    let volts = |f: &Figure| f.value >= plausible::SURELY_VOLTS;
    list.class == Class::Bare
        && count > 2
        && list.sign != 'x'
        && list.figures.iter().any(volts)
        && list.figures.first().is_some_and(|f| !volts(f))
}

/// Every figure of a row as a list of its own.
pub(super) fn spread_out(member: &Member) -> Vec<Member> {
    let alone = |f: &Figure| Member {
        list: List { figures: vec![*f], sign: ' ', ..member.list.clone() },
        at_sign: false,
        sign: ' ',
    };
    member.list.figures.iter().map(alone).collect()
}

/// Neighbouring bare figures of volts make one list: `60 40 350 300`.
pub(super) fn merged(run: &[Member], roles: &[Role]) -> Vec<(List, Role)> {
    let mut out: Vec<(List, Role)> = Vec::with_capacity(run.len());
    for (member, role) in run.iter().zip(roles) {
        match out.last_mut() {
            Some((list, Role::Volts))
                if *role == Role::Volts
                    && list.class == Class::Bare
                    && member.list.class == Class::Bare =>
            {
                list.figures.extend(&member.list.figures);
            }
            _ => out.push((member.list.clone(), *role)),
        }
    }
    out
}

/// `BLACK -16` among colours with a plus: the negative lead of the 16 µF section.
pub(super) fn is_negative_lead(stretch: &[Piece], i: usize) -> bool {
    matches!(stretch.get(i + 1).map(|p| &p.kind), Some(PieceKind::Sign('-')))
        && matches!(stretch.get(i + 2).map(|p| &p.kind), Some(PieceKind::List(l)) if l.class == Class::Bare && l.figures.len() == 1)
}

pub(super) fn span_of(stretch: &[Piece]) -> Range<usize> {
    stretch.first().map_or(0, |p| p.span.start)..stretch.last().map_or(0, |p| p.span.end)
}

/// `2 NEG. LEADS`: a stretch of wiring words whose only figure counts leads.
pub(super) fn is_lead_count(stretch: &[Piece]) -> bool {
    stretch.iter().any(|p| matches!(p.kind, PieceKind::Word(Word::Negative)))
        && stretch.iter().all(|p| match &p.kind {
            PieceKind::List(l) => {
                l.class == Class::Bare && l.figures.len() == 1 && l.figures[0].value < 9.0
            }
            _ => true,
        })
}

pub(super) fn next_list(pieces: &[Piece]) -> Option<&List> {
    pieces.iter().find_map(|p| match &p.kind {
        PieceKind::List(l) => Some(l),
        _ => None,
    })
}
