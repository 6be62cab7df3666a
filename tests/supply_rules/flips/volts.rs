//! Rules about volts.

use recan::rules::{Rule, Verdict};

use super::{
    ANY, Case,
    Fact::{AsItIs, Job},
    about, within,
};
use crate::{
    bench::changed,
    jobs::{BYPASSED, CHOKE_INPUT, DOUBLER, IDEAL, TUBE},
};

use Verdict::{Caution, Fail, Note, Pass};

const WINDING: &str = "winding = \"300 V\"";

pub(super) fn cases() -> Vec<Case> {
    let mut cases = rated_volts();
    cases.extend(working_volts());
    cases.extend([bypass_volts(), series_share(), standby(), readings()]);
    cases.extend(cold_start());
    cases.extend(doubler_series());
    cases
}

/// Below the stamping is a caution where line and winding were read, at a cathode
/// where its volts were.
fn rated_volts() -> Vec<Case> {
    let measured = changed(
        TUBE,
        &[
            ("role = \"smoothing\"", "role = \"smoothing\"\nvolts = \"300 V\""),
            ("■ 40 MFD 450 V", "■ 40 MFD 500 V"),
        ],
    );
    let both = &["half-round=40/450", "square=40/450"];
    let bypass = changed(BYPASSED, &[("■ 20 MFD 25 V", "■ 20 MFD 50 V")]);
    vec![
        Case::new(Rule::RatedVolts, Some(1), &measured, both)
            .step(AsItIs, Caution, about(450.0))
            .limit(500.0)
            .step(Job("500 V", "450 V"), Pass, about(450.0))
            .limit(450.0)
            .step(Job("\nvolts = \"300 V\"", ""), Caution, about(450.0)),
        Case::new(Rule::RatedVolts, Some(1), &bypass, &["half-round=40/450", "square=22/35"])
            .step(AsItIs, Caution, about(35.0))
            .limit(50.0)
            .step(Job("■ 20 MFD 50 V", "■ 20 MFD 35 V"), Pass, about(35.0))
            .limit(35.0)
            .step(Job("volts = \"20 V\"\n", ""), Fail, about(35.0)),
    ]
}

/// ω C R = 50, source 1 %: crest near 0.957 of 424.26 V, 406 V, and as the line:
/// 440 V at 130 V, 474 V at 140 V, against 0.9 × 460 V and 460 V. Without a
/// supply: the reading times 126/120.
fn working_volts() -> Vec<Case> {
    let told = ("role = \"smoothing\"", "role = \"smoothing\"\nvolts = \"300 V\"");
    let read = changed(TUBE, &[told]);
    let fits = &["half-round=40/450", "square=40/400"];
    vec![
        Case::new(Rule::WorkingVolts, Some(0), IDEAL, &["1=50/460"])
            .step(AsItIs, Pass, within(406.2, 1.5))
            .limit(414.0)
            .step(Job("high = \"120 V\"", "high = \"130 V\""), Caution, within(440.0, 1.6))
            .limit(414.0)
            .step(Job("high = \"120 V\"", "high = \"140 V\""), Fail, within(473.9, 1.8)),
        Case { unsolved: true, ..Case::new(Rule::WorkingVolts, Some(1), &read, fits) }
            .step(AsItIs, Pass, about(315.0))
            .limit(0.9 * 400.0)
            .step(Job("volts = \"300 V\"\nload", "volts = \"360 V\"\nload"), Caution, about(378.0))
            .step(Job("volts = \"300 V\"\nload", "volts = \"390 V\"\nload"), Fail, about(409.5)),
    ]
}

/// Cathode volts × 126/120: 21, 29.4 and 32.55 V; 1.25 times pass, 1.1 times are a
/// caution: 32.34 V of the second, 35.8 V of the third, against 35 V.
fn bypass_volts() -> Case {
    Case::new(Rule::BypassVolts, Some(1), BYPASSED, &["half-round=40/450", "square=22/35"])
        .step(AsItIs, Pass, about(35.0))
        .limit(26.25)
        .step(Job("volts = \"20 V\"", "volts = \"28 V\""), Caution, (1.1 * 29.4, 1.25 * 29.4))
        .limit(36.75)
        .step(Job("volts = \"20 V\"", "volts = \"31 V\""), Fail, (0.0, 1.1 * 32.55))
        .limit(40.6875)
}

/// 0.6 of the peak at high line, √2 × winding × 1.05: 240.6, 267.3 and 280.7 V
/// against 250 V, and 275 V printed.
fn series_share() -> Case {
    let job =
        changed(TUBE, &[(WINDING, "winding = \"270 V\""), ("■ 40 MFD 450 V", "■ 11 MFD 300 V")]);
    let fits = &["half-round=40/450", "square=2x 22/250/275 in series"];
    let winding = |to| Job("winding = \"270 V\"", to);
    Case::new(Rule::SeriesShare, Some(1), &job, fits)
        .step(AsItIs, Pass, within(240.56, 0.01))
        .limit(250.0)
        .step(winding("winding = \"300 V\""), Caution, within(267.29, 0.01))
        .limit(250.0)
        .step(winding("winding = \"315 V\""), Fail, within(280.65, 0.01))
}

/// √2 × winding: at 126 V against the rating of 425 V and 1.10 times it, 467.5 V; at
/// 120 V against the rating and 1.02 times it, 433.5 V.
fn cold_start() -> Vec<Case> {
    let job = changed(TUBE, &[(WINDING, "winding = \"280 V\"")]);
    let fits = &["half-round=40/425", "square=40/425"];
    let over = changed(TUBE, &[(WINDING, "winding = \"307 V\"")]);
    let little = changed(TUBE, &[(WINDING, "winding = \"296 V\"")]);
    let printed = &["half-round=40/425/440", "square=40/425/440"];
    let choke = |job: &str, fits| Case::new(Rule::ColdStart, Some(0), job, fits);
    vec![
        Case::new(Rule::ColdStart, Some(1), &job, fits)
            .step(AsItIs, Pass, within(415.78, 0.01))
            .limit(425.0)
            .step(Job("280 V", "300 V"), Caution, within(445.48, 0.01))
            .limit(425.0)
            // 2 % over the rating is a shade, more is too much.
            .step(Job("280 V", "301 V"), Caution, within(425.68, 0.01))
            .step(Job("280 V", "307 V"), Fail, within(434.16, 0.01)),
        // In a heater string the rectifier warms with its loads: 455.87 V at high line
        // is within 1.10 × 425 V.
        Case::new(Rule::ColdStart, Some(1), &over, fits)
            .step(AsItIs, Fail, within(434.16, 0.01))
            .step(Job("heaters = \"parallel\"", "heaters = \"series\""), Pass, within(455.87, 0.01))
            .limit(467.5)
            .step(Job("5U4-GB", "silicon"), Fail, within(434.16, 0.01)),
        // A surge of 440 V printed takes the place of 467.5 V: 439.54 and 446.96 V.
        Case::new(Rule::ColdStart, Some(1), &little, printed)
            .step(AsItIs, Caution, within(439.54, 0.01))
            .step(Job("296 V", "301 V"), Fail, within(446.96, 0.01)),
        // Behind an input choke the bleeder holds it under √2 × 300 V; without it
        // nothing does.
        choke(CHOKE_INPUT, &["1=40/430"]).step(AsItIs, Pass, (0.9 * 270.0, 424.26)).step(
            Job(WINDING, "winding = \"310 V\""),
            Caution,
            (270.0, 438.41),
        ),
        choke(CHOKE_INPUT, &["1=40/410"]).bare(AsItIs, Caution).step(
            Job("bleeder = \"10 kΩ\"\n", ""),
            Fail,
            within(424.26, 0.01),
        ),
    ]
}

/// √2 × 300 V is 424.26 V at the line of the reading, and no rectifier gives more: with
/// 5U4-GB, 100 Ω a plate and 100 mA some 326 V come out (the solver's figure). Read above
/// that, the reading is settled first; read below, it is never the part.
fn readings() -> Case {
    let job = changed(TUBE, &[("load = \"60 mA\"", "load = \"60 mA\"\nvolts = \"330 V\"")]);
    let volts = |to| Job("volts = \"330 V\"", to);
    Case::new(Rule::Readings, Some(0), &job, &["half-round=40/500", "square=40/500"])
        .step(AsItIs, Pass, (-8.0, 8.0))
        .step(volts("volts = \"438 V\""), Fail, (8.0, ANY))
        .says("more than the winding can give")
        .step(volts("volts = \"290 V\""), Note, (-15.0, -8.0))
        .says("worn can or rectifier")
}

/// √2 × winding × 1.05 each time: 445.5 V with 300 V, 451.4 V with 304 V, of which
/// today's line gives 429.9 V; with 320 V today's gives 452.5 V.
fn standby() -> Case {
    let job = changed(TUBE, &[("standby = \"none\"", "standby = \"dc\"")]);
    Case::new(Rule::Standby, Some(0), &job, &["half-round=40/450", "square=40/450"])
        .step(AsItIs, Pass, within(445.48, 0.01))
        .limit(450.0)
        .step(Job(WINDING, "winding = \"304 V\""), Caution, within(451.42, 0.01))
        .limit(450.0)
        .step(Job(WINDING, "winding = \"320 V\""), Fail, within(475.18, 0.01))
}

/// √2 × 126 V is 178.19 V and twice that 356.38 V; of 128 V 181.02 and 362.04 V; of
/// 131 V 185.26 and 370.52 V, over 1.02 times the rating.
fn doubler_series() -> Vec<Case> {
    let high = Job("volts = \"120 V\"", "volts = \"120 V\"\nhigh = \"128 V\"");
    let today = Job("volts = \"120 V\"", "volts = \"131 V\"");
    let on = |section, peaks: [f64; 3], rated: f64| {
        Case::new(Rule::Doubler, Some(section), DOUBLER, &["red=100/180", "blue=50/360"])
            .step(AsItIs, Pass, about(peaks[0]))
            .limit(rated)
            .step(high, Caution, about(peaks[1]))
            .limit(rated)
            .step(today, Fail, about(peaks[2]))
    };
    vec![
        on(0, [178.191, 181.019, 185.262], 180.0)
            .bare(Job("negative = \"line\"", "negative = \"chassis\""), Fail),
        on(1, [356.382, 362.039, 370.524], 360.0),
    ]
}
