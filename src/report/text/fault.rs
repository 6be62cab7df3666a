//! Which section has failed, on one screen.

use super::page::{Page, WIDTH, bold, pad};
use crate::{
    fault::{
        CONFIDENCE, Diagnosis, Loads, Service,
        cold::{Cold, LIFT},
    },
    quantity::Voltage,
    report::fault::{
        BRIDGING, OLD, READING, ask, beside, bridge, cells, explanation, in_short, no_shorts,
        section, short, v, whole,
    },
};

/// Most lines of the first answer.
const LINES: usize = 24;

/// The diagnosis on one screen; the first caution stands at its end.
#[must_use]
pub fn page(found: &Diagnosis, cold: &[Cold], cautions: &[String]) -> Page {
    let mut page = Page::new();
    headline(found, &mut page);
    shorts(cold, &mut page);
    lugs(found, &mut page);
    sections(found, &mut page);
    let mut last = Page::new();
    first(cautions).for_each(|caution| last.labelled("Caution", caution));
    let mut more = Vec::new();
    more.extend(found.cells.iter().map(|of| Piece::plain("Tells", cells(of))));
    more.extend(found.beside.iter().map(|of| Piece {
        label: "Not can",
        says: beside(of, found.bridge),
        short: Some(in_short(of, found.bridge)),
    }));
    more.extend(no_shorts(cold).map(|says| Piece::plain("Cold", says)));
    more.extend(found.bridges.iter().map(|of| Piece::plain("Bridge", bridge(of, found))));
    if found.bridges.iter().any(|of| of.shows.is_ok()) {
        more.push(Piece::plain("How", BRIDGING.to_owned()));
    }
    if found.sections.iter().any(|s| s.service == Service::Stays) {
        more.push(Piece::plain("Old", OLD.to_owned()));
    }
    add(&mut page, &more, last.len());
    page.append(last);
    page
}

/// The page of a job whose lugs were read cold alone; `why` says what else there
/// would have to be.
#[must_use]
pub fn cold_page(cold: &[Cold], (why, next): (&str, Option<&str>), cautions: &[String]) -> Page {
    let mut page = Page::new();
    shorts(cold, &mut page);
    for of in cold.iter().filter(|of| !of.is_low()) {
        page.labelled("Cold", &format!("{} reads {}; {}", of.name, of.read(), of.limit.says));
    }
    page.labelled("But", &format!("nothing more is looked for: {why}"));
    next.into_iter().flat_map(str::lines).for_each(|line| page.labelled("Next", line));
    first(cautions).for_each(|caution| page.labelled("Caution", caution));
    page
}

/// The cautions of the first answer: the volts, and a chassis that may be live,
/// since what is told here is done with the set on.
fn first(cautions: &[String]) -> impl Iterator<Item = &String> {
    let (volts, rest) = cautions.split_at(cautions.len().min(1));
    volts.iter().chain(rest.iter().filter(|caution| is_live(caution)))
}

fn is_live(caution: &str) -> bool {
    caution.contains("isolation transformer")
}

fn shorts(cold: &[Cold], page: &mut Page) {
    let mut low = cold.iter().filter(|of| of.is_low()).peekable();
    let is_any = low.peek().is_some();
    low.for_each(|of| page.labelled("Short", &short(of)));
    if is_any {
        page.labelled("Which", LIFT);
    }
}

/// What stands behind the figures, below them.
#[must_use]
pub fn explained(found: &Diagnosis, cautions: &[String]) -> Page {
    let mut page = Page::new();
    page.gap();
    for (i, of) in found.explanations.iter().enumerate() {
        let says = format!(
            "{}: {}; misfit {:.1}, ranked by {:.1}",
            i + 1,
            explanation(of, found),
            of.misfit,
            of.score
        );
        page.labelled("Explains", &says);
    }
    found.cells.iter().for_each(|of| page.labelled("Tells", &cells(of)));
    found.beside.iter().for_each(|of| page.labelled("Not can", &beside(of, found.bridge)));
    found.bridges.iter().for_each(|of| page.labelled("Bridge", &bridge(of, found)));
    page.labelled("How", BRIDGING);
    for how in READING {
        page.labelled("Reading", how);
    }
    page.labelled("Old", OLD);
    page.labelled(
        "Method",
        "the supply solved backwards: capacitance and esr by least squares of the logarithms of \
         all AC readings and of the first node's DC, each weighed by what it may be off by; a \
         failed section costs 5.99 of misfit (chi squared, two unknowns, 95 %); ranges are all \
         that stays within 3.84 of the best (chi squared, one unknown, 95 %)",
    );
    page.labelled(
        "Leakage",
        "limit of its era: k C + 0.3 mA, k = 0.01 to 100 V, 0.02 to 250 V, 0.025 to 350 V, 0.04 \
         above, C in µF (JAN-C-62 and makers' manuals, as handed down)",
    );
    found.assumed.iter().for_each(|assumed| page.labelled("Assumed", assumed));
    let rest = cautions.iter().skip(1).filter(|caution| !is_live(caution));
    rest.for_each(|caution| page.labelled("Caution", caution));
    page
}

fn headline(found: &Diagnosis, page: &mut Page) {
    found.asks.iter().for_each(|of| page.labelled("First", ask(*of, found.bridge)));
    page.labelled("Fault", &whole(found));
    let kind = if found.average { "average" } else { "true-rms" };
    let loads = match found.loads {
        Loads::Known => "loads as known",
        Loads::Ranged => "loads within their range",
    };
    let says = format!(
        "{:.0} % sure; {kind} meter good to {} %, {loads}, line {}",
        100.0 * CONFIDENCE,
        crate::quantity::significant(100.0 * found.meter_error, 2),
        v(found.line)
    );
    page.labelled("Ranges", &says);
}

fn lugs(found: &Diagnosis, page: &mut Page) {
    let of = |x: Option<Voltage>| x.map_or_else(|| "-".to_owned(), v);
    let line = |cells: [String; 7]| {
        let [name, rest @ ..] = cells;
        let start = pad(&name, WIDTH - 68);
        rest.iter().fold(start, |line, cell| format!("{line}{cell:>11}"))
    };
    // Of several explanations the table shows the one that is named first.
    let by = if found.explanations.len() > 1 { "by the 1st" } else { "explained" };
    let heads = ["lug", "AC read", by, "stamped", "DC read", by, "stamped"];
    page.line(bold(&line(heads.map(Into::into))));
    for lug in found.lugs.iter().take(6) {
        page.line(line([
            lug.name.clone(),
            of(lug.hum),
            v(lug.hum_explained),
            of(lug.hum_stamped),
            of(lug.dc),
            v(lug.dc_explained),
            of(lug.dc_stamped),
        ]));
    }
}

fn sections(found: &Diagnosis, page: &mut Page) {
    for of in found.sections.iter().take(6) {
        page.labelled(label(of.service), &format!("{}: {}", of.name, section(of)));
    }
}

fn label(of: Service) -> &'static str {
    match of {
        Service::Stays => "May stay",
        Service::Doubtful => "Doubtful",
        Service::Goes => "Replace",
    }
}

/// A piece of the screen that may have to give way.
struct Piece {
    label: &'static str,
    says: String,
    /// What stands for it where it does.
    short: Option<String>,
}

impl Piece {
    fn plain(label: &'static str, says: String) -> Self {
        Self { label, says, short: None }
    }
}

/// Adds what fits on the screen, names what else fits the readings, and says where
/// the rest is.
fn add(page: &mut Page, more: &[Piece], last: usize) {
    let placed = |reserved: usize| -> Vec<bool> {
        let mut length = page.len() + reserved + last;
        let fits = |piece: &Piece| {
            let with = length + lines(piece.label, &piece.says).len();
            let fits = with <= LINES;
            length = if fits { with } else { length };
            fits
        };
        more.iter().map(fits).collect()
    };
    let rest = |placed: &[bool]| {
        let left = more.iter().zip(placed).filter(|(_, placed)| !**placed);
        let also: Vec<&str> =
            left.clone().filter_map(|(piece, _)| piece.short.as_deref()).collect();
        match (left.count(), also.is_empty()) {
            (0, _) => Page::new(),
            (_, true) => lines("More", "--explain has the rest"),
            (_, false) => lines("Also", &format!("{}; --explain has it all", also.join(", "))),
        }
    };
    // What is left out takes room itself, and the less room the more is left out.
    let mut reserved = 0;
    let mut fit = placed(reserved);
    while rest(&fit).len() > reserved {
        reserved = rest(&fit).len();
        fit = placed(reserved);
    }
    for (piece, _) in more.iter().zip(&fit).filter(|(_, placed)| **placed) {
        page.labelled(piece.label, &piece.says);
    }
    page.append(rest(&fit));
}

fn lines(label: &str, says: &str) -> Page {
    let mut page = Page::new();
    page.labelled(label, says);
    page
}
