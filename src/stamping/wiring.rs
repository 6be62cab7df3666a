//! Where the negatives go: common, separate, the can; leads and their colours.

use std::ops::Range;

use super::{
    Notice,
    doubt::{Doubt, Doubts, Stop},
    piece::{Piece, PieceKind},
    words::Word,
};
use crate::can::{Colour, Mark, Negative};

/// What the stamping says about the wiring so far.
#[derive(Debug, Default)]
pub(super) struct Wiring {
    pub(super) negative: Option<Negative>,
    pub(super) common_positive: bool,
    pub(super) insulated: bool,
    /// Negative leads named one by one, in all lines.
    pub(super) negative_leads: Vec<Colour>,
    /// A lead list such as `RED BLUE BLACK BLACK`.
    lead_list: Option<(Vec<Colour>, Range<usize>)>,
    single_negative: bool,
    /// Colours that name sections: a negative lead `FOR RED` is not red.
    pub(super) section_colours: Vec<Colour>,
}

/// The wiring words of one stretch of text.
#[derive(Debug, Default)]
struct Phrase {
    common: bool,
    negative: usize,
    positive: bool,
    can: bool,
    chassis: bool,
    separate: bool,
    insulated: bool,
    not: bool,
    from: bool,
    to: bool,
    minus_sign: bool,
    count: usize,
    colours: Vec<Colour>,
    /// `NEGATIVE … INSULATED`, in that order.
    negative_first: bool,
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
    (0..stretch.len())
        .filter(|&i| matches!(stretch[i].kind, PieceKind::Mark(Mark::Colour(_))) && beside(i))
        .collect()
}

impl Wiring {
    /// Takes in the wiring words of `stretch`; true where it was a wiring phrase.
    pub(super) fn read(
        &mut self,
        stretch: &[Piece],
        has_lists: bool,
        notices: &mut Vec<Notice>,
    ) -> bool {
        let mut phrase = phrase(stretch, has_lists);
        phrase.colours.retain(|c| !self.section_colours.contains(c));
        let said = phrase.common
            || phrase.negative > 0
            || phrase.insulated
            || phrase.separate
            || phrase.can
            || phrase.chassis
            || phrase.positive;
        if !said {
            return false;
        }
        self.take(&phrase, notices);
        true
    }

    fn take(&mut self, phrase: &Phrase, notices: &mut Vec<Notice>) {
        let negated = phrase.not && !phrase.insulated;
        if (phrase.insulated && !phrase.not) || (phrase.not && phrase.chassis) {
            return self.take_insulated(phrase, notices);
        }
        if phrase.common && phrase.positive && phrase.negative == 0 {
            self.common_positive = true;
            self.set(Negative::Separate);
            return;
        }
        let many = phrase.count >= 2 || phrase.negative >= 2 || phrase.colours.len() >= 2;
        if phrase.negative > 0 && (phrase.separate || negated && phrase.common) {
            self.set(Negative::Separate);
        } else if phrase.can && (phrase.negative > 0 || phrase.common || phrase.minus_sign) {
            if negated {
                say(notices, "the can is not the negative: find the negative lug or lead");
            } else {
                self.set(Negative::Can);
            }
        } else if phrase.common && !phrase.positive {
            self.set(Negative::Common);
        } else if phrase.common && phrase.negative > 0 {
            self.set(Negative::Separate);
            self.common_positive = true;
        } else if phrase.negative > 0 && phrase.chassis {
            self.set(if phrase.can { Negative::Can } else { Negative::Common });
        } else if phrase.negative > 0 && many {
            self.set(Negative::Separate);
            self.negative_leads.extend(&phrase.colours);
            if !phrase.colours.is_empty() {
                say(
                    notices,
                    &format!(
                        "negative leads {}: which section each serves is not printed, trace it",
                        names(&phrase.colours)
                    ),
                );
            }
        } else if phrase.negative > 0 && phrase.count == 0 {
            self.single_negative |= !phrase.colours.is_empty();
            self.negative_leads.extend(&phrase.colours);
        } else if phrase.negative > 0 && phrase.count == 1 {
            self.set(Negative::Common);
        }
    }

    fn take_insulated(&mut self, phrase: &Phrase, notices: &mut Vec<Notice>) {
        // `NEGATIVE INSULATED FROM CAN`: then the can is not the negative.
        if phrase.negative_first && phrase.can && phrase.from && !phrase.chassis && !phrase.to {
            say(notices, "the can is not the negative: find the negative lug or lead");
            return;
        }
        self.insulated = true;
        self.set(Negative::Can);
        say(
            notices,
            "the can is negative but must not touch the chassis: insulate what takes its place, and treat the can as live",
        );
    }

    fn set(&mut self, negative: Negative) {
        // The can, once named, says more than `common`; separate leads outrank a common positive.
        if !(self.negative == Some(Negative::Can) && negative == Negative::Common) {
            self.negative = Some(negative);
        }
    }

    /// A row of colours without figures.
    pub(super) fn lead_list(&mut self, colours: Vec<Colour>, span: Range<usize>) {
        self.lead_list = Some((colours, span));
    }

    /// Settles what the leads leave open, once all `sections` are known.
    ///
    /// # Errors
    /// Open questions.
    pub(super) fn settle(
        &mut self,
        sections: usize,
        doubts: &mut Doubts,
        notices: &mut Vec<Notice>,
    ) -> Result<(), Stop> {
        if let Some((colours, span)) = self.lead_list.take() {
            self.settle_list(&colours, span, sections, doubts, notices)?;
        }
        self.negative_leads.sort_unstable();
        self.negative_leads.dedup();
        if self.negative.is_none() && self.negative_leads.len() >= 2 {
            self.negative = Some(Negative::Separate);
        } else if self.negative.is_none()
            && (self.single_negative || self.negative_leads.len() == 1)
            && sections > 1
        {
            self.negative = Some(Negative::Common);
            say(notices, "one negative lead is named: read as common to all sections");
        }
        Ok(())
    }

    fn settle_list(
        &mut self,
        colours: &[Colour],
        span: Range<usize>,
        sections: usize,
        doubts: &mut Doubts,
        notices: &mut Vec<Notice>,
    ) -> Result<(), Stop> {
        let black = colours.iter().filter(|c| **c == Colour::Black).count();
        say(
            notices,
            "lead colours are listed, but not which section each serves: note every lead before cutting",
        );
        if self.negative.is_some() || black == 0 || sections < 2 {
            return Ok(());
        }
        if black == 1 {
            self.negative = Some(Negative::Common);
            say(notices, "one black lead: read as the common negative");
            return Ok(());
        }
        let choice = doubts.ask(Doubt {
            asks: format!(
                "are the {black} black leads joined inside (common) or separate negatives?"
            ),
            says: vec![
                "separate negatives: each goes where the old one went".to_owned(),
                "joined inside (an ohmmeter between them shows a short): common negative"
                    .to_owned(),
            ],
            safe: Some(0),
            span,
        })?;
        self.negative = Some(if choice == 0 { Negative::Separate } else { Negative::Common });
        Ok(())
    }
}

fn names(colours: &[Colour]) -> String {
    colours.iter().map(|c| c.name()).collect::<Vec<_>>().join(" and ")
}

pub(super) fn say(notices: &mut Vec<Notice>, says: &str) {
    if !notices.iter().any(|n| n.says == says) {
        notices.push(Notice { says: says.to_owned(), section: None });
    }
}

fn phrase(stretch: &[Piece], has_lists: bool) -> Phrase {
    let mut phrase = Phrase::default();
    let leads = lead_colours(stretch);
    for (i, piece) in stretch.iter().enumerate() {
        match &piece.kind {
            PieceKind::Word(word) => take_word(&mut phrase, *word),
            PieceKind::Mark(Mark::Colour(c)) if !has_lists || leads.contains(&i) => {
                phrase.colours.push(*c)
            }
            PieceKind::Mark(Mark::Plain) | PieceKind::Sign('-') if !has_lists => {
                phrase.minus_sign = true
            }
            PieceKind::Sign('+') if !has_lists => phrase.positive = true,
            PieceKind::List(list) if !has_lists => {
                phrase.count = list
                    .figures
                    .first()
                    .map_or(0, |f| if f.value < 9.0 { f.value as usize } else { 0 });
            }
            _ => {}
        }
    }
    // `TWO - LEADS`.
    if phrase.minus_sign && phrase.count > 0 && phrase.negative == 0 {
        phrase.negative = 1;
    }
    phrase
}

fn take_word(phrase: &mut Phrase, word: Word) {
    match word {
        Word::Common => phrase.common = true,
        Word::Negative => {
            phrase.negative += 1;
            phrase.negative_first |= !phrase.insulated;
        }
        Word::Positive => phrase.positive = true,
        Word::Can => phrase.can = true,
        Word::Chassis => phrase.chassis = true,
        Word::Separate => phrase.separate = true,
        Word::Insulated => phrase.insulated = true,
        Word::Not => phrase.not = true,
        Word::Wiring => phrase.from = true,
        Word::To => phrase.to = true,
        Word::Count(n) | Word::Manifold(n) => phrase.count = usize::from(n),
        _ => {}
    }
}
