//! The fewest stock values that serve every section of many jobs.
//!
//! A *value* is a capacitance and rated volts. It serves a section where one part
//! of that value alone, nothing beside it and nothing in series, is judged `pass`
//! by the rules about one section and, where the job's supply is known, by those
//! of the supply with the other sections as stamped; where no value of the list
//! passes for a section, those judged `caution` serve it. The supply judges at most
//! [`MOST_JUDGED`] parts a section, first those that may serve the most sections.
//! `fewest` then takes the values.

mod fewest;
mod serve;

use std::{cmp::Reverse, collections::BTreeMap, ops::Range};

use serve::Bench;

use crate::{
    judge::Case,
    part::Part,
    quantity::{Capacitance, Voltage, in_microfarads, in_volts},
    rules::Grade,
};

/// Most parts that the supply judges for one section.
pub const MOST_JUDGED: usize = 24;

/// A can whose sections want parts.
#[derive(Debug, Clone, Copy)]
pub struct Wanting<'c> {
    /// The job, as people call it.
    pub job: &'c str,
    /// The can, where the job has several or its can has a name.
    pub can: Option<&'c str>,
    /// The can with what is known round it.
    pub case: &'c Case<'c>,
}

/// A section of a job that wants a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// The job, as people call it.
    pub job: String,
    /// The can, where the job has several or its can has a name.
    pub can: Option<String>,
    /// The section, as people call it.
    pub section: String,
    /// Stamped capacitance.
    pub capacitance: Capacitance,
    /// Stamped working volts.
    pub rated: Voltage,
}

/// A value with the sections that it serves.
#[derive(Debug, Clone, PartialEq)]
pub struct StockValue {
    /// Capacitance.
    pub capacitance: Capacitance,
    /// Rated volts.
    pub rated: Voltage,
    /// Names of the parts of this value that serve, in the list's order.
    pub parts: Vec<String>,
    /// Indices of the sections in [`Cover::wanted`].
    pub serves: Vec<usize>,
    /// For each of [`serves`](Self::serves), the first part of the list that does.
    by: BTreeMap<usize, usize>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Cover {
    /// Every section of every can, in order.
    pub wanted: Vec<Wanted>,
    /// The values, the lowest volts first, then the least capacitance.
    pub values: Vec<StockValue>,
    /// No fewer values serve, of those that were looked at.
    pub fewest: bool,
    /// Sections for which more than [`MOST_JUDGED`] parts of the list come into
    /// question, by index, with how many were not looked at.
    pub left_out: Vec<(usize, usize)>,
    /// Sections that nothing serves, by index.
    pub unserved: Vec<usize>,
    /// Sections that are served with caution only, by index.
    pub with_caution: Vec<usize>,
    /// The best that the values are together for each can, all its sections changed,
    /// since each was chosen with the other sections as stamped: one part a section,
    /// of those that serve it. `None` where there are too many ways to try.
    pub together: Vec<Option<Grade>>,
}

/// The fewest values of `parts` that serve every section of `cans` that can be served.
/// Equal inputs give equal answers.
#[must_use]
pub fn cover(cans: &[Wanting<'_>], parts: &[Part]) -> Cover {
    let benches: Vec<Bench<'_>> = cans.iter().map(|can| Bench::new(can.case, parts)).collect();
    let (mut wanted, mut ranges, mut grades) = (Vec::new(), Vec::new(), Vec::new());
    for (can, bench) in cans.iter().zip(&benches) {
        let first = wanted.len();
        for (place, old) in can.case.places.iter().zip(can.case.can.sections()) {
            grades.push((0..parts.len()).map(|part| bench.alone(place, part)).collect());
            wanted.push(Wanted {
                job: can.job.into(),
                can: can.can.map(Into::into),
                section: place.name.clone(),
                capacitance: old.capacitance,
                rated: old.rated,
            });
        }
        ranges.push(first..wanted.len());
    }
    let order = order(parts, &grades);
    let left_out = judge_in_supply(&benches, &ranges, &mut grades, &order);
    let best: Vec<Option<Grade>> = grades
        .iter()
        .map(|of| of.iter().copied().min().filter(|grade| *grade != Grade::Fail))
        .collect();
    let is_served = |w: usize, part: usize| best[w].is_some() && best[w] == Some(grades[w][part]);
    let mut values = values(parts, wanted.len(), is_served);
    let columns: Vec<Vec<usize>> = values.iter().map(|value| value.serves.clone()).collect();
    let (chosen, least) = fewest::cover(&columns);
    let mut at = 0..values.len();
    values.retain(|_| at.next().is_some_and(|i| chosen.binary_search(&i).is_ok()));
    let of_section = |w: usize| -> Vec<usize> {
        values.iter().filter_map(|value| value.by.get(&w).copied()).collect()
    };
    let together = benches
        .iter()
        .zip(ranges)
        .map(|(bench, sections)| bench.together(&sections.map(of_section).collect::<Vec<_>>()));
    let graded = |grade: Option<Grade>| (0..wanted.len()).filter(|&w| best[w] == grade).collect();
    Cover {
        together: together.collect(),
        unserved: graded(None),
        with_caution: graded(Some(Grade::Caution)),
        wanted,
        values,
        fewest: least,
        left_out,
    }
}

/// The parts as the supplies judge them: the first of every value, then the second,
/// and among these first what may serve the most sections.
fn order(parts: &[Part], grades: &[Vec<Grade>]) -> Vec<usize> {
    let mut seen: BTreeMap<(u64, u64), usize> = BTreeMap::new();
    let mut key = |part: usize| {
        let nth = key(&parts[part]).map_or(0, |value| {
            let nth = seen.entry(value).or_default();
            *nth += 1;
            *nth
        });
        let count = |grade| grades.iter().filter(|of| of[part] == grade).count();
        (nth, Reverse((count(Grade::Pass), count(Grade::Caution))))
    };
    let mut order: Vec<_> = (0..parts.len()).map(|part| (key(part), part)).collect();
    order.sort_unstable();
    order.into_iter().map(|(_, part)| part).collect()
}

/// Puts in what the supplies say; tells what is left out.
fn judge_in_supply(
    benches: &[Bench<'_>],
    ranges: &[Range<usize>],
    grades: &mut [Vec<Grade>],
    order: &[usize],
) -> Vec<(usize, usize)> {
    let mut left_out = Vec::new();
    for (bench, sections) in benches.iter().zip(ranges).filter(|(bench, _)| bench.has_supply()) {
        for (section, w) in sections.clone().enumerate() {
            let of = &mut grades[w];
            let open: Vec<usize> =
                order.iter().copied().filter(|&part| of[part] < Grade::Fail).collect();
            for (i, &part) in open.iter().enumerate() {
                let looked_at = i < MOST_JUDGED;
                let judged = if looked_at { bench.in_place(section, part) } else { Grade::Fail };
                of[part] = of[part].max(judged);
            }
            if open.len() > MOST_JUDGED {
                left_out.push((w, open.len() - MOST_JUDGED));
            }
        }
    }
    left_out
}

/// Volts, then capacitance: both are more than zero, and the bits of such numbers are
/// in their order. Parts with several sections are no values.
fn key(part: &Part) -> Option<(u64, u64)> {
    let [section] = part.sections.as_slice() else { return None };
    Some((in_volts(section.rated).to_bits(), in_microfarads(section.capacitance).to_bits()))
}

/// Each value of the list that serves anything, lowest volts first.
fn values(
    parts: &[Part],
    sections: usize,
    is_served: impl Fn(usize, usize) -> bool,
) -> Vec<StockValue> {
    let mut values: BTreeMap<(u64, u64), StockValue> = BTreeMap::new();
    for (i, part) in parts.iter().enumerate() {
        let Some((key, section)) = key(part).zip(part.sections.first()) else { continue };
        let served: Vec<usize> = (0..sections).filter(|&w| is_served(w, i)).collect();
        if served.is_empty() {
            continue;
        }
        let value = values.entry(key).or_insert_with(|| StockValue {
            capacitance: section.capacitance,
            rated: section.rated,
            parts: Vec::new(),
            serves: Vec::new(),
            by: BTreeMap::new(),
        });
        if !value.parts.contains(&part.name) {
            value.parts.push(part.name.clone());
        }
        for w in served {
            value.by.entry(w).or_insert(i);
        }
        value.serves = value.by.keys().copied().collect();
    }
    values.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{facts::Facts, stamping, stock};

    const STOCK: &str = "part,style,sections\nA,radial,47 uF 450 V\nB,radial,22 uF 450 V\n\
        C,radial,22 uF 25 V\nD,radial,22 uF 450 V\nE,radial,60 uF 450 V\nCAN,can,20 uF 450 V\n\
        TWO,radial,40 uF 450 V; 20 uF 450 V\nF,radial,22 uF 35 V\n";

    /// For stampings, one a job: values as `µF/V serves parts`, and what is left.
    #[track_caller]
    fn check(stampings: &[&str], expected: &[&str], unserved: &[usize], caution: &[usize]) {
        let parts = stock::read("list", STOCK.as_bytes()).unwrap().parts;
        let read = |text: &&str| {
            let can = stamping::read(text, &stamping::Answers::default()).unwrap().can;
            let facts = Facts::unknown(can.sections().len());
            (can, facts)
        };
        let cans: Vec<_> = stampings.iter().map(read).collect();
        let cases: Vec<_> = cans.iter().map(|(can, facts)| Case::new(can, facts)).collect();
        let wanting = |case| Wanting { job: "job", can: None, case };
        let cover = cover(&cases.iter().map(wanting).collect::<Vec<_>>(), &parts);
        assert!(cover.fewest && cover.left_out.is_empty());
        let shown = |value: &StockValue| {
            let (c, v) = (in_microfarads(value.capacitance), in_volts(value.rated));
            format!("{c}/{v} {:?} {}", value.serves, value.parts.join(" "))
        };
        assert_eq!(cover.values.iter().map(shown).collect::<Vec<_>>(), expected);
        assert_eq!((cover.unserved.as_slice(), cover.with_caution.as_slice()), (unserved, caution));
    }

    /// 22 µF 450 V does for both the 20 and the 25-volt sections only where the
    /// volts allow; a bypass may have any higher rating.
    #[test]
    fn one_value_may_serve_many() {
        check(&["20 uF 450 V; 20 uF 25 V"], &["22/450 [0, 1] B D"], &[], &[]);
        check(
            &["40 uF 450 V", "20 uF 450 V", "20 uF 450 V"],
            &["22/450 [1, 2] B D", "47/450 [0] A"],
            &[],
            &[],
        );
    }

    /// Nothing in the list has 600 V, and 60 µF for 40 µF is a caution at best.
    #[test]
    fn what_nothing_serves_is_told() {
        check(&["20 uF 600 V", "20 uF 25 V"], &["22/25 [1] C"], &[0], &[]);
        check(&["46 uF 450 V", "42 uF 450 V"], &["47/450 [0, 1] A"], &[], &[]);
        check(&[], &[], &[], &[]);
    }
}
