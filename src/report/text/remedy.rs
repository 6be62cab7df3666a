//! Remedies for people: one paragraph each, the caution with it.

use crate::{
    quantity::{Current, Power, Voltage, in_amperes, in_ohms, in_volts, in_watts, significant},
    remedy::{Bleeder, Buck, PlateResistors, SeriesPair},
    rules::series_pair,
    value::Value,
};

/// What stands with every remedy that is wired into a supply.
pub const MEASURE_AGAIN: &str = "measure every node again: tubes draw less at lower volts";

/// Resistors in the plate leads; `nodes` names the nodes.
#[must_use]
pub fn plate_resistors(of: &PlateResistors, nodes: &[&str]) -> String {
    let lead = if of.quantity == 2 { "each plate lead" } else { "the lead to the rectifier" };
    format!(
        "{} in {lead} ({} in all), {} rms and {} each, fit {}: {} to {}; {}. They run hot and \
         stand at the winding's volts: mount them clear, unplugged and discharged. Then \
         {MEASURE_AGAIN}",
        of.each.print(),
        of.quantity,
        ma(of.current),
        w(of.power),
        size(of.rating),
        v(of.before),
        v(of.target),
        after(&of.nodes, nodes),
    )
}

/// A bucking transformer; `nodes` names the nodes.
#[must_use]
pub fn buck(of: &Buck, nodes: &[&str]) -> String {
    let [before, behind] = of.line;
    let alone =
        if of.plates_alone { ", for B+ alone: add what heaters and lamps take" } else { "" };
    format!(
        "{} secondary of a {} transformer against the line: {:.1} V to {:.1} V, everything behind \
         it at {:.1} %; {}. It carries {}: at least {:.2} A and {:.1} VA{alone}. All of it is on \
         the mains: fuse it, insulate it, and check with a meter that volts fall, not rise. Then \
         {MEASURE_AGAIN}",
        of.secondary.print(),
        of.primary.print(),
        in_volts(before),
        in_volts(behind),
        100.0 * of.factor,
        after(&of.nodes, nodes),
        ma(of.current),
        in_amperes(of.rated),
        in_watts(of.apparent),
    )
}

/// A bleeder; `nodes` names the nodes.
#[must_use]
pub fn bleeder(of: &Bleeder, nodes: &[&str]) -> String {
    format!(
        "{} across {}, no more than {}: {} at {}, {}, fit {}; tubes cold, the node stands at \
         {} without it. It runs hot, and if it opens the peak comes back: rate parts for that",
        of.resistance.print(),
        nodes.get(of.node).copied().unwrap_or("the node behind the choke"),
        crate::quantity::ohms(significant(in_ohms(of.most), 3)).print(),
        ma(of.current),
        v(of.volts),
        w(of.power),
        size(of.rating),
        v(of.before),
    )
}

/// A series pair.
#[must_use]
pub fn series_pair(of: &SeriesPair) -> String {
    format!(
        "two {} {} end to end, {} in all, {} across each; the case of the upper one is live",
        of.each.print(),
        of.rated.print(),
        of.whole.print(),
        series_pair::describe(&of.balance),
    )
}

/// `B1 339 V, B2 308 V`.
fn after(volts: &[Voltage], nodes: &[&str]) -> String {
    let each = nodes.iter().zip(volts).map(|(name, volts)| format!("{name} {}", v(*volts)));
    each.collect::<Vec<_>>().join(", ")
}

fn size(of: Option<Power>) -> String {
    of.map_or_else(|| "several that share the heat".into(), Value::print)
}

fn v(of: Voltage) -> String {
    format!("{:.0} V", in_volts(of))
}

fn w(of: Power) -> String {
    format!("{:.1} W", in_watts(of))
}

fn ma(of: Current) -> String {
    format!("{:.0} mA", 1e3 * in_amperes(of))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{amperes, microfarads, ohms, volts, watts};

    #[test]
    fn resistors_in_plate_leads() {
        let found = PlateResistors {
            each: ohms(150.0),
            exact: ohms(153.2),
            quantity: 2,
            current: amperes(0.2104),
            power: watts(6.54),
            rating: Some(watts(15.0)),
            target: volts(338.2),
            before: volts(402.4),
            nodes: [339.0, 308.0, 240.0].map(volts).to_vec(),
        };
        insta::assert_snapshot!(plate_resistors(&found, &["B1", "B2", "B3"]), @"150 Ω in each plate lead (2 in all), 210 mA rms and 6.5 W each, fit 15 W: 402 V to 338 V; B1 339 V, B2 308 V, B3 240 V. They run hot and stand at the winding's volts: mount them clear, unplugged and discharged. Then measure every node again: tubes draw less at lower volts");
    }

    #[test]
    fn a_bucked_line() {
        let found = Buck {
            secondary: volts(6.3),
            primary: volts(120.0),
            line: [volts(122.0), volts(115.595)],
            current: amperes(0.41),
            plates_alone: true,
            rated: amperes(0.612),
            apparent: watts(3.86),
            factor: 0.9475,
            nodes: vec![volts(347.0)],
        };
        insta::assert_snapshot!(buck(&found, &["B1"]), @"6.3 V secondary of a 120 V transformer against the line: 122.0 V to 115.6 V, everything behind it at 94.8 %; B1 347 V. It carries 410 mA: at least 0.61 A and 3.9 VA, for B+ alone: add what heaters and lamps take. All of it is on the mains: fuse it, insulate it, and check with a meter that volts fall, not rise. Then measure every node again: tubes draw less at lower volts");
    }

    #[test]
    fn a_bleeder() {
        let found = Bleeder {
            node: 1,
            resistance: ohms(10_000.0),
            most: ohms(11_309.7),
            current: amperes(0.0345),
            volts: volts(345.0),
            before: volts(594.0),
            power: watts(11.9),
            rating: Some(watts(25.0)),
        };
        insta::assert_snapshot!(bleeder(&found, &["B1", "B2"]), @"10 kΩ across B2, no more than 11.3 kΩ: 34 mA at 345 V, 11.9 W, fit 25 W; tubes cold, the node stands at 594 V without it. It runs hot, and if it opens the peak comes back: rate parts for that");
    }

    #[test]
    fn a_pair() {
        let found = SeriesPair {
            each: microfarads(22.0),
            whole: microfarads(11.0),
            rated: volts(315.0),
            balance: series_pair::Balance {
                resistance: ohms(220e3),
                power: watts(1.0),
                quantity: 2,
            },
        };
        insta::assert_snapshot!(super::series_pair(&found), @"two 22 µF 315 V end to end, 11 µF in all, 220 kΩ 1 W across each; the case of the upper one is live");
    }
}
