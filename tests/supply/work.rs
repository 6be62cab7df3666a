//! What the search takes, so that a slower one is noticed.

use recan::supply::steady;

use crate::reference::read;

fn work(name: &str) -> String {
    let work = steady(&read(name)).expect("settles").work;
    format!("{} periods, {} steps, {} changes", work.passes, work.steps, work.changes)
}

#[test]
fn takes_few_periods() {
    insta::assert_snapshot!(work("fw-tube-four"), @"3 periods, 51 steps, 6 changes");
    insta::assert_snapshot!(work("fw-silicon-four"), @"3 periods, 46 steps, 6 changes");
    insta::assert_snapshot!(work("fw-tube-clc"), @"5 periods, 94 steps, 10 changes");
    insta::assert_snapshot!(work("choke-in-tube"), @"3 periods, 59 steps, 6 changes");
    insta::assert_snapshot!(work("choke-in-light"), @"5 periods, 107 steps, 12 changes");
    insta::assert_snapshot!(work("fwd-unequal"), @"4 periods, 115 steps, 16 changes");
    insta::assert_snapshot!(work("hwd-tube"), @"4 periods, 125 steps, 16 changes");
}
