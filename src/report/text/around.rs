//! What stands below every answer of a job: what disagrees, what is assumed, the caution.

use super::page::{self, Page};
use crate::{can::Can, chassis::WITHOUT_A_PLACE, facts::Facts, report::Around};

/// Readings that the supply or the stamping contradicts; with `short`, without what to
/// look at.
pub(super) fn notices(around: &Around, short: bool, page: &mut Page) {
    for notice in &around.notices {
        page.labelled("Disagree", if short { &notice.brief } else { &notice.says });
    }
}

/// What the supply rests on, or why there is none; with `short`, how much of it.
pub(super) fn assumed(around: &Around, short: bool, page: &mut Page) {
    if let Some(why) = &around.no_supply {
        let count = page::counted(around.lacking, "fact");
        let says = format!("judged without the supply: {count} missing, recan supply names them");
        page.labelled("Assumed", if around.lacking > 2 { &says } else { why });
    }
    match around.assumed.len() {
        0 => {}
        1.. if !short => page.labelled("Assumed", &around.assumed.join("; ")),
        n => {
            without_a_place(around, page);
            let count = page::counted(n, "assumption");
            page.labelled("Assumed", &format!("{count} for the supply: --explain lists them"));
        }
    }
}

/// Sections that draw nothing because nobody placed them, however full the screen.
pub(super) fn without_a_place(around: &Around, page: &mut Page) {
    let weighs = |of: &&String| of.starts_with(WITHOUT_A_PLACE);
    around.assumed.iter().filter(weighs).for_each(|of| page.labelled("Assumed", of));
}

/// The one line of caution, with what isolates a chassis that may be live.
pub(super) fn caution(can: &Can, facts: &Facts, around: &Around) -> String {
    let line = crate::safety::one_line(can, facts);
    match crate::safety::isolation(around.construction) {
        Some(isolation) => format!("{line}; {isolation}"),
        None => line,
    }
}
