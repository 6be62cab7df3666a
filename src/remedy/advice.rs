//! What would mend a finding, one sentence, its figures worked out.

use super::{
    leads,
    rated::{self, down, up},
};
use crate::{
    bank::surge_factor,
    job::Point,
    judge::{Case, Judged},
    quantity::{amperes, in_volts, microfarads, volts, watts},
    rules::{
        Bank, Finding, Place, Rule,
        capacitance::{self, Basis},
        place::InDoubler,
        supply::SupplyCase,
    },
    value::Value,
};

/// What would mend `finding` of `set`.
#[must_use]
pub fn advice(case: &Case, set: &Judged, finding: &Finding) -> String {
    let place = finding.section.and_then(|s| case.places.get(s));
    let new = finding.section.and_then(|s| set.sections.get(s)).map(|of| &of.bank);
    let in_supply = case.supply.as_ref().and_then(|supply| of_supply(supply, set, place, finding));
    in_supply.unwrap_or_else(|| of_parts(case, place, new, finding))
}

/// Remedies that need the circuit.
fn of_supply(
    supply: &SupplyCase,
    set: &Judged,
    place: Option<&Place>,
    finding: &Finding,
) -> Option<String> {
    let value = finding.value?;
    match finding.rule {
        Rule::Bplus if value > 0.0 => leads::to_original(supply, set),
        Rule::Bplus => {
            let original = supply.chassis.original.filter(|_| !supply.original_device.is_empty());
            Some(format!("the {} it was made with", original?.name))
        }
        Rule::RectifierPeak => leads::to_peak(supply, set, finding.limit_high?),
        Rule::PeakInverse => leads::inverse(supply, set, finding),
        Rule::SourceResistance => {
            let leads = leads::to_resistance(supply, set, finding)?;
            let first = reservoir(supply, set).map(|uf| format!("; or {uf} as stamped first"));
            Some(leads + &first.unwrap_or_default())
        }
        Rule::ColdStart | Rule::WorkingVolts => {
            let needed = rated::needed(place, finding)?;
            let higher = rated::words(place, needed);
            let rated = volts(finding.limit_high?);
            let (peak, caution) = match finding.rule {
                Rule::ColdStart => {
                    (needed, Some(volts(surge_factor(in_volts(rated)) * in_volts(rated))))
                }
                _ => (value, None),
            };
            let buck = leads::bucked(supply, set, rated, (volts(peak), caution));
            Some(buck.map_or(higher.clone(), |buck| format!("{higher}; or {buck}")))
        }
        // What the new rectifier does, resistance ahead of it undoes.
        Rule::WindingRms if supply.is_retrofit() => leads::to_original(supply, set),
        Rule::TurnOn | Rule::WindingRms => {
            Some(format!("the reservoir as stamped, {}", reservoir(supply, set)?))
        }
        Rule::Bleed => leads::bleeder(supply, set),
        _ => None,
    }
}

/// The reservoir as stamped, where what stands in for it is larger.
fn reservoir(supply: &SupplyCase, set: &Judged) -> Option<String> {
    let stations = supply.chassis.stations().iter();
    let first = |of: &&crate::chassis::Station| of.place == crate::supply::Place::Node(0);
    let station = stations.clone().find(first)?;
    let section = station.section.filter(|of| of.can == supply.can)?.section;
    let new = set.sections.get(section)?.bank.capacitance_uf;
    let stamped = station.stamped.capacitance;
    (new > crate::quantity::in_microfarads(stamped)).then(|| stamped.print())
}

/// Remedies that are other parts, or the same ones wired right.
fn of_parts(case: &Case, place: Option<&Place>, new: Option<&Bank>, finding: &Finding) -> String {
    // What is a caution for want of a figure no rating mends.
    let for_want = matches!(finding.rule, Rule::ColdStart | Rule::RippleCurrent);
    if finding.value.is_none() && for_want {
        return "take that reading first".into();
    }
    let value = finding.value.unwrap_or_default();
    let low = finding.limit_low.filter(|low| value < *low);
    match (finding.rule, low, finding.limit_high) {
        (Rule::Capacitance, Some(low), _) => format!(
            "{} or more, or {} or more across it",
            microfarads(up(low, 3)).print(),
            microfarads(up(low - value, 2)).print()
        ),
        (Rule::Capacitance, None, Some(high)) => {
            let most = microfarads(down(high, 3)).print();
            format!("{most} or less{}", role_advice(place))
        }
        (Rule::Doubler, None, _) if wrong_negative(place) => {
            "its negative to the line (negative = \"line\"), case and lead insulated".into()
        }
        (Rule::RatedVolts, Some(low), _) => rated::as_stamped(place, low),
        (
            Rule::RatedVolts
            | Rule::BypassVolts
            | Rule::WorkingVolts
            | Rule::ColdStart
            | Rule::Standby
            | Rule::Doubler,
            ..,
        ) => rated::words(place, rated::needed(place, finding).unwrap_or(value)),
        (Rule::SeriesShare, ..) => new
            .and_then(|new| rated::of_a_pair(place, new))
            .unwrap_or_else(|| "one part rated for all of it".into()),
        (Rule::Polarity, ..)
            if place.and_then(|place| place.here.bias?.on_chassis) == Some(false) =>
        {
            "turn it round: its positive to the chassis (positive = \"chassis\")".into()
        }
        (Rule::CommonNegative | Rule::Polarity, ..) => {
            "separate parts, or a can with separate negatives".into()
        }
        (Rule::RectifierDc, ..) => format!(
            "read what the nodes draw again, or a rectifier made for {} DC or more",
            amperes(up(value, 2)).print()
        ),
        (Rule::RippleCurrent, ..) => format!(
            "parts that take {} here, or more bodies side by side",
            amperes(up(value, 2)).print()
        ),
        (Rule::Hum, ..) => hum(case, place, new),
        (Rule::ResistorWatts, ..) => super::rating(watts(value)).map_or_else(
            || "several resistors that share the watts".into(),
            |power| format!("a resistor rated {}", power.print()),
        ),
        (Rule::TurnOn | Rule::WindingRms | Rule::RectifierPeak | Rule::Bplus, ..) => {
            "the reservoir as stamped".into()
        }
        (Rule::Readings, ..) => "settle that first: no part mends it".into(),
        (Rule::SourceResistance, ..) => "the reservoir as stamped, or more ohms a plate".into(),
        _ => "parts nearer to the values stamped".into(),
    }
}

fn wrong_negative(place: Option<&Place>) -> bool {
    let doubler = place.and_then(|place| place.supply?.doubler);
    matches!(doubler, Some(InDoubler::Series(Some(at))) if at != Point::Line)
}

/// Hum at a node is no more than the old can's where everything up to it is as
/// stamped.
fn hum(case: &Case, place: Option<&Place>, new: Option<&Bank>) -> String {
    match place.zip(new) {
        Some((place, new)) if new.capacitance_uf < place.stamped_uf => {
            let as_stamped = microfarads(place.stamped_uf).print();
            let others =
                if case.places.len() > 1 { ", nor less ahead of it than stamped" } else { "" };
            format!("{as_stamped} or more here{others}")
        }
        _ => "less esr here, and no less ahead of it than stamped".into(),
    }
}

fn role_advice(place: Option<&Place>) -> &'static str {
    let untold = place.is_some_and(|place| place.role().is_none());
    match place.map(|p| capacitance::limits(p).basis) {
        Some(Basis::Unknown) if untold => {
            ", or say what it does: smoothing takes up to twice as much"
        }
        Some(Basis::Tube(_)) => ": the rectifier sets the limit",
        _ => "",
    }
}
