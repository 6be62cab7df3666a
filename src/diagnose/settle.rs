//! What to read or try next: worked out for the set at hand, from what the likeliest
//! hypotheses foretell of each.

use super::{
    SectionDiagnosis, SectionState,
    hypothesis::Fault,
    misread::Misread,
    model::{MeterShown, NO_LEAK_MA, Unknown},
    readings::{Heard, LugReading, What, When},
    weigh::{FittedFaults, RIVAL, Weighing},
};
use crate::{
    chassis::equivalent,
    job::ReadAt,
    quantity::{Capacitance, Voltage, in_hertz, in_volts, microfarads, ohms, volts},
    supply::{Capacitor, Circuit, Place, start_up, steady},
};

/// The known good part that is clipped across suspects.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GoodPart {
    /// Its capacitance.
    pub capacitance: Capacitance,
    /// Its rated volts.
    pub rated: Voltage,
}

impl Default for GoodPart {
    /// 22 µF 450 V, which most benches have.
    fn default() -> Self {
        Self { capacitance: microfarads(22.0), rated: volts(450.0) }
    }
}

/// What to do.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// Read volts at a place.
    Read(ReadAt, What),
    /// Read again what fits the others least.
    Recheck(ReadAt, What),
    /// Read the line while the lugs are read.
    ReadLine,
    /// Read the ohms of a section, set off and discharged.
    ReadCold(usize),
    /// Take the readings again, for they are not of the can.
    ReadAgain(Misread),
    /// Clip the good part across a section and read the hum at its lug.
    Bridge(usize, GoodPart),
    /// The good part must not be clipped there: volts at switch-on.
    NoBridge(usize, GoodPart, f64),
    /// Lift a section's lead, the good part in its place, and read DC at its lug.
    Lift(usize, GoodPart),
    /// Put another rectifier in and read DC at the first lug.
    TryRectifier,
}

/// What an action shows where one of the causes is there.
#[derive(Debug, Clone, PartialEq)]
pub struct Shows {
    /// The faults that are there then; none where nothing is wrong.
    pub causes: Vec<Fault>,
    /// Volts, ohms or hertz that are read.
    pub value: f64,
}

/// Something to read or try.
#[derive(Debug, Clone, PartialEq)]
pub struct Settle {
    /// What to do.
    pub action: Action,
    /// What each outcome would show.
    pub outcomes: Vec<Shows>,
}

/// How many standard errors must lie between two outcomes.
const APART: f64 = 3.0;
/// Esr of a good part, Ω (common practice, no source).
const GOOD_ESR: f64 = 1.5;
/// Most that is said.
const MOST: usize = 3;
/// A line that is this near is asked for before anything else.
const LIKELY: f64 = 3.0;
/// A section with more than this share left has lost little.
const LITTLE: f64 = 0.85;
/// Where no section is a suspect only what is this near is told apart.
const NEAR: f64 = 6.5;
/// A fault shared by both is told apart by its size only.
const LESS: f64 = 0.5;

pub(super) fn settle(
    bench: &Weighing,
    fits: &[FittedFaults],
    (sections, misread, unexplained): (&[SectionDiagnosis], &[Misread], bool),
    good: GoodPart,
) -> Vec<Settle> {
    if !misread.is_empty() {
        return again(misread);
    }
    let mut all = Vec::new();
    let rivals = rivals(bench, fits, sections);
    let blamed =
        |of: &SectionDiagnosis| matches!(of.state, SectionState::Suspect | SectionState::Failed);
    let suspect = sections.iter().any(blamed);
    if unexplained {
        return furthest_off(bench, fits).into_iter().collect();
    }
    if suspect && !bench.is_dc_read() {
        all.push(first_dc(bench, fits));
    } else if let Some(first) = fits.first() {
        let read = |other: &&FittedFaults| best_reading(bench, When::Before, first, other);
        all.extend(rivals.iter().find_map(read));
        if all.is_empty() {
            let other = rivals.first();
            all.extend(other.and_then(|other| by_hand(bench, When::Before, (first, other), good)));
        }
    }
    let mut later = Vec::new();
    for (i, section) in sections.iter().enumerate() {
        let worn = matches!(section.fault, None | Some(Fault::Worn(..)));
        let bridged = |of: &Settle| matches!(of.action, Action::Bridge(j, _) | Action::NoBridge(j, ..) if i == j);
        if section.state == SectionState::Suspect && worn && !all.iter().any(bridged) {
            let other = fits.get(1).unwrap_or(&fits[0]);
            all.extend(bridge(bench, When::Before, (&fits[0], other), i, good));
        }
        let of = match (section.state, section.station.place) {
            (SectionState::Unread, Place::Node(node)) if hum_is_open(bench, node) => {
                Some(Action::Read(ReadAt::Node(node), What::Hum))
            }
            (SectionState::Sound | SectionState::Suspect, _)
                if !section.read_cold && section.station.section.is_some() =>
            {
                Some(Action::ReadCold(i))
            }
            _ => None,
        };
        later.extend(of.map(|action| Settle { action, outcomes: Vec::new() }));
    }
    // Of parts that must not be clipped across the first says it for all.
    let mut refused = false;
    all.retain(|of| {
        let again = refused && matches!(of.action, Action::NoBridge(..));
        refused |= matches!(of.action, Action::NoBridge(..));
        !again
    });
    let is_new = |of: &Settle| all.iter().all(|other: &Settle| other.action != of.action);
    let later: Vec<Settle> = later.into_iter().filter(is_new).collect();
    all.extend(later);
    all.truncate(MOST);
    all
}

/// Readings that are not of the can are taken again before anything else.
fn again(misread: &[Misread]) -> Vec<Settle> {
    let again =
        |of: &Misread| Settle { action: Action::ReadAgain(of.clone()), outcomes: Vec::new() };
    misread.iter().map(again).collect()
}

/// What tells the likeliest causes apart after the repair.
pub(super) fn settle_after(
    bench: &Weighing,
    fits: &[FittedFaults],
    misread: &[Misread],
    good: GoodPart,
) -> Vec<Settle> {
    if !misread.is_empty() {
        return again(misread);
    }
    let Some(first) = fits.first() else { return Vec::new() };
    let near = fits.iter().skip(1).take_while(|fit| fit.score <= first.score + RIVAL);
    let still = |fit: &FittedFaults| {
        let there = |fault: &&Fault| fault.section().is_none_or(|(when, _)| when == When::After);
        fit.hypothesis.0.iter().filter(there).copied().collect::<Vec<Fault>>()
    };
    let mut other = near.filter(|fit| still(fit) != still(first));
    let Some(other) = other.next() else { return Vec::new() };
    let found = best_reading(bench, When::After, first, other);
    found.or_else(|| by_hand(bench, When::After, (first, other), good)).into_iter().collect()
}

/// DC at the first lug, which tells what the set draws: without it hum tells little.
fn first_dc(bench: &Weighing, fits: &[FittedFaults]) -> Settle {
    let place = ReadAt::Node(0);
    let shown = |fit: &FittedFaults| {
        let shown = bench.model.shown_at(0, &fit.found.x, fit.hypothesis.dead_plate())?;
        Some(outcome(fit, shown.of(place, What::Dc)?))
    };
    let outcomes = fits.first().and_then(shown).into_iter().collect();
    Settle { action: Action::Read(place, What::Dc), outcomes }
}

/// The reading that fits the others least.
fn furthest_off(bench: &Weighing, fits: &[FittedFaults]) -> Option<Settle> {
    let first = fits.first()?;
    let each = bench.model.readings().zip(&first.found.residuals);
    let ((_, reading), _) = each.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
    let action = Action::Recheck(reading.place, reading.what);
    Some(Settle { action, outcomes: Vec::new() })
}

fn hum_is_open(bench: &Weighing, node: usize) -> bool {
    bench.model.taken_at(When::Before).is_some_and(|(_, taken)| taken.hum(node).is_none())
}

/// The hypotheses beside the likeliest that a reading has to tell it from: those that blame
/// the line, which is soonest read, then those that part the can from the rest, then others.
fn rivals<'f>(
    bench: &Weighing,
    fits: &'f [FittedFaults],
    sections: &[SectionDiagnosis],
) -> Vec<&'f FittedFaults> {
    let Some(first) = fits.first() else { return Vec::new() };
    let undecided = sections.iter().any(|of| of.state == SectionState::Suspect);
    let reach = if undecided { RIVAL } else { NEAR };
    let near = fits.iter().skip(1).take_while(|fit| fit.score <= first.score + reach);
    let section =
        |fit: &FittedFaults| fit.hypothesis.0.iter().any(|fault| fault.section().is_some());
    let line = |fit: &FittedFaults| fit.hypothesis.has(Fault::Line);
    // One that has a section lose a little is the same but for what any section may be.
    let little = |fit: &&FittedFaults| {
        let lost = |fault: &Fault| match *fault {
            Fault::Worn(when, i) => bench.model.index(Unknown::Share(when, i)),
            _ => None,
        };
        let mut lost = fit.hypothesis.0.iter().filter_map(lost);
        !lost.any(|at| fit.found.x[at] > LITTLE.ln())
    };
    let mut near: Vec<&FittedFaults> = near.filter(little).take(12).collect();
    let soon = |fit: &FittedFaults| line(fit) != line(first) && fit.score < first.score + LIKELY;
    near.sort_by_key(|fit| (!soon(fit), section(fit) == section(first)));
    near.truncate(4);
    near
}

/// The reading not yet taken that parts two hypotheses most.
fn best_reading(
    bench: &Weighing,
    when: When,
    one: &FittedFaults,
    other: &FittedFaults,
) -> Option<Settle> {
    let model = bench.model;
    let (time, taken) = model.taken_at(when)?;
    let is_line = |fit: &FittedFaults| fit.hypothesis.has(Fault::Line);
    if is_line(one) != is_line(other) && taken.line_untold {
        let at = model.index(Unknown::Line(when))?;
        let line = |fit: &FittedFaults| taken.line * fit.found.x[at].exp();
        let outcome = |fit: &FittedFaults| outcome(fit, line(fit));
        return Some(Settle {
            action: Action::ReadLine,
            outcomes: vec![outcome(one), outcome(other)],
        });
    }
    let shown =
        |fit: &FittedFaults| model.shown_at(time, &fit.found.x, fit.hypothesis.dead_plate());
    let (a, b) = (shown(one)?, shown(other)?);
    let frequency = |fit: &FittedFaults, of: &MeterShown, node: usize| {
        let line = in_hertz(model.chassis.frequency());
        let ripple = in_hertz(model.chassis.ripple());
        let stray = of.stray[node] > of.hum[node];
        if fit.hypothesis.dead_plate() || stray { line } else { ripple }
    };
    let nodes = 0..a.dc.len();
    if taken.heard == Heard::Untold {
        let differs = nodes.clone().find(|&node| {
            a.hum[node].max(a.stray[node]) > super::readings::floor(What::Hum)
                && (frequency(one, &a, node) - frequency(other, &b, node)).abs() > 1.0
        });
        if let Some(node) = differs {
            let outcomes = vec![
                outcome(one, frequency(one, &a, node)),
                outcome(other, frequency(other, &b, node)),
            ];
            let action = Action::Read(ReadAt::Node(node), What::Frequency);
            return Some(Settle { action, outcomes });
        }
    }
    let cells = (0..a.cells.len()).map(|cell| (ReadAt::Doubler(cell), What::Dc));
    let lugs =
        nodes.flat_map(|node| [(ReadAt::Node(node), What::Dc), (ReadAt::Node(node), What::Hum)]);
    let open = lugs.chain(cells).filter(|(place, what)| taken.at(*place, *what).is_none());
    let apart = open.filter_map(|(place, what)| {
        let reading: LugReading = taken.untaken(place, what);
        let (one_v, other_v) = (a.of(place, what)?, b.of(place, what)?);
        let off = (reading.level(one_v) - reading.level(other_v)).abs()
            / spread(&reading, one_v.max(other_v));
        Some((off, place, what, one_v, other_v))
    });
    // Nearly as good and nearer the rectifier is better.
    let apart: Vec<_> = apart.collect();
    let most = apart.iter().map(|of| of.0).fold(0.0, f64::max);
    let good_enough = |of: &&(f64, ReadAt, What, f64, f64)| of.0 > APART && of.0 >= 0.7 * most;
    let &(_, place, what, one_v, other_v) = apart.iter().find(good_enough)?;
    Some(Settle {
        action: Action::Read(place, what),
        outcomes: vec![outcome(one, one_v), outcome(other, other_v)],
    })
}

/// What a reading and what foretells it may be off by together.
fn spread(reading: &LugReading, volts: f64) -> f64 {
    let model = match reading.what {
        What::Hum => 0.08,
        What::Dc | What::Frequency => 0.01,
    };
    reading.error_at(volts).hypot(model)
}

fn outcome(fit: &FittedFaults, value: f64) -> Shows {
    Shows { causes: fit.hypothesis.0.clone(), value }
}

/// What tells two hypotheses apart where no reading at the lugs does.
fn by_hand(
    bench: &Weighing,
    when: When,
    (one, other): (&FittedFaults, &FittedFaults),
    good: GoodPart,
) -> Option<Settle> {
    let differ = |is: &dyn Fn(&Fault) -> bool| {
        let of = |fit: &FittedFaults| fit.hypothesis.0.iter().copied().find(|fault| is(fault));
        let (a, b) = (of(one), of(other));
        (a != b).then(|| a.or(b)).flatten()
    };
    let station = |fault: Fault| fault.section().map(|(_, i)| i);
    let worn = differ(&|fault| matches!(fault, Fault::Worn(..) | Fault::More(..)));
    let leaks = differ(&|fault| matches!(fault, Fault::Leaking(..)));
    if let Some(i) = worn.and_then(station)
        && let Some(found) = bridge(bench, when, (one, other), i, good)
    {
        return Some(found);
    }
    if let Some(i) = leaks.and_then(station) {
        if when == When::Before && bench.faults.is_cold_open(i) {
            return Some(Settle { action: Action::ReadCold(i), outcomes: Vec::new() });
        }
        return lift(bench, when, (one, other), i, good);
    }
    differ(&|fault| matches!(fault, Fault::Rectifier | Fault::DeadPlate))?;
    let (time, _) = bench.model.taken_at(when)?;
    let mended = |fit: &FittedFaults| {
        let mut x = fit.found.x.clone();
        x[bench.model.index(Unknown::Drop)?] = 0.0;
        Some(outcome(fit, bench.model.shown_at(time, &x, false)?.dc[0]))
    };
    let outcomes = vec![mended(one)?, mended(other)?];
    Some(Settle { action: Action::TryRectifier, outcomes })
}

/// The good part across a section: the hum at its lug by both hypotheses.
fn bridge(
    bench: &Weighing,
    when: When,
    (one, other): (&FittedFaults, &FittedFaults),
    i: usize,
    good: GoodPart,
) -> Option<Settle> {
    let (node, circuit) = with_part(bench, when, one, i, (good, Own::Stays))?;
    if let Some(refused) = refused(i, good, at_switch_on(bench, node, circuit)?) {
        return Some(refused);
    }
    let hum = |fit: &FittedFaults| {
        let (_, circuit) = with_part(bench, when, fit, i, (good, Own::Stays))?;
        let state = steady(&circuit).ok()?;
        let (_, taken) = bench.model.taken_at(when)?;
        Some(outcome(fit, taken.meter.hum(state.nodes.get(node)?)))
    };
    let (one, other) = (hum(one)?, hum(other)?);
    let reading = bench.model.taken_at(when)?.1.untaken(ReadAt::Node(node), What::Hum);
    let apart = (reading.level(one.value) - reading.level(other.value)).abs()
        / spread(&reading, one.value.max(other.value));
    let outcomes = if apart > APART * LESS { vec![one, other] } else { vec![one] };
    Some(Settle { action: Action::Bridge(i, good), outcomes })
}

/// Whether a section stays in circuit beside the good part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Own {
    Stays,
    Lifted,
}

/// The node of a section and the circuit with the good part there.
fn with_part(
    bench: &Weighing,
    when: When,
    fit: &FittedFaults,
    i: usize,
    (good, own): (GoodPart, Own),
) -> Option<(usize, Circuit)> {
    let Place::Node(node) = bench.model.stations()[i].place else { return None };
    let (time, _) = bench.model.taken_at(when)?;
    let mut x = fit.found.x.clone();
    if own == Own::Lifted {
        x[bench.model.index(Unknown::Leak(when, i))?] = NO_LEAK_MA.ln();
    }
    let mut circuit = bench.model.circuit(time, &x, fit.hypothesis.dead_plate())?;
    let part = Capacitor { capacitance: good.capacitance, esr: ohms(GOOD_ESR) };
    let at = circuit.nodes.get_mut(node)?;
    at.capacitor = Some(match own {
        Own::Stays => equivalent(&[at.capacitor?, part], bench.model.chassis.ripple()),
        Own::Lifted => part,
    });
    Some((node, circuit))
}

/// Volts that a node reaches at switch-on, at high line; `None` where nobody can tell, and
/// then nothing is clipped there.
fn at_switch_on(bench: &Weighing, node: usize, mut circuit: Circuit) -> Option<f64> {
    let chassis = bench.model.chassis;
    let high = chassis.winding(chassis.high_line());
    if high > circuit.source.volts {
        circuit.source.volts = high;
    }
    let state = steady(&circuit).ok()?;
    let start = start_up(&circuit, &state).ok()?;
    let open = in_volts(start.open);
    Some(start.node_peaks.get(node).map_or(open, |peak| in_volts(*peak).max(open)))
}

fn refused(i: usize, good: GoodPart, peak: f64) -> Option<Settle> {
    let action = Action::NoBridge(i, good, peak);
    (peak > in_volts(good.rated)).then_some(Settle { action, outcomes: Vec::new() })
}

/// The section's lead lifted, the good part in its place: DC at its lug by both.
fn lift(
    bench: &Weighing,
    when: When,
    (one, other): (&FittedFaults, &FittedFaults),
    i: usize,
    good: GoodPart,
) -> Option<Settle> {
    let lifted = |fit: &FittedFaults| with_part(bench, when, fit, i, (good, Own::Lifted));
    let (node, circuit) = lifted(one)?;
    if let Some(refused) = refused(i, good, at_switch_on(bench, node, circuit)?) {
        return Some(refused);
    }
    let dc = |fit: &FittedFaults| {
        let (node, circuit) = lifted(fit)?;
        let state = steady(&circuit).ok()?;
        Some(outcome(fit, in_volts(state.nodes.get(node)?.dc)))
    };
    let outcomes = vec![dc(one)?, dc(other)?];
    Some(Settle { action: Action::Lift(i, good), outcomes })
}
