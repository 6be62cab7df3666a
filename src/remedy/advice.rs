//! What would mend a finding, one sentence, its figures worked out.

use super::{
    Bleeder, PlateResistors, SeriesPair,
    buck::{Aim, Buck},
    higher_rating,
};
use crate::{
    chassis::End,
    judge::{Case, Judged},
    quantity::{
        Voltage, amperes, in_amperes, in_ohms, in_volts, in_watts, microfarads, ohms, significant,
        volts, watts,
    },
    rules::{
        Candidate, Finding, Place, Rule,
        capacitance::{self, Basis},
        supply::SupplyCase,
        volts::DERATING,
    },
    value::Value,
};

/// The share of its peak inverse rating that a rectifier may see (`limits.md`,
/// rule `peak-inverse`).
const PEAK_INVERSE_SHARE: f64 = 0.8;

/// Heaters starve below this share of the line that was bucked (common practice,
/// no source).
const LEAST_BUCKED: f64 = 0.9;

/// What would mend `finding` of `set`.
#[must_use]
pub fn advice(case: &Case, set: &Judged, finding: &Finding) -> String {
    let place = finding.section.and_then(|s| case.places.get(s));
    let in_supply = case.supply.as_ref().and_then(|supply| of_supply(supply, set, place, finding));
    in_supply.unwrap_or_else(|| of_parts(place, finding))
}

/// Remedies that need the circuit.
fn of_supply(
    supply: &SupplyCase,
    set: &Judged,
    place: Option<&Place>,
    finding: &Finding,
) -> Option<String> {
    let value = finding.value?;
    Some(match finding.rule {
        Rule::Bplus if value > 0.0 => plate_resistors(supply, set)?,
        Rule::RectifierPeak => plate_resistors(supply, set)?,
        Rule::PeakInverse | Rule::RectifierAcVolts => {
            let limit = volts(finding.limit_high?);
            within(supply, set, limit, volts(value)).unwrap_or_else(|| stouter(finding))
        }
        Rule::SourceResistance => {
            let lacking = finding.limit_low? - value;
            let each = ohms(significant(lacking.max(0.0), 2));
            format!("{} more in each plate lead, or a smaller reservoir", each.print())
        }
        Rule::ColdStart | Rule::WorkingVolts => higher_volts(supply, set, place, finding)?,
        Rule::RippleCurrent => format!(
            "parts that take {} here, or more bodies side by side",
            amperes(significant(value, 2)).print()
        ),
        Rule::Hum => "more capacitance here, or less esr".into(),
        Rule::TurnOn | Rule::WindingRms => "a smaller reservoir, as stamped".into(),
        Rule::Bleed => bleeder(supply, set)?,
        Rule::ResistorWatts => {
            let power = super::rating(watts(value))?;
            format!("a resistor rated {}", power.print())
        }
        _ => return None,
    })
}

fn candidates(set: &Judged) -> Vec<Candidate> {
    set.sections.iter().map(|section| section.candidate.clone()).collect()
}

/// Resistance in each plate lead that brings B+ back to the original device's.
fn plate_resistors(supply: &SupplyCase, set: &Judged) -> Option<String> {
    let chassis = &supply.chassis;
    let fitted = supply.fitted(&candidates(set));
    let found = PlateResistors::to_original(chassis, &chassis.stamped(), &fitted, End::Nominal);
    let found = found.ok()??;
    let rating =
        found.rating.map_or_else(|| "more than is sold".into(), crate::value::Value::print);
    let nodes = chassis.node_names().zip(&found.nodes);
    let nodes: Vec<String> =
        nodes.map(|(name, dc)| format!("{name} {:.0} V", in_volts(*dc))).collect();
    let (lead, each) = if found.quantity == 2 {
        ("each plate lead", " each")
    } else {
        ("the lead to the rectifier", "")
    };
    Some(format!(
        "{} in {lead} ({:.0} mA rms, {}{each}: fit {rating}) gives {}",
        found.each.print(),
        1e3 * in_amperes(found.current),
        watts(significant(in_watts(found.power), 2)).print(),
        nodes.join(", ")
    ))
}

/// A rectifier that takes the volts, where a bucking transformer would bring the
/// line down too far.
fn stouter(finding: &Finding) -> String {
    let value = finding.value.unwrap_or_default();
    if finding.rule == Rule::PeakInverse {
        let rated = volts((value / PEAK_INVERSE_SHARE).ceil()).print();
        format!("a rectifier rated {rated} peak inverse or more")
    } else {
        format!("a rectifier made for {} AC or more", volts(value.ceil()).print())
    }
}

fn bucked(found: &Buck) -> String {
    format!(
        "a {} bucking transformer ({} rated or more for B+, heaters and lamps on top, fused) brings \
         high line to {:.1} V",
        found.secondary.print(),
        amperes(significant(in_amperes(found.rated), 2)).print(),
        in_volts(found.line[1])
    )
}

/// A higher rating as sold, a series pair, or a lower line.
fn higher_volts(
    supply: &SupplyCase,
    set: &Judged,
    place: Option<&Place>,
    finding: &Finding,
) -> Option<String> {
    let value = finding.value?;
    let needed = if finding.rule == Rule::WorkingVolts { value / DERATING } else { value };
    let mut ways = Vec::new();
    if let Some(rated) = higher_rating(volts(needed)) {
        ways.push(format!("rated {} or more", rated.print()));
    }
    if let Some(pair) = place.and_then(SeriesPair::new).filter(|_| needed > 400.0) {
        ways.push(format!(
            "two {} {} in series with {} across each",
            pair.each.print(),
            pair.rated.print(),
            ohms(significant(in_ohms(pair.balance.resistance), 3)).print()
        ));
    }
    let rated = volts(finding.limit_high?);
    if let Some(buck) = within(supply, set, rated, volts(value)) {
        ways.push(buck);
    }
    (!ways.is_empty()).then(|| ways.join("; or "))
}

/// The line at which the peak stays within the rating that was fitted.
fn within(supply: &SupplyCase, set: &Judged, rated: Voltage, peak: Voltage) -> Option<String> {
    let fitted = supply.fitted(&candidates(set));
    let line = supply.chassis.high_line();
    let aim = Aim::within(rated, peak, line);
    let found = Buck::new(&supply.chassis, &fitted, End::Nominal, (line, aim), None).ok()??;
    let [before, behind] = found.line.map(in_volts);
    (behind >= LEAST_BUCKED * before).then(|| bucked(&found))
}

fn bleeder(supply: &SupplyCase, set: &Judged) -> Option<String> {
    let fitted = supply.fitted(&candidates(set));
    let found = Bleeder::new(&supply.chassis, &fitted, End::Nominal).ok()??;
    let rating =
        found.rating.map_or_else(|| "more than is sold".into(), crate::value::Value::print);
    Some(format!(
        "a bleeder of {} across {}, rated {rating}",
        found.resistance.print(),
        supply.node_name(found.node)
    ))
}

/// Remedies that are other parts.
fn of_parts(place: Option<&Place>, finding: &Finding) -> String {
    let value = finding.value.unwrap_or_default();
    let low = finding.limit_low.filter(|low| value < *low);
    match (finding.rule, low, finding.limit_high) {
        (Rule::Capacitance, Some(low), _) => format!(
            "{} or more, or {} or more across it",
            microfarads(significant(low, 3)).print(),
            microfarads(significant(low - value, 2)).print()
        ),
        (Rule::Capacitance, None, Some(high)) => {
            let most = microfarads(significant(high, 3)).print();
            format!("{most} or less{}", role_advice(place))
        }
        (Rule::RatedVolts, Some(low), _) => {
            let c = place.map_or(0.0, |p| p.stamped_uf);
            format!(
                "rated {} or more, or two of {} in series",
                volts(low).print(),
                microfarads(significant(2.0 * c, 3)).print()
            )
        }
        (Rule::BypassVolts, Some(low), _) => {
            format!("rated {} or more", volts(significant(low, 3)).print())
        }
        (Rule::WorkingVolts, ..) => {
            format!("rated {} or more, or a bucked line", volts((value / DERATING).ceil()).print())
        }
        (Rule::SeriesShare, _, Some(_)) => {
            format!("parts rated {} or more", volts(significant(value, 3)).print())
        }
        (Rule::CommonNegative | Rule::Polarity, ..) => {
            "separate parts, or a can with separate negatives".into()
        }
        (Rule::RectifierDc, ..) => format!(
            "read what the nodes draw again, or a rectifier made for {} DC or more",
            amperes(significant(value, 2)).print()
        ),
        _ => "another part".into(),
    }
}

fn role_advice(place: Option<&Place>) -> &'static str {
    match place.map(|p| capacitance::limits(p).basis) {
        Some(Basis::Unknown) => ", or say what it does: smoothing takes up to twice as much",
        Some(Basis::Tube(_)) => ": the rectifier sets the limit",
        _ => "",
    }
}
