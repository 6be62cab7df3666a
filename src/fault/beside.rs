//! What no section of the can explains.

use super::{
    Ask, Lug,
    ask::{NO_DROP, SMALL_DROP},
    guess::{Bench, Condition, Fitted},
    taken::Heard,
};
use crate::{
    chassis::{Chassis, same_frequency},
    job::{Heaters, Job},
    quantity::{Frequency, Voltage, in_volts, volts},
    supply::{Branch, Place},
};

/// Something that the readings show and the can does not explain, or that looks
/// like a fault and is none.
#[derive(Debug, Clone, PartialEq)]
pub enum Beside {
    /// Ripple at the line's frequency is normal with one plate.
    NormalHalfWave(Frequency),
    /// Hum at the line's frequency where ripple has twice that: heaters, a ground
    /// loop, leakage from heater to cathode.
    HeaterHum {
        /// Of the line.
        line: Frequency,
        /// Whether DC was read, and is as it should be.
        dc_read: bool,
    },
    /// Hum at the line's frequency of more volts than a heater winding has: neither
    /// heaters nor a section explain it.
    NotExplained {
        /// Name of the node.
        node: String,
        /// AC volts read there.
        read: Voltage,
    },
    /// One plate of the rectifier, or half of its winding, passes nothing.
    DeadPlate {
        /// Frequency of the hum, where it was told: the line's.
        heard: Option<Frequency>,
        /// DC at the first node.
        dc: DcRead,
        /// Node, AC volts and DC volts of the supply with one plate, sections as
        /// stamped.
        shows: Vec<(String, Voltage, Voltage)>,
    },
    /// Hum of neither frequency.
    OddFrequency(Frequency),
    /// Hum at twice the line's frequency where the rectifier is told as half-wave.
    FullWave(Frequency),
    /// DC of a choke input is as high as with a capacitor ahead of the choke.
    CapacitorAhead {
        /// Name of the node.
        node: String,
        /// Read.
        read: Voltage,
        /// Worked out.
        expected: Voltage,
    },
    /// The line was low against the chassis plate.
    LowLine {
        /// AC volts of the line.
        line: Voltage,
        /// On the plate.
        nominal: Voltage,
    },
    /// DC at a node is off from what the explanation gives.
    Dc {
        /// Name of the node.
        node: String,
        /// Read.
        read: Voltage,
        /// Worked out.
        expected: Voltage,
    },
    /// A node has no DC while the one ahead has: what feeds it is open, or it is
    /// shorted.
    NoDc {
        /// Name of the node.
        node: String,
    },
    /// Two lugs at one voltage where a drop is expected: what feeds the second is
    /// bypassed.
    NoDrop {
        /// Name of the node.
        node: String,
        /// Name of the one ahead.
        ahead: String,
        /// The drop that was expected.
        expected: Voltage,
    },
    /// A lug hums as the one ahead of it: its section does nothing, or its
    /// negative goes to the wrong place.
    SameHum {
        /// Name of the node.
        node: String,
        /// Name of the one ahead.
        ahead: String,
    },
    /// More capacitance than stamped: a part that is still across a section.
    More {
        /// Name of the node.
        node: String,
    },
}

/// DC at the first node against what is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DcRead {
    /// Not read.
    No,
    /// Below what is due.
    Low,
    /// As it should be.
    AsDue,
}

/// A line this far below the plate is low (common practice, no source).
const LOW_LINE: f64 = 0.95;
/// DC further off than this is told: twice what published points differ by.
const DC_OFF: f64 = 0.1;
/// Less than this share of the DC ahead is none (common practice, no source).
const NO_DC: f64 = 0.1;
/// Within these shares of the hum ahead it is the same hum (common practice, no
/// source).
const SAME_HUM: std::ops::RangeInclusive<f64> = 0.9..=1.1;
/// Hum that is no ripple is the same at two lugs within this many of the meter's
/// errors.
const SAME_STRAY: f64 = 3.0;
/// DC within this share of what is due is as it should be: published operating points
/// agree to about 5 %.
const AS_DUE: f64 = 0.05;
/// DC of a choke input above this share of what is due is that of a capacitor ahead of
/// the choke, which gives up to π/2 times as much (by hand).
const CAPACITOR_AHEAD: f64 = 1.15;

/// Most AC volts that a heater winding of a receiver has, V (2.5 to 12.6 V, from
/// memory); in a string across the line the whole line may leak in.
const HEATER_V: f64 = 12.6;

pub(super) fn beside(
    job: &Job,
    bench: &Bench,
    likely: &[Fitted],
    lugs: &[Lug],
    asks: &[Ask],
) -> Vec<Beside> {
    let mut found = Vec::new();
    let misread = asks.iter().any(|ask| ask.is_misread());
    if !misread {
        frequency(bench, likely, lugs, &mut found);
    }
    if let Some(not_explained) = no_heaters(job, likely, lugs, asks) {
        found.retain(|of| !matches!(of, Beside::HeaterHum { .. }));
        found.push(not_explained);
    }
    let line = job.measured.as_ref().and_then(|r| r.line).or(job.mains.volts);
    if let (Some(line), Some(nominal)) = (line, job.mains.nominal)
        && line < LOW_LINE * nominal
    {
        found.push(Beside::LowLine { line, nominal });
    }
    for (j, lug) in lugs.iter().enumerate().filter(|_| !misread) {
        // DC that was read from the wrong place says nothing of what feeds a node.
        if !asks.contains(&Ask::Negative) {
            direct(bench, lugs, (j, lug), &mut found);
        }
        same_hum(bench, likely, lugs, (j, lug), &mut found);
    }
    if !misread && let Some(ahead) = capacitor_ahead(bench, lugs) {
        let is_high =
            |of: &Beside| matches!(of, Beside::Dc { read, expected, .. } if read > expected);
        found.retain(|of| !is_high(of));
        found.insert(0, ahead);
    }
    let best = likely.first().map_or(&[][..], |best| &best.guess.sections);
    for (i, condition) in best.iter().enumerate() {
        if *condition == Condition::More {
            let node = match bench.whole.stations()[i].place {
                Place::Node(j) => j,
                Place::Cell(_) => 0,
            };
            found.extend(lugs.get(node).map(|lug| Beside::More { node: lug.name.clone() }));
        }
    }
    found
}

fn frequency(bench: &Bench, likely: &[Fitted], lugs: &[Lug], found: &mut Vec<Beside>) {
    let line = bench.whole.chassis.frequency();
    match bench.taken.frequency {
        Heard::Ripple if bench.half.is_none() && bench.whole.omega() < 7.0 * hertz(line) => {
            found.push(Beside::NormalHalfWave(line));
        }
        Heard::Else(other) if bench.half.is_none() && same_frequency(other, line * 2.0) => {
            found.push(Beside::FullWave(other));
        }
        Heard::Else(other) => found.push(Beside::OddFrequency(other)),
        _ => {}
    }
    let dc = dc_read(bench, lugs);
    if likely.iter().any(|fitted| fitted.guess.dead_plate) {
        let heard = (bench.taken.frequency == Heard::Line).then_some(line);
        found.push(Beside::DeadPlate { heard, dc, shows: with_one_plate(bench, lugs) });
    }
    if likely.iter().any(|fitted| fitted.guess.stray) {
        found.push(Beside::HeaterHum { line, dc_read: dc == DcRead::AsDue });
    }
}

/// DC at the first node, or where a doubler has it across its own, whatever is due.
fn dc_read(bench: &Bench, lugs: &[Lug]) -> DcRead {
    let share = |lug: &Lug| Some(in_volts(lug.dc?) / in_volts(lug.dc_stamped?).max(1.0));
    match lugs.first().and_then(share) {
        Some(share) if share < 1.0 - AS_DUE => DcRead::Low,
        None if !bench.has_dc() => DcRead::No,
        _ => DcRead::AsDue,
    }
}

/// Whether the rectifier feeds a choke, with no capacitor ahead of it.
pub(crate) fn is_choke_input(chassis: &Chassis) -> bool {
    let is_first = |place: Place| !matches!(place, Place::Node(node) if node > 0);
    let fed = |node: usize| chassis.feed(node).filter(|feed| feed.from == 0);
    let choke = |node: usize| fed(node).is_some_and(|f| matches!(f.branch, Branch::Choke { .. }));
    !chassis.stations().iter().any(|station| is_first(station.place))
        && (1..chassis.node_count()).any(choke)
}

/// Whether DC of a choke input, read and due in V, is as high as with a capacitor
/// ahead of the choke.
pub(crate) fn is_as_with_one_ahead(read: f64, due: f64) -> bool {
    read > CAPACITOR_AHEAD * due
}

/// A capacitor that DC shows ahead of the choke of a choke input.
fn capacitor_ahead(bench: &Bench, lugs: &[Lug]) -> Option<Beside> {
    if !is_choke_input(bench.whole.chassis) {
        return None;
    }
    let lug = lugs.iter().find(|lug| lug.dc.is_some())?;
    let (read, expected) = (lug.dc?, lug.dc_stamped?);
    is_as_with_one_ahead(in_volts(read), in_volts(expected)).then(|| Beside::CapacitorAhead {
        node: lug.name.clone(),
        read,
        expected,
    })
}

/// The lug whose hum is said to be no ripple and can't be of the heaters either.
fn no_heaters(job: &Job, likely: &[Fitted], lugs: &[Lug], asks: &[Ask]) -> Option<Beside> {
    let string = job.chassis.heaters == Some(Heaters::Series);
    let is_stray = likely.first().is_some_and(|best| best.guess.stray);
    if string || !is_stray || !asks.is_empty() {
        return None;
    }
    let over = |lug: &&Lug| {
        let ripple = in_volts(lug.hum_explained);
        lug.hum.is_some_and(|read| in_volts(read) > HEATER_V.hypot(ripple))
    };
    let lug = lugs.iter().find(over)?;
    Some(Beside::NotExplained { node: lug.name.clone(), read: lug.hum? })
}

/// What the supply shows with one plate dead and its sections as stamped.
fn with_one_plate(bench: &Bench, lugs: &[Lug]) -> Vec<(String, Voltage, Voltage)> {
    let sound = bench.sound();
    let Some(shown) = bench.half.and_then(|half| half.shown(bench.open(&sound))) else {
        return Vec::new();
    };
    let volts_of = lugs.iter().zip(shown.hum.iter().zip(&shown.dc));
    volts_of.map(|(lug, (hum, dc))| (lug.name.clone(), volts(*hum), volts(*dc))).collect()
}

fn hertz(f: Frequency) -> f64 {
    crate::quantity::in_hertz(f)
}

/// What DC says of what feeds a node.
fn direct(bench: &Bench, lugs: &[Lug], (j, lug): (usize, &Lug), found: &mut Vec<Beside>) {
    let expected = in_volts(lug.dc_explained);
    let read = bench.taken.as_read(j).1;
    let ahead = bench.whole.ahead(j).and_then(|from| Some((from, lugs.get(from)?)));
    if let (Some(read), Some((from, ahead))) = (read, ahead)
        && let Some(ahead_read) = bench.taken.as_read(from).1
    {
        let drop = in_volts(ahead.dc_explained) - expected;
        if read < NO_DC * ahead_read && ahead_read > 10.0 {
            found.push(Beside::NoDc { node: lug.name.clone() });
            return;
        }
        if drop > SMALL_DROP * ahead_read && ahead_read - read < NO_DROP * drop {
            let (node, ahead) = (lug.name.clone(), ahead.name.clone());
            found.push(Beside::NoDrop { node, ahead, expected: volts(drop) });
            return;
        }
    }
    if let Some(read) = read
        && (read / expected.max(1.0) - 1.0).abs() > DC_OFF
    {
        let (read, expected) = (volts(read), lug.dc_explained);
        found.push(Beside::Dc { node: lug.name.clone(), read, expected });
    }
}

fn same_hum(
    bench: &Bench,
    likely: &[Fitted],
    lugs: &[Lug],
    (j, lug): (usize, &Lug),
    found: &mut Vec<Beside>,
) {
    let stray = likely.first().is_some_and(|best| best.guess.stray);
    let error = SAME_STRAY * bench.taken.error;
    let is_same = |ratio: f64| SAME_HUM.contains(&ratio) && (!stray || ratio.ln().abs() < error);
    let ahead = bench.whole.ahead(j).and_then(|from| Some((from, lugs.get(from)?)));
    if let Some((from, ahead)) = ahead
        && let (Some(own), Some(before)) = (bench.taken.hum_at(j), bench.taken.hum_at(from))
        && is_same(own / before)
    {
        found.push(Beside::SameHum { node: lug.name.clone(), ahead: ahead.name.clone() });
    }
}
