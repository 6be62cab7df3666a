//! What the search takes, so that a slower one is noticed.

use recan::supply::steady;

use crate::reference::read;

fn work(name: &str) -> String {
    let work = steady(&read(name)).expect("settles").work;
    format!("{} periods, {} steps, {} changes", work.passes, work.steps, work.changes)
}

#[test]
fn takes_few_periods() {
    insta::assert_snapshot!(work("fw-tube-four"), @"");
    insta::assert_snapshot!(work("fw-silicon-four"), @"");
    insta::assert_snapshot!(work("fw-tube-clc"), @"");
    insta::assert_snapshot!(work("choke-in-tube"), @"");
    insta::assert_snapshot!(work("choke-in-light"), @"");
    insta::assert_snapshot!(work("fwd-unequal"), @"");
    insta::assert_snapshot!(work("hwd-tube"), @"");
}
