//! Where the negatives go: common, separate, the can; leads and their colours.

use std::ops::Range;

use super::{
    Notice,
    doubt::{Doubt, Doubts, Stop},
    phrase::{Phrase, phrase},
    piece::Piece,
    stretch::span_of,
};
use crate::can::{Colour, Negative};

/// What the stamping says about the wiring so far.
#[derive(Debug, Default)]
pub(super) struct Wiring {
    pub(super) negative: Option<Negative>,
    pub(super) common_positive: bool,
    pub(super) insulated: bool,
    /// Negative leads named one by one, in all lines.
    pub(super) negative_leads: Vec<Colour>,
    /// Where the negative leads are named.
    leads_span: Range<usize>,
    /// The can is said to be positive, and where.
    can_positive: Option<Range<usize>>,
    /// A lead list such as `RED BLUE BLACK BLACK`.
    lead_list: Option<(Vec<Colour>, Range<usize>)>,
    /// Colours that name sections: a negative lead `FOR RED` is not red.
    pub(super) section_colours: Vec<Colour>,
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
        phrase.negative_leads.retain(|c| !self.section_colours.contains(c));
        if phrase.says_something() {
            self.widen(&phrase.negative_leads, span_of(stretch));
            if phrase.says_positive_can() {
                self.can_positive.get_or_insert_with(|| span_of(stretch));
            }
            self.take(&phrase, notices);
        }
        phrase.says_something()
    }

    /// A negative lead named without words, `BLACK -`.
    pub(super) fn negative_lead(&mut self, colour: Colour, span: Range<usize>) {
        self.widen(&[colour], span);
        self.negative_leads.push(colour);
    }

    fn widen(&mut self, leads: &[Colour], span: Range<usize>) {
        if leads.is_empty() {
            return;
        }
        let start = if self.negative_leads.is_empty() { span.start } else { self.leads_span.start };
        self.leads_span = start..span.end;
    }

    fn take(&mut self, phrase: &Phrase, notices: &mut Vec<Notice>) {
        if (phrase.insulated && !phrase.not) || (phrase.not && phrase.chassis) {
            return self.take_insulated(phrase, notices);
        }
        if phrase.common_positive {
            self.common_positive = true;
            if !phrase.common_negative {
                self.set(Negative::Separate);
                return self.take_leads(phrase, notices);
            }
        }
        let to_can =
            phrase.can && (phrase.negative > 0 || phrase.common_negative || phrase.minus_sign);
        let apart = phrase.separate && !(phrase.common_negative && phrase.positive > 0);
        if apart || phrase.not_common {
            self.set(Negative::Separate);
        } else if to_can && phrase.not {
            say(notices, "the can is not the negative: find the negative lug or lead");
            if phrase.common_negative {
                self.set(Negative::Common);
            }
        } else if to_can {
            self.set(Negative::Can);
        } else if phrase.common_negative
            || (phrase.negative > 0 && (phrase.chassis || phrase.count == 1))
        {
            self.set(Negative::Common);
        } else {
            self.take_leads(phrase, notices);
        }
    }

    /// Negative leads, counted or named.
    fn take_leads(&mut self, phrase: &Phrase, notices: &mut Vec<Notice>) {
        let leads = &phrase.negative_leads;
        self.negative_leads.extend(leads);
        if leads.len() >= 2 {
            say(
                notices,
                &format!(
                    "negative leads {}: which section each serves is not printed, trace it",
                    names(leads)
                ),
            );
        }
        if phrase.negative > 0 && (phrase.count >= 2 || leads.len() >= 2) {
            self.set(Negative::Separate);
        }
    }

    fn take_insulated(&mut self, phrase: &Phrase, notices: &mut Vec<Notice>) {
        // `NEGATIVE INSULATED FROM CAN`: then the can is not the negative.
        if phrase.negative_first && phrase.can && phrase.filler && !phrase.chassis && !phrase.to {
            say(notices, "the can is not the negative: find the negative lug or lead");
            return;
        }
        self.insulated = true;
        // `CAN NOT GROUNDED` below a common negative: the can isn't said to be that negative.
        if self.negative == Some(Negative::Common) && phrase.not && phrase.negative == 0 {
            say(
                notices,
                "the can must not touch the chassis: insulate what takes its place, and treat it as live",
            );
            return;
        }
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
        if let Some(span) = self.can_positive.take() {
            return Err(positive_can(span));
        }
        self.negative_leads.sort_unstable();
        let named = self.negative_leads.len();
        self.negative_leads.dedup();
        if let [colour] = self.negative_leads[..]
            && self.negative.is_none()
            && named > 1
            && sections > 1
        {
            let asks = format!(
                "are the {named} {} leads joined inside (common) or separate negatives?",
                colour.name()
            );
            return self.ask_joined(asks, self.leads_span.clone(), doubts);
        }
        if self.negative.is_none() && self.negative_leads.len() >= 2 {
            self.negative = Some(Negative::Separate);
        } else if self.negative.is_none() && self.negative_leads.len() == 1 && sections > 1 {
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
        if black == 1 && colours.len() <= sections + 1 {
            self.negative = Some(Negative::Common);
            say(notices, "one black lead: read as the common negative");
            return Ok(());
        }
        let asks = if black == 1 {
            format!("are there more negatives than the black one among {} leads?", colours.len())
        } else {
            format!("are the {black} black leads joined inside (common) or separate negatives?")
        };
        self.ask_joined(asks, span, doubts)
    }

    /// Leads of one colour: one negative, or one for each section.
    fn ask_joined(
        &mut self,
        asks: String,
        span: Range<usize>,
        doubts: &mut Doubts,
    ) -> Result<(), Stop> {
        let choice = doubts.ask(Doubt {
            asks,
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

fn positive_can(span: Range<usize>) -> Stop {
    Stop::refuse(
        span,
        "the can is said to be positive, expected it negative or not connected",
        "look again; if it is so, a can with a grounded negative can't take its place as it is: type COMMON POS instead, insulate the can and treat it as live",
    )
}

fn names(colours: &[Colour]) -> String {
    colours.iter().map(|c| c.name()).collect::<Vec<_>>().join(" and ")
}

pub(super) fn say(notices: &mut Vec<Notice>, says: &str) {
    if !notices.iter().any(|n| n.says == says) {
        notices.push(Notice { says: says.to_owned(), section: None });
    }
}
