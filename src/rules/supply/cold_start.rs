//! The peak that a section sees before the tubes draw current.

use super::{
    Trial,
    place::{AtSupply, PeakBasis},
    words::v,
    worked::{AtLines, Worked},
};
use crate::{
    facts::Role,
    quantity::in_volts,
    rules::{Candidate, Finding, Grade, Place, Rule, Ruling, notes::surge_by_standard},
    supply::Place as Spot,
};

/// The grade that no circuit can better: that of √2 × winding, or, while a
/// bleeder holds an input choke or a cold load its resistor, a caution where the
/// rating is below it.
#[must_use]
pub fn local(place: &Place, candidate: &Candidate) -> Option<Ruling> {
    let at = match place.supply {
        Some(at) => at.spot.map(|_| at)?,
        None => return alone(place).map(|at| by_rating(&at, candidate)),
    };
    Some(match at.peak {
        PeakBasis::Bled | PeakBasis::Drawn => only_while_it_draws(&at, candidate),
        PeakBasis::Winding | PeakBasis::Overshoot => against(&at, at.open_v, candidate),
    })
}

/// What line and winding tell where the supply is not known whole; a section of
/// which nobody told the place may stand on B+, a bypass does not.
fn alone(place: &Place) -> Option<AtSupply> {
    let open = place.here.open.filter(|_| place.role() != Some(Role::Bypass))?;
    Some(AtSupply {
        spot: None,
        open_v: AtLines { measured: in_volts(open.measured), high: in_volts(open.high) },
        peak: PeakBasis::Winding,
        warms_with_loads: open.warms_with_loads,
        ahead_of_switch: false,
        doubler: None,
        bias: None,
    })
}

/// As [`against`], but no printed surge excuses more than the rating: for how long
/// the peak lasts only the whole supply tells.
fn by_rating(at: &AtSupply, candidate: &Candidate) -> Ruling {
    within(at, at.open_v, candidate, candidate.rated_v)
}

/// The finding from line and winding alone; `None` where the supply is known, or
/// they are not.
#[must_use]
pub fn alone_finding(place: &Place, candidate: &Candidate) -> Option<Finding> {
    if place.supply.is_some() {
        return None;
    }
    let (at, ruling) = (alone(place)?, local(place, candidate)?);
    let high_line = in_volts(place.here.open?.high_line);
    let mut says = told(&at, at.open_v, high_line, candidate, ruling.grade());
    if place.role().is_none() {
        says += "; its place is not told, so it is taken to stand on B+";
    }
    Some(ruling.says(Rule::ColdStart, place.section, says))
}

/// The peak with the whole set fitted against the rating and its surge; `None`
/// where the section stands outside the supply.
#[must_use]
pub fn ruling(trial: &Trial, place: &Place, candidate: &Candidate) -> Option<Ruling> {
    let at = place.supply?;
    let peaks = peaks(trial.worked, &at)?;
    let judged = against(&at, peaks, candidate);
    Some(match at.peak {
        held if held.is_held() => judged.or_worse(only_while_it_draws(&at, candidate)),
        _ => judged,
    })
}

/// The finding of rule `cold-start`.
#[must_use]
pub fn finding(trial: &Trial, place: &Place, candidate: &Candidate) -> Option<Finding> {
    let at = place.supply?;
    let peaks = peaks(trial.worked, &at)?;
    let ruling = ruling(trial, place, candidate)?;
    let high_line = in_volts(trial.case.chassis.high_line());
    let says = told(&at, peaks, high_line, candidate, ruling.grade());
    Some(ruling.says(Rule::ColdStart, place.section, says))
}

fn told(
    at: &AtSupply,
    peaks: AtLines<f64>,
    high_line: f64,
    candidate: &Candidate,
    grade: Grade,
) -> String {
    format!(
        "{} before the tubes draw, {} at a {} line, rated {}{}",
        v(peaks.measured),
        v(peaks.high),
        v(high_line),
        v(candidate.rated_v),
        why(at, peaks, candidate, grade)
    )
}

/// What to add where it does not plainly pass.
fn why(at: &AtSupply, peaks: AtLines<f64>, candidate: &Candidate, grade: Grade) -> &'static str {
    let over = peaks.measured > candidate.rated_v;
    match grade {
        Grade::Caution if at.peak == PeakBasis::Bled && peaks.high <= candidate.rated_v => {
            ": only while the bleeder holds"
        }
        Grade::Caution if at.peak == PeakBasis::Drawn && peaks.high <= candidate.rated_v => {
            ": only while the load draws"
        }
        Grade::Caution if over && at.warms_with_loads => {
            ": the rectifier warms with its loads, so it is seldom reached"
        }
        Grade::Caution if over => ": within its printed surge",
        Grade::Caution => ": within IEC surge, for seconds",
        Grade::Fail if over && candidate.surge_v.is_none() => ", which has no surge printed",
        Grade::Pass | Grade::Fail => "",
    }
}

/// At the measured line up to the rating, or with caution up to a printed surge;
/// at high line with caution up to the standard's surge.
fn against(at: &AtSupply, peaks: AtLines<f64>, candidate: &Candidate) -> Ruling {
    let rated = candidate.rated_v;
    within(at, peaks, candidate, candidate.surge_v.unwrap_or(rated).max(rated))
}

fn within(at: &AtSupply, peaks: AtLines<f64>, candidate: &Candidate, printed: f64) -> Ruling {
    let rated = candidate.rated_v;
    let measured = Ruling::at_most(peaks.measured, rated, printed);
    let measured = if at.warms_with_loads { measured.eased() } else { measured };
    measured.or_worse(Ruling::at_most(peaks.high, rated, standard(candidate)))
}

/// IEC 60384-4 surge of the whole; each of a series pair has its own.
fn standard(candidate: &Candidate) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a handful of capacitors")]
    let stacked = match candidate.connection {
        crate::set::Connection::Series => candidate.count as f64,
        _ => 1.0,
    };
    surge_by_standard(candidate.rated_v / stacked) * stacked
}

fn only_while_it_draws(at: &AtSupply, candidate: &Candidate) -> Ruling {
    Ruling::at_most(at.open_v.high, candidate.rated_v, f64::INFINITY)
}

fn peaks(worked: &Worked, at: &AtSupply) -> Option<AtLines<f64>> {
    let Spot::Node(node) = at.spot? else { return Some(at.open_v) };
    if at.peak == PeakBasis::Winding {
        return Some(at.open_v);
    }
    let (measured, high) = worked.start.as_ref()?;
    let high = high.as_ref().unwrap_or(measured);
    Some(AtLines {
        measured: in_volts(measured.cold_peak(node)?),
        high: in_volts(high.cold_peak(node)?),
    })
}
