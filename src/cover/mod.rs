//! The fewest stock values that serve every section of many jobs.
//!
//! A *value* is a capacitance and rated volts. It serves a section where one part
//! of that value alone, nothing beside it and nothing in series, is judged `pass`
//! by the rules about one section and, where the job's supply is known, by those
//! of the supply with the other sections as stamped; where no value of the list
//! passes for a section, those judged `caution` serve it. What is left is the problem of the
//! least set cover, which `least` solves exactly.

mod least;
mod serve;

use std::collections::BTreeMap;

use serve::Bench;

use crate::{
    judge::Case,
    part::Part,
    quantity::{Capacitance, Voltage, in_microfarads, in_volts},
    rules::{Grade, Place},
};

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
    /// The grade of each part of the list, on its own.
    grades: Vec<Grade>,
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
    /// Indices of the sections in what was given to [`cover`].
    pub serves: Vec<usize>,
    /// For each of [`serves`](Self::serves), the first part of the list that does.
    by: Vec<(usize, usize)>,
}

impl StockValue {
    /// The part of the list that serves a section.
    fn part_for(&self, section: usize) -> Option<usize> {
        self.by.iter().find(|(of, _)| *of == section).map(|(_, part)| *part)
    }
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Cover {
    /// The fewest values, the lowest volts first, then the least capacitance.
    pub values: Vec<StockValue>,
    /// Sections that nothing serves, by index.
    pub unserved: Vec<usize>,
    /// Sections that are served with caution only, by index.
    pub with_caution: Vec<usize>,
}

impl Wanted {
    /// Every section of `case`, with what each of `parts` would be for it.
    #[must_use]
    pub fn all(job: &str, can: Option<&str>, case: &Case, parts: &[Part]) -> Vec<Self> {
        let bench = Bench::new(case, parts);
        let of = |(place, old): (&Place, &crate::can::Section)| Self {
            job: job.into(),
            can: can.map(Into::into),
            section: place.name.clone(),
            capacitance: old.capacitance,
            rated: old.rated,
            grades: (0..parts.len()).map(|part| bench.grade(place, part)).collect(),
        };
        case.places.iter().zip(case.can.sections()).map(of).collect()
    }

    /// The grade at which the section is served: the best there is, if not a fail.
    fn best(&self) -> Option<Grade> {
        self.grades.iter().copied().min().filter(|grade| *grade != Grade::Fail)
    }

    fn is_served_by(&self, part: usize) -> bool {
        self.grades.get(part).copied() == self.best() && self.best().is_some()
    }
}

/// The fewest values of `parts` that serve every section of `wanted` that can be
/// served. Equal inputs give equal answers: among covers of one size the search
/// keeps to the order of volts and capacitance.
///
/// `wanted` must come from [`Wanted::all`] with the same parts.
#[must_use]
pub fn cover(wanted: &[Wanted], parts: &[Part]) -> Cover {
    let values = values(wanted, parts);
    let serves: Vec<Vec<usize>> = values.iter().map(|value| value.serves.clone()).collect();
    let chosen = least::cover(&serves, wanted.len());
    let graded = |i: usize| wanted.get(i).and_then(Wanted::best);
    Cover {
        values: chosen.into_iter().filter_map(|i| values.get(i).cloned()).collect(),
        unserved: (0..wanted.len()).filter(|&i| graded(i).is_none()).collect(),
        with_caution: (0..wanted.len()).filter(|&i| graded(i) == Some(Grade::Caution)).collect(),
    }
}

/// The best that the values of `cover` are together for one can: one part a
/// section, of those that serve it. `sections` are the can's in what was covered,
/// in order. `None` where there are too many ways to try.
///
/// Values are chosen section by section, each with the others as stamped; this
/// says whether that holds when all are changed.
#[must_use]
pub fn together(
    cover: &Cover,
    sections: std::ops::Range<usize>,
    case: &Case,
    parts: &[Part],
) -> Option<Grade> {
    let choices = |section: usize| -> Vec<usize> {
        let serving = cover.values.iter().filter(|value| value.serves.contains(&section));
        // Of several parts of a value the first that is in the list stands for it.
        let first = serving.filter_map(|value| value.part_for(section));
        first.collect()
    };
    let choices: Vec<Vec<usize>> = sections.map(choices).collect();
    Bench::new(case, parts).together(&choices)
}

/// Each value of the list that serves anything, lowest volts first.
fn values(wanted: &[Wanted], parts: &[Part]) -> Vec<StockValue> {
    let mut values: BTreeMap<(u64, u64), StockValue> = BTreeMap::new();
    for (i, part) in parts.iter().enumerate() {
        let [section] = part.sections.as_slice() else { continue };
        let serves: Vec<usize> = (0..wanted.len()).filter(|&w| wanted[w].is_served_by(i)).collect();
        if serves.is_empty() {
            continue;
        }
        // Both are more than zero, and the bits of such numbers are in their order.
        let key =
            (in_volts(section.rated).to_bits(), in_microfarads(section.capacitance).to_bits());
        let value = values.entry(key).or_insert_with(|| StockValue {
            capacitance: section.capacitance,
            rated: section.rated,
            parts: Vec::new(),
            serves: Vec::new(),
            by: Vec::new(),
        });
        if !value.parts.contains(&part.name) {
            value.parts.push(part.name.clone());
        }
        let new = serves.iter().filter(|section| !value.serves.contains(section));
        value.by.extend(new.map(|section| (*section, i)).collect::<Vec<_>>());
        value.serves.extend(serves);
        value.serves.sort_unstable();
        value.serves.dedup();
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
        let mut wanted = Vec::new();
        for text in stampings {
            let can = stamping::read(text, &stamping::Answers::default()).unwrap().can;
            let facts = Facts::unknown(can.sections().len());
            wanted.extend(Wanted::all(text, None, &Case::new(&can, &facts), &parts));
        }
        let cover = cover(&wanted, &parts);
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
