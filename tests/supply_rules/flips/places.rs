//! What suits the place: capacitance, polarity, negatives, pieces.

use recan::rules::{Rule, Verdict};

use super::{
    ANY, Case,
    Fact::{AsItIs, Job, Parts, Stock},
    about,
};
use crate::{
    bench::changed,
    jobs::{BIAS, BYPASSED, TUBE, UNTOLD},
};

use Verdict::{Caution, Fail, NotJudged, Note, Pass};

pub(super) fn cases() -> Vec<Case> {
    let mut cases = windows();
    cases.extend([polarity(), insulation(), quantity()]);
    cases
}

fn windows() -> Vec<Case> {
    let on = |section, job: &str, fits| Case::new(Rule::Capacitance, Some(section), job, fits);
    vec![
        // Role not known: 0.9 and 1.3 times pass, 0.8 and 1.5 times are a caution.
        Case { unsolved: true, ..on(0, UNTOLD, &["1=52/450"]) }
            .step(AsItIs, Pass, about(52.0))
            .limit(1.3 * 40.0)
            .step(Job("40 MFD", "35 MFD"), Caution, (1.3 * 35.0, 1.5 * 35.0))
            .limit(45.5)
            .step(Job("40 MFD", "34 MFD"), Fail, (1.5 * 34.0, ANY))
            .limit(44.2)
            .step(Job("40 MFD", "60 MFD"), Caution, (0.8 * 60.0, 0.9 * 60.0))
            .limit(54.0)
            .step(Job("40 MFD", "66 MFD"), Fail, (0.0, 0.8 * 66.0))
            .limit(59.4),
        // A filter: to 2 times, with the supply solved to 5 times with care.
        on(1, TUBE, &["half-round=40/450", "square=80/450"])
            .step(AsItIs, Pass, about(80.0))
            .limit(2.0 * 40.0)
            .step(Job("■ 40", "■ 30"), Caution, (60.0, 90.0))
            .limit(60.0)
            .step(Job("■ 40", "■ 26"), Caution, (3.0 * 26.0, 5.0 * 26.0))
            .limit(52.0)
            .step(Job("■ 40", "■ 15"), Fail, (5.0 * 15.0, ANY))
            .limit(30.0)
            .step(Job("■ 40", "■ 95"), Caution, (0.8 * 95.0, 0.9 * 95.0))
            .limit(85.5)
            .step(Job("■ 40", "■ 101"), Fail, (0.0, 0.8 * 101.0))
            .limit(90.9),
        // A cathode bypass: to 5 times, more is a caution.
        on(1, BYPASSED, &["half-round=40/450", "square=100/35"])
            .step(AsItIs, Pass, about(100.0))
            .limit(5.0 * 20.0)
            .step(Job("■ 20 MFD", "■ 19 MFD"), Caution, (95.0, ANY))
            .limit(95.0)
            .step(Job("■ 20 MFD", "■ 120 MFD"), Caution, (0.8 * 120.0, 0.85 * 120.0))
            .limit(102.0)
            .step(Job("■ 20 MFD", "■ 126 MFD"), Fail, (0.0, 0.8 * 126.0))
            .limit(107.1),
        // 5Y3-GT, 20 µF typical: 1.2 times the larger of 20 µF and the stamping.
        on(0, &changed(TUBE, &[("5U4-GB", "5Y3-GT")]), &["half-round=47/450", "square=40/450"])
            .step(AsItIs, Pass, about(47.0))
            .limit(1.2 * 40.0)
            .step(Job("◗ 40", "◗ 39"), Caution, (1.2 * 39.0, 1.3 * 39.0))
            .limit(46.8)
            .step(Job("◗ 40", "◗ 36"), Fail, (1.3 * 36.0, ANY))
            .limit(43.2)
            .step(Job("◗ 40", "◗ 55"), Caution, (0.8 * 55.0, 0.9 * 55.0))
            .limit(49.5),
        // The same can of 39 µF at a 5U4-GB, 40 µF typical, may have 48 µF.
        on(
            0,
            &changed(TUBE, &[("5U4-GB", "5Y3-GT"), ("◗ 40", "◗ 39")]),
            &["half-round=47/450", "square=40/450"],
        )
        .step(AsItIs, Caution, about(47.0))
        .step(Job("5Y3-GT", "5U4-GB"), Pass, about(47.0))
        .limit(1.2 * 40.0),
        // 5R4-GY, 4 µF and no more: the stamping, without 1.2 times.
        on(0, &changed(TUBE, &[("5U4-GB", "5R4-GY")]), &["half-round=40/450", "square=40/450"])
            .step(AsItIs, Pass, about(40.0))
            .limit(40.0)
            .step(Job("◗ 40", "◗ 39"), Caution, about(40.0))
            .limit(39.0)
            .step(Job("◗ 40", "◗ 30"), Fail, about(40.0))
            .limit(30.0)
            .step(Job("5R4-GY", "5Y3-GT"), Pass, about(40.0))
            .limit(48.0),
        // Silicon: to 1.3 times, with caution to 3 times.
        on(
            0,
            &changed(TUBE, &[("5U4-GB", "silicon"), ("◗ 40", "◗ 95")]),
            &["half-round=120/450", "square=40/450"],
        )
        .step(AsItIs, Pass, about(120.0))
        .limit(1.3 * 95.0)
        .step(Job("◗ 95", "◗ 40"), Caution, (52.0, 120.0))
        .limit(52.0)
        .step(Job("◗ 95", "◗ 39"), Fail, (3.0 * 39.0, ANY))
        .limit(50.7),
        // A tube's 40 µF ceiling gone, the same can takes 120 µF with caution.
        on(0, TUBE, &["half-round=120/450", "square=40/450"])
            .step(AsItIs, Fail, (48.0, ANY))
            .limit(48.0)
            .step(Job("5U4-GB", "silicon"), Caution, (52.0, 120.0))
            .limit(52.0),
    ]
}

fn polarity() -> Case {
    Case::new(Rule::Polarity, Some(1), BIAS, &["half-round=40/450", "square=47/100"])
        .bare(AsItIs, Pass)
        .bare(Job("positive = \"chassis\"", "positive = \"B1\""), Fail)
        .bare(Job("positive = \"chassis\"\n", ""), NotJudged)
}

/// One can for both; the second section's negative goes to another point.
fn insulation() -> Case {
    let stock = "part,style,sections\nC,can,40 µF 450 V; 40 µF 450 V\n";
    let fits = &["half-round=C:1", "square=C:2"];
    let job = changed(TUBE, &[("negative = \"chassis\"\n", "")]);
    Case { stock, ..Case::new(Rule::CommonNegative, None, &job, fits) }
        .bare(AsItIs, Note)
        .bare(Job("name = \"B2\"", "name = \"B2\"\nnegative = \"B-\""), Fail)
}

/// Two pieces are needed: of one in stock that is one too few.
fn quantity() -> Case {
    let one = "part,style,sections,quantity\nR,radial,40 µF 450 V,1\n";
    let none = "part,style,sections,quantity\nR,radial,40 µF 450 V,0\n";
    let fits = &["half-round=R", "square=R"];
    Case { stock: one, ..Case::new(Rule::Quantity, None, TUBE, fits) }
        .step(AsItIs, Note, about(2.0))
        .says("2 of R needed, 1 in stock")
        .step(Stock(none), Note, about(2.0))
        .says("2 of R needed, 0 in stock")
        .step(Parts(&["half-round=R + R", "square=R"]), Note, about(3.0))
        .says("3 of R needed, 1 in stock")
}

/// Nothing is short of what is there.
#[test]
fn quantity_says_nothing_where_there_is_enough() {
    let two = "part,style,sections,quantity\nR,radial,40 µF 450 V,2\n";
    let (judged, bench) = Case { stock: two, ..quantity() }.judge(AsItIs);
    let parts = bench.fit(&["half-round=R", "square=R"]).parts;
    let mut found = Vec::new();
    recan::rules::notes::quantity(&parts, &judged.set, &mut found);
    assert_eq!(found, []);
}
