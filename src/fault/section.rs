//! What is said of each section, after all explanations are heard.

use super::{
    Condition, Explanation, Section, Standing, cold,
    guess::{Bench, Fitted},
    service,
    taken::Hum,
};
use crate::{
    chassis::{Chassis, Station},
    job::{Job, Lug, SectionOf},
    quantity::in_volts,
    supply::Place,
};

/// An AC reading that may be off by more than this share judges no section.
const FINE: f64 = 0.12;
/// Hum beyond the ripple by more standard errors than this is not ripple alone.
const HIDDEN: f64 = 3.0;

/// Every capacitor of the supply.
pub(super) fn all(
    job: &Job,
    bench: &Bench,
    likely: &[Fitted],
    explanations: &[Explanation],
    (unexplained, asked): (bool, bool),
) -> Vec<Section> {
    let section = |(i, station): (usize, &Station)| {
        let mut conditions = explanations.iter().map(|e| e.sections[i]);
        let first = conditions.next().unwrap_or(Condition::Sound);
        let same = conditions.all(|condition| condition == first);
        let standing = match (same, first) {
            (true, Condition::Sound) if !is_read(bench, station) => Standing::Unread,
            (true, Condition::Sound) if is_hidden(bench, likely, station) => Standing::Unread,
            // Beside a dry one the other of a doubler's own capacitors hardly counts.
            (true, Condition::Sound)
                if matches!(station.place, Place::Cell(_))
                    && likely.first().is_some_and(|best| bench.may_be_dry(best, i)) =>
            {
                Standing::Unread
            }
            // Nor is anything judged before what decides is read.
            _ if asked => Standing::Undecided,
            // What fits nothing condemns nothing, and clears nothing.
            (true, _) if !unexplained => Standing::Is(first),
            _ => Standing::Undecided,
        };
        // Figures of a guess that does not fit are none.
        let left = explanations.iter().filter(|_| !unexplained).find_map(|e| e.left[i]);
        let best = explanations.first().filter(|_| standing == Standing::Is(Condition::Sound));
        let acts_as = best.and_then(|best| best.capacitors.get(i)).map(|acts| acts.capacitance);
        let leakage = service::leakage(job, bench.whole.chassis, station);
        Section {
            name: name(job, bench.whole.chassis, station),
            station: station.clone(),
            standing,
            left,
            acts_as,
            service: service::judge(standing, left.as_ref(), station, &leakage),
            short: false,
            leakage,
        }
    };
    let mut sections: Vec<Section> =
        bench.whole.stations().iter().enumerate().map(section).collect();
    let read = job.measured.as_ref().map(|read| cold::readings(job, read)).unwrap_or_default();
    for of in read.iter().filter(|of| of.standing == cold::Standing::Short) {
        let own = |s: &&mut Section| s.station.section.map(Lug::Section) == Some(of.lug);
        if let Some(section) = sections.iter_mut().find(own) {
            (section.short, section.service) = (true, service::Service::Goes);
        }
    }
    sections
}

/// Whether hum that is no ripple hides what a station lets through.
fn is_hidden(bench: &Bench, likely: &[Fitted], station: &Station) -> bool {
    let node = node(station);
    let Some(fitted) = likely.iter().find(|fitted| fitted.guess.stray) else { return false };
    let shown = bench.shown(&fitted.guess, &fitted.found.x);
    let ripple = shown.and_then(|shown| shown.hum.get(node).copied()).unwrap_or(0.0);
    let beyond = |hum: &Hum| (hum.volts / ripple.max(1e-9)).ln() > HIDDEN * hum.error;
    bench.taken.hum.iter().any(|hum| hum.node == node && beyond(hum))
}

/// The node at which a station's hum is read.
fn node(station: &Station) -> usize {
    match station.place {
        Place::Node(node) => node,
        Place::Cell(_) => 0,
    }
}

/// Whether hum was read finely enough where a station stands.
fn is_read(bench: &Bench, station: &Station) -> bool {
    let node = node(station);
    bench.taken.hum.iter().any(|hum| hum.node == node && hum.error < FINE)
}

/// What to call a station: its section's name, with the can's where the job has
/// several, else the node's part.
fn name(job: &Job, chassis: &Chassis, station: &Station) -> String {
    let place = match station.place {
        Place::Node(j) => {
            format!("the part at {}", chassis.node_names().nth(j).unwrap_or("the node"))
        }
        Place::Cell(k) => match (chassis.connection().capacitors().len(), k) {
            (1, _) => "the series part".to_owned(),
            (_, 0) => "the upper part".to_owned(),
            _ => "the lower part".to_owned(),
        },
    };
    station.section.and_then(|of| job.section_name(of)).unwrap_or(place)
}

/// Most that a section's tolerance leaves, as a share of the stamped capacitance:
/// the can's own, else its era's (`rules.md` §4: to +100 % at 350 V and under,
/// +50 % above).
pub(super) fn most(job: &Job, station: &Station) -> f64 {
    let of = |of: SectionOf| {
        let can = job.cans.get(of.can)?;
        let rated = can.reading.can.sections().get(of.section).map(|s| in_volts(s.rated))?;
        let era = if rated <= 350.0 { 2.0 } else { 1.5 };
        Some(can.tolerance.map_or(era, |tolerance| 1.0 + tolerance.plus()))
    };
    station.section.and_then(of).unwrap_or(1.5).clamp(1.05, 3.5)
}
