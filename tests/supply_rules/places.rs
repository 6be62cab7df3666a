//! Which way round a bias section stands.

use recan::rules::{Rule, Verdict};

use crate::{
    bench::{Bench, NO_STOCK, changed, check},
    jobs::BIAS,
};

use Verdict::{Fail, NotJudged, Pass};

#[test]
fn polarity() {
    let at = |changes: &[(&str, &str)], expected| {
        let bench = Bench::new(&changed(BIAS, changes), NO_STOCK);
        let judged = bench.judge(&["half-round=40/450", "square=47/100"]);
        check(&judged, Rule::Polarity, Some(1), expected);
    };
    at(&[], Pass);
    at(&[("positive = \"chassis\"", "positive = \"B1\"")], Fail);
    at(&[("positive = \"chassis\"\n", "")], NotJudged);
}

/// One can for both would tie the bias to the filter's negative.
#[test]
fn polarity_of_a_can_with_a_common_negative() {
    let can =
        |negative: &str| format!("part,style,sections\nC,can,40 µF 450 V; 40 µF 75 V{negative}\n");
    let judged = |stock: &str| Bench::new(BIAS, stock).judge(&["half-round=C:1", "square=C:2"]);
    let joined = judged(&can(""));
    let fails = |f: &recan::rules::Finding| f.rule == Rule::Polarity && f.verdict == Fail;
    assert!(joined.sections[1].findings.iter().any(fails));
    let apart = Bench::new(BIAS, &can("")).judge(&["half-round=C:1", "square=47/100"]);
    check(&apart, Rule::Polarity, Some(1), Pass);
}
