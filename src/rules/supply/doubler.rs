//! The series capacitor of a half-wave doubler, and its output.

use super::{place::InDoubler, words::v};
use crate::{
    job::Point,
    rules::{Candidate, Finding, Grade, Place, Rule, Ruling},
};

/// The rating against √2 × high line in series with the line and 2√2 × at the
/// output; a failure where the job has the series capacitor's negative elsewhere
/// than on the line. `None` where the section is neither.
#[must_use]
pub fn ruling(place: &Place, candidate: &Candidate) -> Option<Ruling> {
    let at = place.supply?;
    let peak = at.open_v.high;
    let ruling = Ruling::at_least(candidate.rated_v, peak, peak);
    Some(match at.doubler? {
        InDoubler::Series(Some(point)) if point != Point::Line => ruling.failed(),
        InDoubler::Series(_) | InDoubler::Output => ruling,
    })
}

/// Whether nobody told where the negative of the series capacitor goes; a rating
/// that is too low fails wherever it goes.
#[must_use]
pub fn lacks(place: &Place, candidate: &Candidate) -> bool {
    let untold = place.supply.and_then(|at| at.doubler) == Some(InDoubler::Series(None));
    untold && ruling(place, candidate).is_some_and(|ruling| ruling.grade() < Grade::Fail)
}

/// The finding of rule `doubler-series`.
#[must_use]
pub fn finding(place: &Place, candidate: &Candidate) -> Option<Finding> {
    let ruling = ruling(place, candidate)?;
    let at = place.supply?;
    if lacks(place, candidate) {
        let says = "where its negative goes not told: it belongs on the line".into();
        return Some(Finding::not_judged(Rule::DoublerSeries, Some(place.section), says));
    }
    let place_says = match at.doubler? {
        InDoubler::Series(_) => "its negative is on the line: insulate it",
        InDoubler::Output => "at the doubler's output",
    };
    let wrong = ruling.grade() == Grade::Fail && candidate.rated_v >= at.open_v.high;
    let says = if wrong {
        "the job has its negative elsewhere than on the line, where a series capacitor's belongs"
            .into()
    } else {
        format!(
            "rated {} for {} at high line; {place_says}",
            v(candidate.rated_v),
            v(at.open_v.high)
        )
    };
    Some(ruling.says(Rule::DoublerSeries, place.section, says))
}
