//! Sets judged by hand.

use super::*;
use crate::{
    can::{Can, Mark, Section},
    facts::{Facts, Role},
    part::{PartSection, Style},
    quantity::{microfarads, volts},
    rules::Verdict,
    set::{Connection, Leaf, StandIn},
};

fn old(sections: &[(Option<Mark>, f64, f64)]) -> Can {
    let section = |&(mark, uf, v): &(Option<Mark>, f64, f64)| Section {
        mark,
        capacitance: microfarads(uf),
        rated: volts(v),
        surge: None,
    };
    Can::new(sections.iter().map(section).collect()).unwrap()
}

fn part(name: &str, sections: &[(f64, f64)], price: Option<u64>) -> Part {
    let section = |&(uf, v): &(f64, f64)| PartSection {
        capacitance: microfarads(uf),
        rated: volts(v),
        ripple: None,
    };
    Part {
        tolerance: crate::quantity::Tolerance::new(0.2, 0.2),
        price: price.map(Price),
        line: 2,
        ..Part::bare(name.into(), Style::Radial, sections.iter().map(section).collect())
    }
}

fn leaf(part: usize, section: usize) -> Leaf {
    Leaf { part, section }
}

fn verdict(judged: &Judged, rule: Rule) -> Option<Verdict> {
    judged.all_findings().find(|f| f.rule == rule).map(|f| f.verdict)
}

/// By hand: 22 + 22 = 44 µF on 40 µF is 1.1 times, 10⁶·log2(1.1) = 137504,
/// two bodies at 1.50 cost 3.00.
#[test]
fn two_side_by_side() {
    let (can, parts) = (old(&[(None, 40.0, 450.0)]), [part("A", &[(22.0, 450.0)], Some(15_000))]);
    let facts = Facts::unknown(1);
    let pair = StandIn::joined(Connection::Parallel, vec![leaf(0, 0); 2]).unwrap();
    let set = ReplacementSet { sections: vec![pair] };
    let judged = judge(&Case::new(&can, &facts), &parts, set);
    let expected = Standing {
        grade: Grade::Pass,
        bodies: 2,
        closeness: 137_504,
        cost: Price(30_000),
        not_judged: judged.standing.not_judged,
        ..Standing::default()
    };
    assert_eq!(judged.standing, expected);
    assert_eq!(judged.standing.price(), Some(Price(30_000)));
    assert_eq!(judged.kind, Kind::Separate);
}

/// By hand: 400 V is under the 450 V stamped.
#[test]
fn too_few_volts() {
    let (can, parts) = (old(&[(None, 40.0, 450.0)]), [part("A", &[(40.0, 400.0)], None)]);
    let facts = Facts::unknown(1);
    let set = ReplacementSet { sections: vec![StandIn::single(leaf(0, 0))] };
    let judged = judge(&Case::new(&can, &facts), &parts, set);
    assert_eq!(judged.standing.grade, Grade::Fail);
    assert_eq!(verdict(&judged, Rule::RatedVolts), Some(Verdict::Fail));
    assert_eq!(verdict(&judged, Rule::Capacitance), Some(Verdict::Pass));
}

/// By hand: two 22 µF 450 V end to end are 11 µF 900 V for 8 µF 475 V
/// (1.375 times, a caution where the role is not known). At ±20 % the
/// worse takes 0.6 × 475 = 285 V, under 450 V.
#[test]
fn a_series_pair() {
    let (can, parts) = (old(&[(None, 8.0, 475.0)]), [part("A", &[(22.0, 450.0)], None)]);
    let facts = Facts::unknown(1);
    let pair = StandIn::joined(Connection::Series, vec![leaf(0, 0); 2]).unwrap();
    let judged = judge(&Case::new(&can, &facts), &parts, ReplacementSet { sections: vec![pair] });
    assert_eq!(judged.standing.grade, Grade::Caution);
    let section = &judged.sections[0];
    approx::assert_relative_eq!(section.bank.rated_v, 900.0, max_relative = 1e-9);
    approx::assert_relative_eq!(section.bank.capacitance_uf, 11.0, max_relative = 1e-9);
    let share = judged.all_findings().find(|f| f.rule == Rule::SeriesShare).unwrap();
    approx::assert_relative_eq!(share.value.unwrap(), 285.0, max_relative = 1e-9);
    assert_eq!(share.verdict, Verdict::Pass);
    let balance = section.balance.unwrap();
    approx::assert_relative_eq!(
        crate::quantity::in_ohms(balance.resistance),
        220e3,
        max_relative = 1e-9
    );
}

/// A can joins the negatives that the old one kept apart.
#[test]
fn one_can_for_separate_negatives_fails() {
    let mut can = old(&[(None, 8.0, 475.0), (None, 8.0, 475.0)]);
    can.common_positive = true;
    let parts = [part("C", &[(8.0, 475.0), (8.0, 475.0)], None)];
    let facts = Facts::unknown(2);
    let set =
        ReplacementSet { sections: vec![StandIn::single(leaf(0, 0)), StandIn::single(leaf(0, 1))] };
    let judged = judge(&Case::new(&can, &facts), &parts, set.clone());
    assert_eq!(verdict(&judged, Rule::CommonNegative), Some(Verdict::Fail));
    assert_eq!(judged.kind, Kind::OneCan);
    can.common_positive = false;
    let judged = judge(&Case::new(&can, &facts), &parts, set);
    assert_eq!(judged.standing.grade, Grade::Pass);
}

/// The short way and the long way to a standing agree.
#[test]
fn standing_is_what_the_findings_say() {
    let can = old(&[(Some(Mark::Square), 20.0, 450.0), (Some(Mark::Plain), 20.0, 25.0)]);
    let parts = [
        part("A", &[(22.0, 450.0)], None),
        part("B", &[(33.0, 350.0)], None),
        part("C", &[(15.0, 50.0)], None),
    ];
    let mut told = Facts::unknown(2);
    told.sections[0].role = Some(Role::Reservoir);
    told.sections[1].volts = Some(volts(12.0));
    for facts in [Facts::unknown(2), told] {
        let case = Case::new(&can, &facts);
        for (a, b) in [(0, 0), (0, 1), (1, 2), (2, 2), (0, 2)] {
            let sections = vec![StandIn::single(leaf(a, 0)), StandIn::single(leaf(b, 0))];
            let judged = judge(&case, &parts, ReplacementSet { sections });
            let worst = judged.all_findings().filter_map(|f| f.verdict.counts()).max();
            assert_eq!(Some(judged.standing.grade), worst);
            let lacking = judged.all_findings().filter(|f| f.verdict == Verdict::NotJudged).count();
            assert_eq!(judged.standing.not_judged as usize, lacking);
        }
    }
}
