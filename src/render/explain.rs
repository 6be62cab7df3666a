//! What `--explain` adds: every finding with its figure, its working and its source, the
//! supply node by node, the tolerance study, every reading not yet taken.

use super::blocks::{Block, Document, Table, Text, figure, mark, plain};
use crate::{
    answer::{
        beside::{BesideDoc, NodeFiguresDoc},
        plain as words_of,
        readings::NextReadingDoc,
        set::{FindingDoc, SetDoc},
        sets::Fitted,
        study::{EstimateDoc, SpreadDoc, StudyDoc},
    },
    quantity::significant,
};

/// What becomes of the old can (common practice, no source).
const OLD_CAN: &str = "take every wire off the old can: it is never left in parallel with new \
                       parts, where it shorts later; a restuffed one has its element taken out";
/// What a study takes for granted.
const RESTS_ON: &str = "each draw solves the circuit with the original and with the set at the \
                        same line and loads; capacitances lie anywhere in their bands alike, each \
                        on its own: as printed or listed, else -10/+50 % and wider for an old \
                        part (handbooks, from memory) and ±20 % for a new one; esr, tubes and \
                        windings are as told; a share's standard error is the binomial one, a \
                        percentile's comes from its order statistics";
/// How the readings were weighed.
const METHOD: &str = "each reading that the job leaves out was put at both ends of its plausible \
                      range, the supply solved and the set judged again; the others stay untaken, \
                      or in the middle where nothing can be solved without them; ranges are \
                      common practice, no source, but for the line (ANSI C84.1 or IEC 60038) and \
                      loads (what the job allows)";

/// Every finding about `set`, whose sections are called `names`.
pub(super) fn findings(set: &SetDoc, names: &[String], fitted: &[Fitted], document: &mut Document) {
    for ((section, name), of) in set.sections.iter().zip(names).zip(fitted) {
        heading(&format!("{name}: {}", super::parts::with_order(of)), document);
        section.findings.iter().for_each(|f| finding(f, document));
    }
    heading("the whole set", document);
    set.findings.iter().for_each(|f| finding(f, document));
}

fn heading(text: &str, document: &mut Document) {
    document.keep(Block::Gap);
    document.keep(Block::Heading(plain(text)));
}

fn finding(of: &FindingDoc, document: &mut Document) {
    let label = match of.verdict.as_str() {
        "pass" => "good",
        "caution" => "with care",
        "fail" => "no",
        "note" => "note",
        _ => "unjudged",
    };
    document.keep_line(label, plain(format!("{}: {}", of.rule, of.says)));
    if let Some(working) = &of.working {
        document.keep_line("", plain(working.clone()));
    }
    document.keep_line("", plain(format!("{}source: {}", figures(of), of.source)));
}

/// `44 µF, 36 to 52 pass; `, or nothing where there is no figure.
fn figures(of: &FindingDoc) -> String {
    let Some(value) = of.value else { return String::new() };
    let limits = match (of.limit_low, of.limit_high) {
        (Some(low), Some(high)) => format!(", {low} to {high} pass"),
        (Some(low), None) => format!(", {low} or more pass"),
        (None, Some(high)) => format!(", {high} or less pass"),
        (None, None) => String::new(),
    };
    format!("{value} {}{limits}; ", of.unit)
}

/// The supply in full: what flows in each capacitor, and the most volts on it.
pub(super) fn supply(beside: Option<&BesideDoc>, document: &mut Document) {
    let Some(beside) = beside else { return };
    heading("the supply, with the can as stamped and with the set", document);
    let head = ["node", "DC V", "hum V", "mA", "max V", "DC V", "hum V", "mA", "max V"];
    let cells = |of: &NodeFiguresDoc| {
        [
            figure(format!("{:.1}", of.dc_v)),
            figure(significant(of.ripple_rms_v, 3).to_string()),
            figure(format!("{:.0}", 1e3 * of.cap_current_rms_a)),
            figure(format!("{:.0}", of.max_high_line_v)),
        ]
    };
    let nodes = beside.original.nodes.iter().zip(&beside.substitute.nodes);
    let rows = nodes.map(|(old, new)| -> Vec<Text> {
        std::iter::once(mark(old.name.clone())).chain(cells(old)).chain(cells(new)).collect()
    });
    let head: Vec<Text> = head
        .iter()
        .enumerate()
        .map(|(i, name)| if i == 0 { plain(*name) } else { figure(*name) })
        .collect();
    document.keep(Block::Table(Table { head, rows: rows.collect(), group: 1, indent: 0 }));
    let says = "max V: hot, at high line; mA: rms ripple current of the capacitor";
    document.keep_line("", plain(says));
    let ma = |of: f64| format!("{:.0} mA", 1e3 * of);
    let (old, new) = (&beside.original, &beside.substitute);
    let says = format!(
        "peak {} a plate (was {}), winding {} rms (was {})",
        ma(new.rectifier_peak_a),
        ma(old.rectifier_peak_a),
        ma(new.winding_rms_a),
        ma(old.winding_rms_a)
    );
    document.keep_line("Rectifier", plain(says));
}

/// The tolerance study: hum node by node, volts to spare, rectifier, and what was drawn.
pub(super) fn study(study: Option<&StudyDoc>, document: &mut Document) {
    let Some(study) = study else { return };
    heading("tolerance study", document);
    let head = ["node", "hum no worse", "within 2 dB", "ripple rms", "original's"].map(plain);
    let rows = study.nodes.iter().map(|node| {
        vec![
            mark(node.name.clone()),
            plain(share(node.hum_no_worse)),
            plain(share(node.hum_within_2_db)),
            plain(range(node.ripple_rms_v.substitute, "V")),
            plain(range(node.ripple_rms_v.original, "V")),
        ]
    });
    let mut rows: Vec<Vec<Text>> = rows.collect();
    if study.nodes.len() > 1 {
        rows.push(vec![mark("all"), plain(share(study.hum_no_worse))]);
    }
    document.keep(Block::Table(Table { head: head.into(), rows, group: 2, indent: 0 }));
    let spare = study.sections.iter().filter_map(|section| {
        let low = section.headroom_v.substitute.as_ref()?.p5;
        let old = section.headroom_v.original.as_ref();
        let old = old.map(|old| format!(" (original {:.0} V)", old.p5.value));
        Some(format!("{} at {}{}", volts(low), section.place, old.unwrap_or_default()))
    });
    let spare: Vec<String> = spare.collect();
    if !spare.is_empty() {
        let says = format!("1 in 20 draws leaves less to spare: {}", spare.join(", "));
        document.keep_line("volts", plain(says));
    }
    let peak = &study.rectifier_peak_a;
    let says = format!(
        "peak {} a plate, original's {}",
        range(peak.substitute, "A"),
        range(peak.original, "A")
    );
    document.keep_line("rectifier", plain(says));
    let [low, mode, high] = study.line_v.map(|v| format!("{v:.0} V"));
    let says = format!(
        "{}, seed {}: capacitance over its band as given, line {low} to {high} and most often \
         {mode}, each load ±{:.0} %; ranges are 5th to 95th percentile; none of it changes the \
         verdict",
        study.draws,
        study.seed,
        100.0 * study.load_share
    );
    document.keep_line("draws", plain(says));
    if let Some(of) = &study.unsettled {
        let says = format!(
            "{} draws with the original, {} with the substitute; figures are over the {} where \
             both settle; the first, {}: {}",
            of.original, of.substitute, study.settled, of.first, of.why
        );
        document.keep_line("unsettled", plain(says));
    }
    document.keep_line("rests on", plain(RESTS_ON));
}

/// `43 ± 1 %`; with a decimal where the error is small enough for one.
fn share(of: EstimateDoc) -> String {
    let [value, error] = [100.0 * of.value, 100.0 * of.standard_error];
    if error < 0.5 {
        format!("{value:.1} ± {error:.1} %")
    } else {
        format!("{value:.0} ± {error:.0} %")
    }
}

/// The 5th to the 95th percentile.
fn range(of: SpreadDoc, unit: &str) -> String {
    let says = |of: EstimateDoc| words_of::figure(of.value, unit);
    format!("{} to {}", says(of.p5), says(of.p95))
}

/// `12 ± 1 V`.
fn volts(of: EstimateDoc) -> String {
    let (value, error) = (of.value, of.standard_error);
    if error < 0.5 {
        format!("{value:.1} ± {error:.1} V")
    } else {
        format!("{value:.0} ± {error:.0} V")
    }
}

/// Every reading not yet taken in its order, with all that it decides.
pub(super) fn readings(readings: Option<&[NextReadingDoc]>, document: &mut Document) {
    let Some(readings) = readings else { return };
    heading("what to measure next", document);
    for reading in readings {
        document.keep_line("-", plain(reading.says.clone()));
        for (best, reads) in reading.best.iter().zip(&reading.ends) {
            if let Some(rank) = best {
                document.keep_line("", plain(format!("at {reads} set {rank} comes first")));
            }
        }
    }
    if readings.is_empty() {
        document.keep_line("", plain("every reading that a verdict rests on is taken"));
    } else {
        document.keep_line("how", plain(METHOD));
    }
}

/// What becomes of the old can.
pub(super) fn old_can(document: &mut Document) {
    document.keep(Block::Gap);
    document.keep_line("Old can", plain(OLD_CAN));
}

/// The last two of the items that stood before `before` are the next step and the danger:
/// they stay last.
pub(super) fn danger_last(before: usize, document: &mut Document) {
    let from = before.saturating_sub(2);
    let last: Vec<_> = document.items.drain(from..before).collect();
    document.items.extend(last);
}
