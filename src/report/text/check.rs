//! A substitute beside the original, on one screen; in full with `--explain`.

mod reasons;
mod table;

use super::{
    around::{assumed, caution, notices, without_a_place},
    page::{Page, bold, counted, pad, verdict},
    read,
    sets::measure,
};
use crate::{
    report::{
        answer::Check,
        beside::{Beside, beside},
    },
    rules::{Finding, Verdict},
    spread::Study,
};

/// Most lines of a first answer.
const MOST_LINES: usize = 24;
/// Most lines where much fails: reasons go before shortness.
const MOST_OF_A_BAD_ONE: usize = 40;

/// How much is said: the first that fits a screen is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Detail {
    /// Every sentence whole.
    Whole,
    /// What to measure next without what it turns at, what is not judged without
    /// its places.
    Brief,
    /// The table alone shows how the stamping was read.
    Folded,
    /// What is a caution cut to two lines each.
    Cut,
    /// Every reason cut to a line, those of one rule together.
    Least,
}

impl Detail {
    const ALL: [Self; 5] = [Self::Whole, Self::Brief, Self::Folded, Self::Cut, Self::Least];
}

/// The first answer of `recan check`: original and substitute side by side, the
/// reason of every verdict, what to measure next. It keeps to one screen where it
/// can: what is cut stands [in full](in_full).
#[must_use]
pub fn page(check: &Check, study: Option<&Study>) -> Page {
    let beside = beside(check.case, check.set);
    let of = |detail| assemble(check, beside.as_ref(), study, detail);
    let whole = Detail::ALL.into_iter().filter(|detail| *detail < Detail::Least);
    let mut pages = whole.map(of);
    pages.find(|page| page.len() <= MOST_LINES).unwrap_or_else(|| {
        let cut = of(Detail::Cut);
        if cut.len() <= MOST_OF_A_BAD_ONE { cut } else { of(Detail::Least) }
    })
}

/// What [`page`] cuts: every finding with its figures and its source, the supply
/// node by node, the whole study.
#[must_use]
pub fn in_full(check: &Check, study: Option<&Study>) -> Page {
    let mut page = super::explain::page(check.case, check.parts, check.set);
    table::supply(check, &mut page);
    if let Some(study) = study {
        page.gap();
        page.append(super::spread::page(study));
    }
    page.append(super::explain::besides(check.around));
    page
}

fn assemble(check: &Check, beside: Option<&Beside>, study: Option<&Study>, detail: Detail) -> Page {
    let can = &check.stamped.reading.can;
    let mut page = Page::new();
    if detail < Detail::Folded {
        page.labelled("Read as", &read::in_one_line(can));
        read::remarks(check.stamped, &mut page);
    } else {
        let assumed = &check.stamped.reading.assumed;
        for of in assumed {
            page.labelled("Assumed", &of.says);
        }
    }
    table::rows(check, beside, &mut page);
    let bodies = counted(check.set.standing.bodies as usize, "body");
    let grade = verdict(check.set.standing.grade.verdict());
    page.line(format!("{} {grade}, {bodies}{}", bold(&pad("Verdict", 9)), table::strain(beside)));
    reasons::worst(check, detail, &mut page);
    reasons::shortage(check, &mut page);
    reasons::mend(check, detail, &mut page);
    reasons::passes(check, &mut page);
    reasons::besides(check, detail, &mut page);
    for says in &check.around.negatives {
        page.labelled("Wiring", says);
    }
    if let Some(study) = study {
        let line = super::spread::one_line(study);
        page.labelled("Study", line.trim_start_matches("study: "));
    }
    notices(check.around, detail >= Detail::Folded, &mut page);
    if detail < Detail::Folded || check.around.no_supply.is_some() {
        assumed(check.around, false, &mut page);
    } else {
        without_a_place(check.around, &mut page);
    }
    match check.readings {
        Some(readings) if detail >= Detail::Brief => {
            page.labelled("Measure", &super::readings::brief(readings, can));
        }
        readings => measure(readings, check.measure_next, can, &mut page),
    }
    page.labelled("Caution", &caution(can, check.facts, check.around));
    page
}

fn place(check: &Check, finding: &Finding) -> String {
    finding.section.map_or_else(|| "set".to_owned(), |s| check.stamped.reading.can.name(s))
}

/// The findings of one verdict: section by section, then those about the set.
fn of<'c>(check: &'c Check, verdict: Verdict) -> impl Iterator<Item = &'c Finding> {
    check.set.all_findings().filter(move |finding| finding.verdict == verdict)
}
