//! The wiring words of one stretch of text: `COMMON NEG. TO CAN`, `NEG. LEADS
//! BLACK AND BROWN`.

use super::{
    piece::{Class, Piece, PieceKind},
    plausible,
    words::Word,
};
use crate::can::{Colour, Mark};

/// What the wiring words of one stretch say.
#[derive(Debug, Default)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is one observation, independent of the others"
)]
pub(super) struct Phrase {
    pub(super) common_negative: bool,
    pub(super) common_positive: bool,
    pub(super) negative: usize,
    pub(super) positive: usize,
    pub(super) can: bool,
    pub(super) chassis: bool,
    pub(super) separate: bool,
    pub(super) insulated: bool,
    pub(super) not: bool,
    /// `NO COMMON NEG.`: the word denies what is common.
    pub(super) not_common: bool,
    /// A plus sign where no figures stand.
    plus_sign: bool,
    /// `FROM`, `LEADS` and other words inside such phrases.
    pub(super) filler: bool,
    pub(super) to: bool,
    pub(super) minus_sign: bool,
    pub(super) count: usize,
    pub(super) negative_leads: Vec<Colour>,
    /// `NEGATIVE … INSULATED`, in that order.
    pub(super) negative_first: bool,
}

impl Phrase {
    /// Whether it is a wiring phrase at all.
    pub(super) fn says_something(&self) -> bool {
        self.common_negative
            || self.common_positive
            || self.negative + self.positive > 0
            || self.can
            || self.chassis
            || self.separate
            || self.insulated
    }

    /// `CAN POSITIVE`, `POS. TO CAN`, `CAN +`.
    pub(super) fn says_positive_can(&self) -> bool {
        let negative = self.negative > 0 || self.common_negative || self.minus_sign;
        self.can
            && (self.positive > 0 || self.plus_sign)
            && !negative
            && !self.not
            && !self.insulated
    }
}

/// The wiring words of `stretch`; with lists in it, signs are not polarities.
pub(super) fn phrase(stretch: &[Piece], has_lists: bool) -> Phrase {
    let mut phrase = Phrase::default();
    for piece in stretch {
        match &piece.kind {
            PieceKind::Word(word) => take_word(&mut phrase, *word),
            PieceKind::Sign('+') if !has_lists => phrase.plus_sign = true,
            PieceKind::Mark(Mark::Plain) | PieceKind::Sign('-') if !has_lists => {
                phrase.minus_sign = true;
            }
            PieceKind::List(list) if !has_lists => {
                let figure = list.figures.first().map_or(0.0, |f| f.value);
                phrase.count = plausible::count(figure).unwrap_or(0);
            }
            _ => {}
        }
    }
    // `TWO - LEADS`.
    if phrase.minus_sign && phrase.count > 0 && phrase.negative == 0 && phrase.positive == 0 {
        phrase.negative = 1;
    }
    take_common(&mut phrase, stretch, has_lists);
    phrase.negative_leads = negative_leads(stretch, has_lists);
    phrase
}

fn take_word(phrase: &mut Phrase, word: Word) {
    match word {
        Word::Negative => {
            phrase.negative += 1;
            phrase.negative_first |= !phrase.insulated;
        }
        Word::Positive => phrase.positive += 1,
        Word::Can => phrase.can = true,
        Word::Chassis => phrase.chassis = true,
        Word::Separate => phrase.separate = true,
        Word::Insulated => phrase.insulated = true,
        Word::Not => phrase.not = true,
        Word::Wiring => phrase.filler = true,
        Word::To => phrase.to = true,
        Word::Count(n) | Word::Manifold(n) => phrase.count = usize::from(n),
        _ => {}
    }
}

/// A polarity, in a word or as a sign.
fn polarity(piece: Option<&Piece>, signs: bool) -> Option<bool> {
    match piece.map(|p| &p.kind) {
        Some(PieceKind::Word(Word::Negative)) => Some(false),
        Some(PieceKind::Word(Word::Positive)) => Some(true),
        Some(PieceKind::Sign('+')) if signs => Some(true),
        _ => None,
    }
}

/// What `COMMON` belongs to: the polarity right behind it, else right before, else negative.
fn take_common(phrase: &mut Phrase, stretch: &[Piece], has_lists: bool) {
    for i in 0..stretch.len() {
        if stretch.get(i).is_none_or(|p| p.kind != PieceKind::Word(Word::Common)) {
            continue;
        }
        let behind = polarity(stretch.get(i + 1), !has_lists);
        let before = i.checked_sub(1).and_then(|j| polarity(stretch.get(j), !has_lists));
        let denied = i.checked_sub(1).and_then(|j| stretch.get(j));
        phrase.not_common |= denied.is_some_and(|p| p.kind == PieceKind::Word(Word::Not));
        match behind.or(before) {
            Some(true) => phrase.common_positive = true,
            _ => phrase.common_negative = true,
        }
    }
}

/// Colours that `stretch` names as negative leads.
fn negative_leads(stretch: &[Piece], has_lists: bool) -> Vec<Colour> {
    if has_lists {
        let leads = lead_colours(stretch);
        return leads.iter().filter_map(|&i| colour(stretch.get(i))).collect();
    }
    let plus = stretch.iter().any(|p| p.kind == PieceKind::Sign('+'));
    let black = stretch.iter().any(|p| p.kind == PieceKind::Mark(Mark::Colour(Colour::Black)));
    let signs = plus || black;
    let pole = |p: &Piece| match p.kind {
        // A lone `COMMON` lead is the negative one.
        PieceKind::Word(Word::Negative | Word::Common) => Some(false),
        PieceKind::Word(Word::Positive) => Some(true),
        PieceKind::Sign('+') if signs => Some(true),
        PieceKind::Sign('-') | PieceKind::Mark(Mark::Plain) if signs && plus => Some(false),
        _ => None,
    };
    // Polarity stands before its colours, unless a colour comes first.
    let first = stretch.iter().find(|p| colour(Some(p)).is_some() || pole(p).is_some());
    let pole_first = first.is_some_and(|p| pole(p).is_some());
    let mut out = Vec::new();
    let mut current = None;
    let mut waiting = Vec::new();
    for piece in stretch {
        match (colour(Some(piece)), pole(piece)) {
            (Some(c), _) if pole_first => out.extend((current == Some(false)).then_some(c)),
            (Some(c), _) => waiting.push(c),
            (None, Some(positive)) => {
                // `POS. COMMON`: the sharper word stays.
                let common = piece.kind == PieceKind::Word(Word::Common);
                current = if common { current.or(Some(false)) } else { Some(positive) };
                let colours = std::mem::take(&mut waiting);
                if current == Some(false) {
                    out.extend(colours);
                }
            }
            _ => {}
        }
    }
    out
}

fn colour(piece: Option<&Piece>) -> Option<Colour> {
    match piece.map(|p| &p.kind) {
        Some(PieceKind::Mark(Mark::Colour(c))) => Some(*c),
        _ => None,
    }
}

/// Which colours of `stretch` are leads beside a wiring word, not section marks.
pub(super) fn lead_colours(stretch: &[Piece]) -> Vec<usize> {
    let is_wiring = |i: usize| {
        matches!(
            stretch.get(i).map(|p| &p.kind),
            Some(PieceKind::Word(Word::Common | Word::Negative | Word::Chassis))
        )
    };
    let is_filler = |i: usize| {
        matches!(
            stretch.get(i).map(|p| &p.kind),
            Some(
                PieceKind::Word(Word::Wiring | Word::And)
                    | PieceKind::Sign('-' | '=' | ':' | '/' | '&')
            )
        )
    };
    let beside = |i: usize| {
        let after = (i + 1..stretch.len()).find(|&j| !is_filler(j)).is_some_and(is_wiring);
        let before = (0..i).rev().find(|&j| !is_filler(j)).is_some_and(is_wiring);
        let behind_list = (0..i).rev().any(|j| matches!(stretch[j].kind, PieceKind::List(_)));
        // A colour that has figures behind it is a section's, unless wiring words follow.
        let figures = matches!(stretch.get(i + 1).map(|p| &p.kind), Some(PieceKind::List(_)));
        (after || before) && !(figures && !behind_list && !after)
    };
    let leads: Vec<usize> = (0..stretch.len())
        .filter(|&i| matches!(stretch[i].kind, PieceKind::Mark(Mark::Colour(_))) && beside(i))
        .collect();
    // `RED, BLUE - COMMON BLACK`: a black lead is the negative one.
    let black: Vec<usize> =
        leads.iter().copied().filter(|&i| colour(stretch.get(i)) == Some(Colour::Black)).collect();
    let words = stretch.iter().filter(|p| p.kind == PieceKind::Word(Word::Negative)).count();
    let listed = stretch.iter().any(|p| p.kind == PieceKind::Word(Word::And));
    if black.is_empty() || words > 1 || listed { leads } else { black }
}

/// `2 RED 2 BLACK LEADS`, `TWO BLACK LEADS`: leads counted by colour.
pub(super) fn counted_leads(stretch: &[Piece]) -> Option<Vec<Colour>> {
    let mut out = Vec::new();
    let mut count = 1;
    let mut counts = 0;
    for piece in stretch {
        match &piece.kind {
            PieceKind::Word(Word::Count(n)) => (count, counts) = (usize::from(*n), counts + 1),
            PieceKind::List(list) if list.class == Class::Bare && list.figures.len() == 1 => {
                let n = plausible::count(list.figures.first()?.value).filter(|n| *n <= 4)?;
                (count, counts) = (n, counts + 1);
            }
            PieceKind::Mark(Mark::Colour(c)) => {
                out.extend(std::iter::repeat_n(*c, count));
                count = 1;
            }
            PieceKind::Word(Word::Wiring | Word::And)
            | PieceKind::Sign('-' | '+' | '/' | '&')
            | PieceKind::Break(',') => {}
            _ => return None,
        }
    }
    (counts > 0 && count == 1 && !out.is_empty()).then_some(out)
}
