//! Every set there is, judged and sorted: what the search must equal.
//! Shares with it only the judging and the order.

use crate::{
    judge::{Case, Standing, order, standing},
    part::Part,
    rules::{self, Bank, Grade, Tally},
    set::{Connection, Leaf, ReplacementSet, StandIn},
};

/// A set with its place.
pub(super) type Placed = (Standing, ReplacementSet);

/// All sets that do not fail, best first. Sets of parts that are alike but for name,
/// line and quantity are one: that of fewest parts, then of the first lines.
pub(super) fn every_set(case: &Case, parts: &[Part]) -> Vec<Placed> {
    let mut sets = vec![Vec::new()];
    for place in &case.places {
        let mut options = options(parts);
        options.retain(|option| {
            let mut alone = Tally::default();
            rules::of_section(place, &Bank::new(option, parts), &mut alone);
            alone.grade < Grade::Fail
        });
        let longer = |set: &Vec<StandIn>| -> Vec<Vec<StandIn>> {
            options.iter().map(|option| [&set[..], std::slice::from_ref(option)].concat()).collect()
        };
        sets = sets.iter().flat_map(longer).collect();
        sets.retain(|set| is_allowed(set, parts));
    }
    let sets = sets.into_iter().map(|sections| ReplacementSet { sections });
    let mut sets: Vec<ReplacementSet> = sets.filter(|set| is_plain(set, parts)).collect();
    sets.sort_by_key(|set| {
        let lines = leaves(&set.sections).map(|leaf| parts[leaf.part].line);
        (alike(set, parts), set.uses(parts).len(), lines.collect::<Vec<_>>())
    });
    sets.dedup_by_key(|set| alike(set, parts));
    let judged = sets.into_iter().map(|set| (standing(case, parts, &set), set));
    let mut judged: Vec<Placed> = judged.filter(|(found, _)| found.grade < Grade::Fail).collect();
    judged.sort_by(|(a, x), (b, y)| order((a, x), (b, y), parts));
    judged
}

fn leaves(sections: &[StandIn]) -> impl Iterator<Item = Leaf> {
    sections.iter().flat_map(StandIn::made_of).copied()
}

/// A set by the figures of its parts.
pub(super) fn alike(set: &ReplacementSet, parts: &[Part]) -> Vec<String> {
    let figures = |leaf: &Leaf| {
        let part = parts[leaf.part].clone();
        let style = crate::part::Style::Radial;
        let nameless = Part { name: String::new(), line: 0, quantity: None, style, ..part };
        format!("{:?} {nameless:?}", nameless.sections[leaf.section])
    };
    let section = |stand_in: &StandIn| {
        let mut of: Vec<String> = stand_in.made_of().iter().map(figures).collect();
        of.sort();
        format!("{:?} {of:?}", stand_in.connection())
    };
    set.sections.iter().map(section).collect()
}

/// One capacitor, two side by side, three of the same part, or two of it end to end.
fn options(parts: &[Part]) -> Vec<StandIn> {
    let leaves =
        |part: usize| (0..parts[part].sections.len()).map(move |section| Leaf { part, section });
    let mut every: Vec<Leaf> = (0..parts.len()).flat_map(leaves).collect();
    every.sort_by_key(|l| (&parts[l.part].name, parts[l.part].line, l.section));
    let join = |how, leaves: &[Leaf]| StandIn::joined(how, leaves.to_vec()).unwrap();
    let mut options = Vec::new();
    for (i, &a) in every.iter().enumerate() {
        options.push(StandIn::single(a));
        for &b in &every[i..] {
            let one_section_twice = a == b && parts[a.part].is_multi_section();
            if !one_section_twice {
                options.push(join(Connection::Parallel, &[a, b]));
            }
        }
        if !parts[a.part].is_multi_section() {
            options.push(join(Connection::Parallel, &[a, a, a]));
            options.push(join(Connection::Series, &[a, a]));
        }
    }
    options
}

/// One multi-section body at most, no section of it twice, no more bodies than in stock.
fn is_allowed(set: &[StandIn], parts: &[Part]) -> bool {
    let multi: Vec<Leaf> = leaves(set).filter(|leaf| parts[leaf.part].is_multi_section()).collect();
    let one_body = multi.iter().all(|leaf| leaf.part == multi[0].part);
    let once = multi.iter().enumerate().all(|(i, leaf)| !multi[..i].contains(leaf));
    let uses = ReplacementSet { sections: set.to_vec() }.uses(parts);
    one_body && once && uses.iter().all(|&(part, n)| parts[part].quantity.is_none_or(|q| n <= q))
}

/// Equal sections of a can are used from the first on: exchanged, they make the same set.
fn is_plain(set: &ReplacementSet, parts: &[Part]) -> bool {
    let leaves: Vec<Leaf> = leaves(&set.sections).collect();
    leaves.iter().enumerate().all(|(i, leaf)| {
        (0..leaf.section).all(|section| {
            let (twin, sections) = (Leaf { section, ..*leaf }, &parts[leaf.part].sections);
            sections[section] != sections[leaf.section] || leaves[..i].contains(&twin)
        })
    })
}
