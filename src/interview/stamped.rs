//! A stamping whose questions were answered, written so that none is left.

use crate::{
    can::{Can, Negative, Section},
    stamping::{self, Answers, StampingError},
    value::Value,
};

/// What goes into the job file for a stamping and the answers to its questions:
/// the text as typed where it reads so by itself, else one that says the same
/// and leaves no question. `None` where no text says it without a question: a
/// surge rating that no can has, a section that is left without its mark.
///
/// # Errors
/// The stamping can't be read. A question that stays open is no error: the text
/// stands as it was typed.
pub fn settled(typed: &str, answers: &Answers) -> Result<Option<String>, StampingError> {
    let read = match stamping::read(typed, answers) {
        Err(StampingError::Undecided { .. }) => return Ok(Some(typed.to_owned())),
        read => read?,
    };
    let reads_as = |text: &String| {
        let again = stamping::read(text, &Answers::default());
        again.is_ok_and(|again| again.can == read.can)
    };
    if answers.0.is_empty() || reads_as(&typed.to_owned()) {
        return Ok(Some(typed.to_owned()));
    }
    let sections = plain(&read.can);
    let ways = [sections.clone(), sections + wiring(&read.can)];
    Ok(ways.into_iter().find(reads_as))
}

fn plain(can: &Can) -> String {
    can.sections().iter().map(section).collect::<Vec<_>>().join("; ")
}

fn section(section: &Section) -> String {
    let mark = section.mark.map_or_else(String::new, |mark| format!("{mark} "));
    let (farads, rated) = (section.capacitance.print(), section.rated.print());
    let surge = section.surge.map_or_else(String::new, |surge| format!(" surge {}", surge.print()));
    format!("{mark}{farads} {rated}{surge}")
}

/// Where the negatives go, in words that read back.
fn wiring(can: &Can) -> &'static str {
    match (can.negative, can.common_positive) {
        (_, true) => "\nCOMMON POSITIVE",
        (Some(Negative::Common), _) => "\nCOMMON NEGATIVE",
        (Some(Negative::Separate), _) => "\nSEPARATE NEGATIVES",
        (Some(Negative::Can), _) => "\nCOMMON NEG. TO CAN",
        (None, false) => "",
    }
}
