//! The peak that a section sees before the tubes draw current.

use super::{
    Trial,
    place::{AtSupply, PeakBasis},
    words::v,
    worked::{AtLines, Worked},
};
use crate::{
    quantity::in_volts,
    rules::{Candidate, Finding, Grade, Place, Rule, Ruling, notes::surge_by_standard},
    supply::Place as Spot,
};

/// The grade that no circuit can better: that of √2 × winding, or, while a
/// bleeder holds an input choke, a caution where the rating is below it.
#[must_use]
pub fn local(place: &Place, candidate: &Candidate) -> Option<Ruling> {
    let at = place.supply.filter(|at| at.spot.is_some())?;
    Some(match at.peak {
        PeakBasis::Bled => only_while_it_bleeds(&at, candidate),
        PeakBasis::Winding | PeakBasis::Overshoot => against(&at, at.open_v, candidate),
    })
}

/// The peak with the whole set fitted against the rating and its surge; `None`
/// where the section stands outside the supply.
#[must_use]
pub fn ruling(trial: &Trial, place: &Place, candidate: &Candidate) -> Option<Ruling> {
    let at = place.supply?;
    let peaks = peaks(trial.worked, &at)?;
    let judged = against(&at, peaks, candidate);
    Some(match at.peak {
        PeakBasis::Bled => judged.or_worse(only_while_it_bleeds(&at, candidate)),
        _ => judged,
    })
}

/// The finding of rule `cold-start`.
#[must_use]
pub fn finding(trial: &Trial, place: &Place, candidate: &Candidate) -> Option<Finding> {
    let at = place.supply?;
    let peaks = peaks(trial.worked, &at)?;
    let ruling = ruling(trial, place, candidate)?;
    let mut says = format!(
        "{} before the tubes draw, {} at a {} line, on a part rated {}",
        v(peaks.measured),
        v(peaks.high),
        v(in_volts(trial.case.chassis.high_line())),
        v(candidate.rated_v)
    );
    says += why(&at, peaks, candidate, ruling.grade());
    Some(ruling.says(Rule::ColdStart, place.section, says))
}

/// What to add where it does not plainly pass.
fn why(at: &AtSupply, peaks: AtLines<f64>, candidate: &Candidate, grade: Grade) -> &'static str {
    let over = peaks.measured > candidate.rated_v;
    match grade {
        Grade::Caution if at.peak == PeakBasis::Bled && peaks.high <= candidate.rated_v => {
            ": only while the bleeder holds"
        }
        Grade::Caution if over && at.warms_with_loads => {
            ": the rectifier warms with its loads, so it is seldom reached"
        }
        Grade::Caution if over => ": within its printed surge",
        Grade::Caution => ": within the surge of the standard, for seconds",
        Grade::Fail if over && candidate.surge_v.is_none() => ", which has no surge printed",
        Grade::Pass | Grade::Fail => "",
    }
}

/// At the measured line up to the rating, or with caution up to a printed surge;
/// at high line with caution up to the standard's surge.
fn against(at: &AtSupply, peaks: AtLines<f64>, candidate: &Candidate) -> Ruling {
    let rated = candidate.rated_v;
    let printed = candidate.surge_v.unwrap_or(rated).max(rated);
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

fn only_while_it_bleeds(at: &AtSupply, candidate: &Candidate) -> Ruling {
    Ruling::at_most(at.open_v.high, candidate.rated_v, f64::INFINITY)
}

fn peaks(worked: &Worked, at: &AtSupply) -> Option<AtLines<f64>> {
    let (Spot::Node(node), PeakBasis::Overshoot | PeakBasis::Bled) = (at.spot?, at.peak) else {
        return Some(at.open_v);
    };
    let (measured, high) = worked.start.as_ref()?;
    let high = high.as_ref().unwrap_or(measured);
    Some(AtLines {
        measured: in_volts(measured.cold_peak(node)?),
        high: in_volts(high.cold_peak(node)?),
    })
}
