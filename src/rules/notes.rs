//! Notes: what is worth knowing and never counts.

use std::f64::consts::TAU;

use super::{Candidate, Finding, Place, Rule};
use crate::{
    facts::Role,
    part::Part,
    quantity::{clean, in_ohms, microfarads, significant, volts},
    series::smallest_series_with,
    set::ReplacementSet,
    value::Value,
};

/// Rated volts up to which the higher surge factor holds (IEC 60384-4).
const SURGE_STEP_V: f64 = 315.0;

/// Surge volts that IEC 60384-4 asks of a part rated `rated_v` volts: 1.15
/// times the rating up to and including 315 V, 1.10 times above.
///
/// ```
/// assert_eq!(recan::rules::notes::surge_by_standard(450.0), 495.0);
/// ```
#[must_use]
pub fn surge_by_standard(rated_v: f64) -> f64 {
    clean(rated_v * if rated_v <= SURGE_STEP_V { 1.15 } else { 1.10 })
}

/// The finding of rule `surge`.
#[must_use]
pub fn surge(place: &Place, candidate: &Candidate) -> Finding {
    #[expect(clippy::cast_precision_loss, reason = "a handful of capacitors")]
    let stacked = match candidate.connection {
        crate::set::Connection::Series => candidate.count as f64,
        _ => 1.0,
    };
    let standard = surge_by_standard(candidate.rated_v / stacked) * stacked;
    let new = match candidate.surge_v {
        Some(printed) => format!("{} printed", volts(printed).print()),
        None => format!("none printed, {} by IEC 60384-4", volts(standard).print()),
    };
    let old = place.stamped_surge_v.map_or_else(
        || "none stamped on the old can".into(),
        |v| format!("{} stamped on the old can", volts(v).print()),
    );
    let value = Some(candidate.surge_v.unwrap_or(standard));
    Finding::note(Rule::Surge, Some(place.section), value, format!("surge {new}; {old}"))
}

/// The finding of rule `relative-hum`; `None` for a bypass, which filters no hum.
#[must_use]
pub fn relative_hum(place: &Place, candidate: &Candidate) -> Option<Finding> {
    if place.role() == Some(Role::Bypass) {
        return None;
    }
    let db = 20.0 * (place.stamped_uf / candidate.capacitance_uf).log10();
    let says = format!("hum of this stage about {db:+.1} dB by capacitance alone");
    Some(Finding::note(Rule::RelativeHum, Some(place.section), Some(db), says))
}

/// The finding of rule `time-constant`; `None` where no resistance was given.
#[must_use]
pub fn time_constant(place: &Place, candidate: &Candidate) -> Option<Finding> {
    let resistor = place.here.resistor?;
    let seconds = |uf: f64| in_ohms(resistor) * uf * 1e-6;
    let (new, old) = (seconds(candidate.capacitance_uf), seconds(place.stamped_uf));
    let says = format!(
        "{} × {} = {} s, corner {} Hz; {} s and {} Hz as stamped",
        resistor.print(),
        microfarads(candidate.capacitance_uf).print(),
        significant(new, 3),
        significant(1.0 / (TAU * new), 3),
        significant(old, 3),
        significant(1.0 / (TAU * old), 3),
    );
    Some(Finding::note(Rule::TimeConstant, Some(place.section), Some(new), says))
}

/// The finding of rule `preferred-value`.
#[must_use]
pub fn preferred_value(place: &Place, candidate: &Candidate) -> Finding {
    let each = candidate.each_uf.iter().map(|&uf| {
        let value = microfarads(uf).print();
        match smallest_series_with(uf) {
            Some(series) => format!("{value} is in {}", series.name()),
            None => format!("{value} is in no series: an older value"),
        }
    });
    let mut each: Vec<String> = each.collect();
    each.dedup();
    Finding::note(Rule::PreferredValue, Some(place.section), None, each.join("; "))
}

/// The finding of rule `tolerance`.
#[must_use]
pub fn tolerance(place: &Place, candidate: &Candidate) -> Finding {
    let section = Some(place.section);
    let Some(band) = candidate.tolerance else {
        return Finding::note(Rule::Tolerance, section, None, "tolerance not in the list".into());
    };
    let at = |factor: f64| microfarads(significant(candidate.capacitance_uf * factor, 3)).print();
    let says = format!("{}: {} to {}", band.print(), at(1.0 - band.minus()), at(1.0 + band.plus()));
    Finding::note(Rule::Tolerance, section, Some(candidate.capacitance_uf), says)
}

/// The findings of rule `quantity`: one for each part of which `set` takes more
/// bodies than there are. For a substitute of the user's own; the search takes
/// quantities as a bound.
///
/// # Panics
/// Never for a set made from the same `parts`.
#[must_use]
pub fn quantity(parts: &[Part], set: &ReplacementSet) -> Vec<Finding> {
    let uses = set.uses(parts).into_iter();
    let short = uses.filter_map(|(part, needed)| {
        let stocked = parts[part].quantity.filter(|q| *q < needed)?;
        let says = format!("{needed} of {} needed, {stocked} in stock", parts[part].name);
        Some(Finding {
            limit_high: Some(stocked.into()),
            ..Finding::note(Rule::Quantity, None, Some(needed.into()), says)
        })
    });
    short.collect()
}
