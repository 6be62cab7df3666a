//! A stamping whose questions were answered, written so that none is left.

use crate::{
    can::{Can, Section},
    stamping::{self, Answers, StampingError},
    value::Value,
};

/// What goes into the job file for a stamping and the answers to its questions:
/// the text as typed where it reads so by itself, else one that says the same
/// and leaves no question.
///
/// # Errors
/// The stamping can't be read. A question that stays open is no error: the text
/// stands as it was typed.
pub fn settled(typed: &str, answers: &Answers) -> Result<String, StampingError> {
    let read = match stamping::read(typed, answers) {
        Err(StampingError::Undecided { .. }) => return Ok(typed.to_owned()),
        read => read?,
    };
    let alone = stamping::read(typed, &Answers::default());
    if answers.0.is_empty() || alone.is_ok_and(|alone| alone.can == read.can) {
        return Ok(typed.to_owned());
    }
    let reads_as = |text: &String| {
        let again = stamping::read(text, &Answers::default());
        again.is_ok_and(|again| again.can == read.can && again.questions.is_empty())
    };
    let ways = [plain(&read.can), with_wiring(&read.can)];
    Ok(ways.into_iter().find(reads_as).unwrap_or_else(|| typed.to_owned()))
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

fn with_wiring(can: &Can) -> String {
    let says = can.negative.map_or("", |negative| match negative {
        crate::can::Negative::Common => "\ncommon negative",
        crate::can::Negative::Separate => "\nseparate negatives",
        crate::can::Negative::Can => "\ncan negative",
    });
    format!("{}{says}", plain(can))
}
