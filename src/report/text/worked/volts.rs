//! Figures in volts at one section.

use std::f64::consts::SQRT_2;

use super::{
    super::figure::{self, three},
    Figures, four,
};
use crate::{
    chassis::Solved,
    quantity::{Voltage, in_ohms, in_volts},
    rules::{
        Candidate, Finding, Place, Rule, ripple, series_pair,
        supply::SupplyCase,
        volts::{DERATING, high_line_factor},
    },
    set::Connection,
    supply::Place as Spot,
};

pub(super) fn worked(
    of: &Figures,
    place: &Place,
    new: &Candidate,
    finding: &Finding,
) -> Option<String> {
    let rated = new.rated_v;
    Some(match finding.rule {
        Rule::RatedVolts => rated_volts(place, new),
        Rule::WorkingVolts => {
            let limit = format!("{DERATING} × {} V = {} V", four(rated), four(DERATING * rated));
            format!("{}; {limit}", working(of, place, new)?)
        }
        Rule::ColdStart => cold_start(of.case.supply.as_ref()?, rated),
        Rule::SeriesShare => series_share(place, new)?,
        Rule::Surge if new.surge_v.is_none() => {
            let each = new.each_v.first().copied().unwrap_or(rated);
            let factor = if each <= 315.0 { 1.15 } else { 1.10 };
            format!("{factor:.2} × {} V = {} V", three(rated), three(factor * rated))
        }
        Rule::BypassVolts => {
            let low = finding.limit_low?;
            format!("1.25 × {} V = {} V", three(low / 1.25), three(low))
        }
        _ => return None,
    })
}

/// The rating of the whole, and how it stands to the stamped one.
fn rated_volts(place: &Place, new: &Candidate) -> String {
    let (rated, stamped) = (four(new.rated_v), four(place.stamped_v));
    let ratio = four(new.rated_v / place.stamped_v);
    let against = format!("{ratio} × {stamped} V stamped = {rated} V");
    let each = |with: &str| {
        let each: Vec<String> = new.each_v.iter().map(|v| format!("{} V", four(*v))).collect();
        each.join(with)
    };
    match new.connection {
        Connection::Parallel => format!("{against}, the least of {}", each(" and ")),
        // Unlike parts divide by capacitance, so their ratings do not add.
        Connection::Series if new.each_v.windows(2).all(|v| v[0].total_cmp(&v[1]).is_eq()) => {
            format!("{} = {rated} V; {against}", each(" + "))
        }
        Connection::Single | Connection::Series => against,
    }
}

/// Direct volts and ripple crest, where both are greatest together.
fn working(of: &Figures, place: &Place, new: &Candidate) -> Option<String> {
    let Some(spot) = place.supply.and_then(|at| at.spot) else {
        return measured(place, new);
    };
    let solved = of.set.supply.as_ref()?.states();
    let each = solved.filter_map(|state| {
        let (dc, most) = standing(state, spot)?;
        Some((in_volts(dc), in_volts(most), in_volts(state.line)))
    });
    let (dc, most, line) = each.max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(format!(
        "{} V + {} V = {} V, DC and ripple crest solved at a {} V line",
        four(dc),
        four(most - dc),
        four(most),
        four(line)
    ))
}

fn standing(state: &Solved, spot: Spot) -> Option<(Voltage, Voltage)> {
    match spot {
        Spot::Node(node) => state.steady.nodes.get(node).map(|n| (n.dc, n.max)),
        Spot::Cell(cell) => state.steady.cells.get(cell).map(|c| (c.dc, c.max)),
    }
}

/// Without a solved supply: the reading raised to high line, and half of I/(f C).
fn measured(place: &Place, new: &Candidate) -> Option<String> {
    let (read, factor) = (place.measured_v()?, high_line_factor(place));
    let crest = ripple::peak_to_peak(place, new).unwrap_or(0.0) / 2.0;
    Some(format!(
        "{} V × {} + {} V = {} V, high line over the line of the reading, and ripple crest",
        four(read),
        four(factor),
        four(crest),
        four(read * factor + crest)
    ))
}

/// Crest of the winding at both lines, and what the part stands.
fn cold_start(supply: &SupplyCase, rated: f64) -> String {
    let winding = supply.winding();
    let crest = |v| format!("√2 × {} = {}", figure::volts(v), figure::volts(SQRT_2 * v));
    let factor = if rated <= 315.0 { 1.15 } else { 1.10 };
    format!(
        "{} and {}, times two behind a doubler, or the simulated start where that is more; surge \
         {factor:.2} × {} V = {} V",
        crest(winding.measured),
        crest(winding.high),
        figure::three(rated),
        figure::three(factor * rated)
    )
}

/// Both ways that a pair divides its volts, the deciding one first.
fn series_share(place: &Place, new: &Candidate) -> Option<String> {
    let shares = series_pair::shares(place, new)?;
    let across = four(shares.across);
    let charging = format!(
        "{across} V × {} µF / ({} µF + {} µF) = {} V while charging, the smaller at its least",
        four(shares.others_uf),
        four(shares.others_uf),
        four(shares.least_uf),
        four(shares.charging)
    );
    let (count, ohm) = (new.count, in_ohms(series_pair::balance(place, new)?.resistance));
    let direct = format!(
        "{across} V / {count} + {} A × {} Ω × {} / {count} = {} V at rest, by leakage",
        four(shares.leakage),
        four(ohm),
        count - 1,
        four(shares.direct)
    );
    let both =
        if shares.direct > shares.charging { [direct, charging] } else { [charging, direct] };
    Some(both.join("; "))
}
