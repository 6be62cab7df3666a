//! Sums up draws.

use super::{
    Both, NodeStudy, StationStudy, Study, StudyError, StudyInput, Unsettled,
    draw::{Drawn, Figures},
    estimate::{self, Estimate, Spread},
};
use crate::{
    quantity::{Voltage, amperes, in_volts, significant, volts},
    supply::Place,
};

/// Ripple up to 2 dB above the original's passes (`limits.md`, rule `hum`).
const TWO_DB: f64 = 1.258_925_411_794_167_2;

/// Hum that is a caution at worst, V rms (`limits.md`, rule `hum`).
const UNHEARD_V: f64 = 1e-3;

/// Figures of original and substitute in one draw.
type Pair<'a> = (&'a Figures, &'a Figures);

pub(super) fn study(input: &StudyInput, made: &[Drawn]) -> Result<Study, StudyError> {
    let pairs = made.iter().filter_map(|d| Some((d.original.as_ref()?, d.substitute.as_ref()?)));
    let pairs: Vec<Pair> = pairs.collect();
    let unsettled = unsettled(made);
    let none = || match &unsettled {
        Some(found) => StudyError::NoneSettled { draws: input.draws, why: found.why.clone() },
        None => StudyError::Draws(input.draws),
    };
    let peak = both(&pairs, |f| f.peak, amperes).ok_or_else(none)?;
    let names = input.chassis.node_names().enumerate();
    let nodes: Option<Vec<_>> = names.map(|(j, name)| node(&pairs, j, name)).collect();
    Ok(Study {
        draws: input.draws,
        settled: count(pairs.len()),
        seed: input.seed,
        line: input.line,
        load_share: input.load_share,
        nodes: nodes.ok_or_else(none)?,
        no_worse_anywhere: share(&pairs, |old, new| nowhere_above(1.0, old, new)),
        within_2_db_anywhere: share(&pairs, |old, new| nowhere_above(TWO_DB, old, new)),
        stations: stations(input, &pairs),
        rectifier_peak: peak,
        unsettled,
    })
}

fn node(pairs: &[Pair], j: usize, name: &str) -> Option<NodeStudy> {
    let at = |figures: &Figures| figures.ripple.get(j).copied().unwrap_or(f64::NAN);
    Some(NodeStudy {
        name: name.to_owned(),
        no_worse: share(pairs, |old, new| no_more(at(new), at(old))),
        within_2_db: share(pairs, |old, new| no_more(at(new), TWO_DB * at(old))),
        change_db: estimate::spread(
            pairs.iter().map(|(old, new)| decibel(at(new), at(old))).collect(),
        )?,
        ripple: both(pairs, at, volts)?,
    })
}

/// Whether no node's ripple is more than `times` the original's, nodes aside where
/// nobody hears it.
fn nowhere_above(times: f64, old: &Figures, new: &Figures) -> bool {
    let none = |(old, new): (&f64, &f64)| *new < UNHEARD_V || no_more(*new, times * old);
    old.ripple.iter().zip(&new.ripple).all(none)
}

/// Compared at six significant digits, so that equal circuits are equal.
fn no_more(new: f64, old: f64) -> bool {
    significant(new, 6) <= significant(old, 6)
}

/// Change of hum, dB; without a load there is none to compare.
fn decibel(new: f64, old: f64) -> f64 {
    const STILL_V: f64 = 1e-12;
    20.0 * (new.max(STILL_V) / old.max(STILL_V)).log10()
}

fn stations(input: &StudyInput, pairs: &[Pair]) -> Vec<StationStudy> {
    let names: Vec<&str> = input.chassis.node_names().collect();
    let places = input.chassis.stations().iter().enumerate();
    let standings = places.zip(input.original.iter().zip(input.substitute));
    let study = standings.map(|((station, place), (old, new))| {
        let rated = [old.rated, new.as_ref().map_or(old.rated, |new| new.rated)];
        let headroom = |rated: Option<Voltage>, pick: fn(&Pair<'_>, usize) -> f64| {
            let rated = in_volts(rated?);
            let left = pairs.iter().map(|pair| rated - pick(pair, station));
            estimate::spread(left.collect()).map(|found| found.map(volts))
        };
        StationStudy {
            station,
            section: place.section,
            name: name(&names, place.place),
            headroom: Both {
                original: headroom(rated[0], |pair, i| most(pair.0, i)),
                substitute: headroom(rated[1], |pair, i| most(pair.1, i)),
            },
        }
    });
    study.filter(|s| s.headroom.original.is_some() || s.headroom.substitute.is_some()).collect()
}

fn most(figures: &Figures, station: usize) -> f64 {
    figures.most.get(station).copied().unwrap_or(f64::NAN)
}

/// What people call a place.
fn name(nodes: &[&str], place: Place) -> String {
    match place {
        Place::Node(j) => nodes.get(j).copied().unwrap_or_default().to_owned(),
        Place::Cell(k) => format!("doubler {}", k + 1),
    }
}

fn both<T>(
    pairs: &[Pair],
    of: impl Fn(&Figures) -> f64,
    quantity: impl Fn(f64) -> T,
) -> Option<Both<Spread<T>>> {
    let original = estimate::spread(pairs.iter().map(|(old, _)| of(old)).collect())?;
    let substitute = estimate::spread(pairs.iter().map(|(_, new)| of(new)).collect())?;
    Some(Both { original: original.map(&quantity), substitute: substitute.map(&quantity) })
}

fn share(pairs: &[Pair], holds: impl Fn(&Figures, &Figures) -> bool) -> Estimate<f64> {
    let found = pairs.iter().filter(|(old, new)| holds(old, new)).count();
    estimate::share(count(found), count(pairs.len()))
}

fn unsettled(made: &[Drawn]) -> Option<Unsettled> {
    let (first, drawn) = made.iter().enumerate().find(|(_, d)| d.why.is_some())?;
    Some(Unsettled {
        original: count(made.iter().filter(|d| d.original.is_none()).count()),
        substitute: count(made.iter().filter(|d| d.substitute.is_none()).count()),
        first: count(first),
        why: drawn.why.clone()?,
    })
}

/// Draws are counted in a u32 from the start.
fn count(of: usize) -> u32 {
    u32::try_from(of).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three times the hum counts at a node where it is heard, 0.3 mV of it do not.
    #[test]
    fn nodes_that_nobody_hears() {
        let figures =
            |ripple: [f64; 2]| Figures { ripple: ripple.to_vec(), most: vec![], peak: 0.0 };
        let old = figures([1.0, 1e-4]);
        assert!(nowhere_above(TWO_DB, &old, &figures([1.0, 3e-4])));
        assert!(!nowhere_above(TWO_DB, &old, &figures([3.0, 1e-4])));
        assert!(!nowhere_above(TWO_DB, &old, &figures([1.0, 3e-3])));
    }
}
