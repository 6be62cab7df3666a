//! What the can does not explain, in the trade's words.

use super::v;
use crate::{
    fault::{Beside, DcRead},
    quantity::{Voltage, in_volts},
    value::Value,
};

/// What the can does not explain, and what to check; `bridge` says whether the
/// rectifier is one.
#[must_use]
pub fn beside(of: &Beside, bridge: bool) -> String {
    match of {
        Beside::NormalHalfWave(line) => {
            format!("{} ripple is normal with one plate", line.print())
        }
        Beside::HeaterHum { line, dc_read } => heater_hum(&line.print(), *dc_read),
        Beside::NotExplained { node, read } => format!(
            "not explained: {} of hum at {node} is more than a heater winding has, and no section \
             makes it",
            v(*read)
        ),
        Beside::DeadPlate { heard, dc, shows } => {
            dead_plate(heard.map(Value::print).as_deref(), *dc, bridge, shows)
        }
        Beside::FullWave(other) => {
            format!("{} is twice the line: full-wave ripple; is `circuit` right?", other.print())
        }
        Beside::CapacitorAhead { node, read, expected } => format!(
            "{node} reads {} DC, {} expected of a choke input: a capacitor fitted ahead of the \
             choke?",
            v(*read),
            v(*expected)
        ),
        Beside::OddFrequency(other) => format!(
            "{} is neither the line nor its ripple: motorboating or a wrong reading",
            other.print()
        ),
        Beside::LowLine { line, nominal } => format!(
            "line {} against {} on the plate: DC is low for that reason",
            v(*line),
            v(*nominal)
        ),
        Beside::Dc { node, read, expected } => {
            let (read_v, expected_v) = (in_volts(*read), in_volts(*expected));
            let check = if read_v < expected_v {
                "weak rectifier, a load or a leak not told, a dropping resistor gone high"
            } else {
                "a tube out or cold, a load less than told, a resistor bypassed"
            };
            format!("{node} reads {} DC, {} expected: {check}", v(*read), v(*expected))
        }
        Beside::NoDc { node } => format!(
            "{node} has no DC while the node ahead has: what feeds it is open, or it is shorted; \
             measure ohms, unplugged and discharged"
        ),
        Beside::NoDrop { node, ahead, expected } => format!(
            "{node} stands at {ahead}'s volts, {} less expected: what feeds it is bypassed, or \
             both lugs are tied",
            v(*expected)
        ),
        Beside::SameHum { node, ahead } => format!(
            "{node} hums as {ahead} does: its section does nothing; check that its negative goes \
             where the drawing has it, and any earlier repair"
        ),
        Beside::More { node } => format!(
            "{node} has more capacitance than stamped: look for a part of an earlier repair still \
             across it"
        ),
    }
}

/// The same in a few words, where a screen has no room for more.
#[must_use]
pub fn in_short(of: &Beside, bridge: bool) -> String {
    match of {
        Beside::NormalHalfWave(_) => "ripple as of one plate is normal".into(),
        Beside::HeaterHum { .. } => "hum of the heaters".into(),
        Beside::NotExplained { node, .. } => format!("hum at {node} not explained"),
        Beside::DeadPlate { .. } if bridge => "one dead diode pair".into(),
        Beside::DeadPlate { .. } => "one dead plate or half winding".into(),
        Beside::FullWave(_) => "`circuit` is not half-wave".into(),
        Beside::CapacitorAhead { .. } => "a capacitor fitted ahead of the choke?".into(),
        Beside::OddFrequency(_) => "motorboating".into(),
        Beside::LowLine { .. } => "low line".into(),
        Beside::Dc { node, .. } => format!("DC off at {node}"),
        Beside::NoDc { node } => format!("no DC at {node}"),
        Beside::NoDrop { node, .. } => format!("no drop to {node}"),
        Beside::SameHum { node, .. } => format!("{node} hums as the lug ahead"),
        Beside::More { node } => format!("a part across {node}"),
    }
}

fn heater_hum(line: &str, dc_read: bool) -> String {
    let check = "heater to cathode leakage, heater centre tap, ground loop, lead dress";
    if dc_read {
        format!("{line} is not this rectifier's ripple and DC is as it should be: check {check}")
    } else {
        format!(
            "or hum of the heaters, whose size does not follow the ripple's from lug to lug, with \
             DC as it should be: then check {check}"
        )
    }
}

fn dead_plate(
    heard: Option<&str>,
    dc: DcRead,
    bridge: bool,
    shows: &[(String, Voltage, Voltage)],
) -> String {
    let one = if bridge { "one diode pair" } else { "one plate" };
    let what = match (heard, dc) {
        (Some(line), DcRead::Low) => format!("hum at {line} with DC low"),
        (Some(line), DcRead::No | DcRead::AsDue) => {
            format!("{line} is half this rectifier's ripple")
        }
        (None, DcRead::No) => format!("the hum is as of {one}"),
        (None, DcRead::Low | DcRead::AsDue) => format!("with DC as read, the hum is as of {one}"),
    };
    let check = if bridge {
        "check each diode of the bridge and its leads, before any capacitor"
    } else {
        "check the rectifier's other plate, its winding half and lead, before any capacitor"
    };
    let each = |(name, hum, dc): &(String, Voltage, Voltage)| {
        format!("{name} {} AC, {} DC", v(*hum), v(*dc))
    };
    let shows: Vec<String> = shows.iter().map(each).collect();
    if shows.is_empty() {
        return format!("{what}: {check}");
    }
    format!("{what}: {check}; {one} alone gives {}", shows.join("; "))
}
