//! A tolerance study for people.

use unicode_width::UnicodeWidthStr;

use super::page::{Page, WIDTH, bold, fit, pad};
use crate::{
    quantity::{Current, Voltage, in_amperes, in_volts, significant},
    spread::{Estimate, Spread, StationStudy, Study, Unsettled},
    value::Value,
};

/// What a study takes for granted.
const RESTS_ON: &str = "each draw solves the circuit with the original and with the set at the \
                        same line and loads; capacitances lie anywhere in their bands alike, each \
                        on its own: as printed or listed, else -10/+50 % and wider for an old \
                        part (handbooks, from memory) and ±20 % for a new one; esr, tubes and \
                        windings are as told; a share's standard error is the binomial one, a \
                        percentile's comes from its order statistics";

/// The study in a few lines: hum node by node, headroom, rectifier, and what was
/// drawn.
#[must_use]
pub fn page(study: &Study) -> Page {
    let mut page = Page::new();
    page.line(bold(&row(["node", "hum no worse", "within 2 dB", "ripple rms", "original's"])));
    for node in &study.nodes {
        let of = |spread: Spread<Voltage>| range(spread, volts_rms);
        page.line(row([
            &node.name,
            &share(node.no_worse),
            &share(node.within_2_db),
            &of(node.ripple.substitute),
            &of(node.ripple.original),
        ]));
    }
    if study.nodes.len() > 1 {
        let all = [study.no_worse_anywhere, study.within_2_db_anywhere].map(share);
        page.line(row(["all", &all[0], &all[1], "", ""]));
    }
    let left: Vec<String> = study.stations.iter().filter_map(headroom).collect();
    if !left.is_empty() {
        let says = format!("1 in 20 draws leaves less: {}", left.join(", "));
        page.labelled("headroom", &says);
    }
    let peak = study.rectifier_peak;
    let says = format!(
        "peak {} a plate, original's {}",
        range(peak.substitute, amperes),
        range(peak.original, amperes)
    );
    page.labelled("rectifier", &says);
    page.labelled("draws", &drawn(study));
    if let Some(unsettled) = &study.unsettled {
        page.labelled("unsettled", &not_settled(study, unsettled));
    }
    page
}

/// The study of the best set of a list, with its heading and what it rests on.
#[must_use]
pub fn in_full(study: &Study) -> Page {
    let mut whole = Page::new();
    whole.gap();
    whole.line(bold("tolerance study of the best set"));
    whole.append(page(study));
    whole.labelled("rests on", RESTS_ON);
    whole
}

/// The study in one line of at most 77 columns, for a list of sets: the share of
/// draws whose hum is nowhere more than 2 dB above that of the old can when new,
/// then the share in which it is nowhere more at all, and the headroom that 19 draws
/// of 20 exceed where it is least, or that not all draws settle. A stamped
/// -10/+50 % can is larger than its stamping on average, so the second share alone
/// would blame every substitute.
#[must_use]
pub fn one_line(study: &Study) -> String {
    let within = short_share(study.within_2_db_anywhere);
    let no_more = short_share(study.no_worse_anywhere);
    // Less is said where a name is long, so that nothing is cut.
    let line = |end: &str| {
        let start = "study: hum within 2 dB";
        let ways = [
            format!("{start} of old can {within}, no more {no_more}{end}"),
            format!("{start} {within}, no more {no_more}{end}"),
            format!("{start} {within}{end}"),
        ];
        let fits = ways.iter().find(|line| line.width() <= WIDTH - 3);
        fits.unwrap_or(&ways[2]).clone()
    };
    if study.unsettled.is_some() {
        return line("; not all settle");
    }
    let least = study.stations.iter().filter_map(|station| {
        let low = in_volts(station.headroom.substitute?.low.value);
        Some((low, station.name.as_str()))
    });
    let least = least.min_by(|a, b| a.0.total_cmp(&b.0));
    let left = least.map(|(low, name)| format!("; {low:.0} V left at {name}"));
    fit(&line(&left.unwrap_or_default()), WIDTH - 3)
}

/// `79±2 %`: a line that holds three figures has no room for more digits.
fn short_share(of: Estimate<f64>) -> String {
    let (value, error) = (100.0 * of.value, (100.0 * of.error).max(1.0));
    format!("{value:.0}±{error:.0} %")
}

fn row(cells: [&str; 5]) -> String {
    let [node, no_worse, within, ripple, original] = cells;
    let start = format!("{}{}{}", pad(node, 10), pad(no_worse, 15), pad(within, 15));
    format!("{start}{}{original}", pad(ripple, 20))
}

/// `43 ± 1 %`; with a decimal where the error is small enough for one.
fn share(of: Estimate<f64>) -> String {
    let [value, error] = [100.0 * of.value, 100.0 * of.error];
    if error < 0.5 {
        format!("{value:.1} ± {error:.1} %")
    } else {
        format!("{value:.0} ± {error:.0} %")
    }
}

/// The 5th to the 95th percentile.
fn range<T: Copy>(of: Spread<T>, says: impl Fn(T) -> String) -> String {
    format!("{} to {}", says(of.low.value), says(of.high.value))
}

fn volts_rms(of: Voltage) -> String {
    crate::quantity::volts(significant(in_volts(of), 3)).print()
}

fn amperes(of: Current) -> String {
    crate::quantity::amperes(significant(in_amperes(of), 3)).print()
}

/// `12 ± 1 V`.
fn v(of: Estimate<Voltage>) -> String {
    let (value, error) = (in_volts(of.value), in_volts(of.error));
    if error < 0.5 {
        format!("{value:.1} ± {error:.1} V")
    } else {
        format!("{value:.0} ± {error:.0} V")
    }
}

fn headroom(station: &StationStudy) -> Option<String> {
    let low = station.headroom.substitute?.low;
    let old = station.headroom.original;
    let old = old.map(|old| format!(" (original {:.0} V)", in_volts(old.low.value)));
    Some(format!("{} at {}{}", v(low), station.name, old.unwrap_or_default()))
}

/// What was drawn, and how.
fn drawn(study: &Study) -> String {
    let [low, mode, high] =
        [study.line.low, study.line.mode, study.line.high].map(|v| format!("{:.0} V", in_volts(v)));
    format!(
        "{}, seed {}: capacitance over its band as given, line {low} to {high} and most often \
         {mode}, each load ±{:.0} %; ranges are 5th to 95th percentile; none of it changes the \
         verdict",
        study.draws,
        study.seed,
        100.0 * study.load_share
    )
}

fn not_settled(study: &Study, unsettled: &Unsettled) -> String {
    format!(
        "{} draws with the original, {} with the substitute; figures are over the {} where both \
         settle; the first, {}: {}",
        unsettled.original, unsettled.substitute, study.settled, unsettled.first, unsettled.why
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        quantity::{amperes, volts},
        spread::{Both, LineBand, NodeStudy},
        supply::SupplyError,
    };

    fn spread<T>(low: T, high: T, error: fn() -> T) -> Spread<T> {
        Spread {
            low: Estimate { value: low, error: error() },
            high: Estimate { value: high, error: error() },
        }
    }

    fn study() -> Study {
        let rms = |low, high| spread(volts(low), volts(high), || volts(0.03));
        let peak = |low, high| spread(amperes(low), amperes(high), || amperes(0.001));
        let share = |value, error| Estimate { value, error };
        let node = |name: &str, of: [f64; 4]| NodeStudy {
            name: name.into(),
            no_worse: share(0.43, 0.011),
            within_2_db: share(0.992, 0.002),
            ripple: Both { original: rms(of[0], of[1]), substitute: rms(of[2], of[3]) },
        };
        Study {
            draws: 2000,
            settled: 1990,
            seed: 1,
            line: LineBand { low: volts(114.0), mode: volts(122.0), high: volts(126.0) },
            load_share: 0.1,
            unsettled: Some(Unsettled {
                original: 7,
                substitute: 10,
                first: 12,
                why: SupplyError::CannotSupply { node: 2, least: -3.21 },
            }),
            nodes: vec![
                node("B1", [4.5, 6.1, 5.213, 7.332]),
                node("B2", [0.01, 0.02, 0.011_234, 0.021_5]),
            ],
            no_worse_anywhere: share(0.12, 0.007),
            within_2_db_anywhere: share(0.991, 0.002),
            stations: vec![StationStudy {
                station: 0,
                section: None,
                name: "B1".into(),
                headroom: Both {
                    original: None,
                    substitute: Some(spread(volts(12.34), volts(40.0), || volts(0.7))),
                },
            }],
            rectifier_peak: Both { original: peak(0.43, 0.55), substitute: peak(0.45, 0.6) },
        }
    }

    #[test]
    fn on_a_screen() {
        let text = anstream::adapter::strip_str(&page(&study()).into_text()).to_string();
        insta::assert_snapshot!(text, @r"
        node      hum no worse   within 2 dB    ripple rms          original's
        B1        43 ± 1 %       99.2 ± 0.2 %   5.21 V to 7.33 V    4.5 V to 6.1 V
        B2        43 ± 1 %       99.2 ± 0.2 %   11.2 mV to 21.5 mV  10 mV to 20 mV
        all       12 ± 1 %       99.1 ± 0.2 %
        headroom  1 in 20 draws leaves less: 12 ± 1 V at B1
        rectifier peak 450 mA to 600 mA a plate, original's 430 mA to 550 mA
        draws     2000, seed 1: capacitance over its band as given, line 114 V to 126 V
                  and most often 122 V, each load ±10 %; ranges are 5th to 95th
                  percentile; none of it changes the verdict
        unsettled 7 draws with the original, 10 with the substitute; figures are over
                  the 1990 where both settle; the first, 12: node 2 cannot hold its
                  load: it falls to -3.2 V within the cycle
        ");
    }

    #[test]
    fn in_one_line() {
        let mut study = study();
        insta::assert_snapshot!(one_line(&study), @"study: hum within 2 dB of old can 99±1 %, no more 12±1 %; not all settle");
        study.unsettled = None;
        insta::assert_snapshot!(one_line(&study), @"study: hum within 2 dB of old can 99±1 %, no more 12±1 %; 12 V left at B1");
    }
}
