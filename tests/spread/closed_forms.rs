//! Percentiles and shares against closed forms. Behind 4.7 kΩ, at 120 Hz and 20
//! µF, ripple is as 1/C to one part in (ωRC)² = 5,000 (an RC section, any
//! textbook), so percentiles of ripple are those of 1/C.

use recan::{
    chassis::End,
    quantity::{in_amperes, in_volts, volts},
    spread::{Estimate, LineBand, Shape},
};

use crate::supplies::{TWO_NODES, Varied, chassis, standing, study};

const DRAWS: u32 = 4_000;

/// The section's own error, besides that of the draws.
const SECTION: f64 = 3e-4;

fn at_rest(original: ((f64, f64), Shape), substitute: ((f64, f64), Shape)) -> Varied {
    Varied {
        original: standing(20.0, original.0, original.1),
        substitute: standing(20.0, substitute.0, substitute.1),
        line: LineBand::fixed(volts(117.0)),
        load_share: 0.0,
    }
}

/// Four deviations of a percentile's stated error in one study: it comes from the
/// distance between ranks 55 apart (four times sqrt(4000 × 0.05 × 0.95)), which
/// varies by 1/sqrt(55). `repeated` holds its mean to less.
const STATED: f64 = 0.54;

/// `exact` is within four standard errors, and the stated error is near `error`.
#[track_caller]
fn check(found: Estimate<f64>, exact: f64, error: f64) {
    let off = (found.value - exact).abs();
    assert!(off < 4.0 * error + SECTION * exact, "{found:?} for {exact} ± {error}");
    assert!((found.error / error - 1.0).abs() < STATED, "{found:?} for {exact} ± {error}");
}

/// The same of a share, whose error follows from the share itself.
#[track_caller]
fn check_share(found: Estimate<f64>, exact: f64, error: f64) {
    check(found, exact, error);
    assert!((found.error / error - 1.0).abs() < 0.05, "{found:?} for {exact} ± {error}");
}

fn volts_of(e: Estimate<recan::quantity::Voltage>, unit: f64) -> Estimate<f64> {
    Estimate { value: in_volts(e.value) / unit, error: in_volts(e.error) / unit }
}

/// Ripple at the second node with 20 µF.
fn nominal() -> f64 {
    let chassis = chassis(TWO_NODES);
    let solved = chassis.solve(volts(117.0), &chassis.stamped(), End::Nominal).unwrap();
    in_volts(solved.steady.nodes[1].ripple_rms)
}

/// Standard error of a percentile: sqrt(q (1 - q) / n) over the density there.
fn error(density: f64) -> f64 {
    (0.05 * 0.95 / f64::from(DRAWS)).sqrt() / density
}

/// C/C0 uniform from 0.8 to 1.2: a twentieth lies below 0.82 and above 1.18;
/// y = C0/C has the density 2.5/y².
#[test]
fn ripple_of_a_uniform_band() {
    let varied = at_rest(((0.0, 0.0), Shape::Uniform), ((0.2, 0.2), Shape::Uniform));
    let found = study(&chassis(TWO_NODES), &varied, DRAWS, 1).nodes[1].ripple.substitute;
    let [low, high] = [1.0 / 1.18, 1.0 / 0.82];
    check(volts_of(found.low, nominal()), low, error(2.5 / (low * low)));
    check(volts_of(found.high, nominal()), high, error(2.5 / (high * high)));
}

/// The same with the band of an old part, -10 to +50 %: 0.93 and 1.47.
#[test]
fn ripple_of_a_lopsided_band() {
    let varied = at_rest(((0.1, 0.5), Shape::Uniform), ((0.0, 0.0), Shape::Uniform));
    let found = study(&chassis(TWO_NODES), &varied, DRAWS, 2).nodes[1].ripple.original;
    let [low, high] = [1.0 / 1.47, 1.0 / 0.93];
    let density = |y: f64| 1.0 / (0.6 * y * y);
    check(volts_of(found.low, nominal()), low, error(density(low)));
    check(volts_of(found.high, nominal()), high, error(density(high)));
}

/// C/C0 normal about 1, deviation 0.2/3, cut off at three of them: the 95 %
/// point is at 1.63322 deviations (from a table of the normal distribution, the
/// point of 0.00135 + 0.95 × 0.9973), where its density is 0.10511/0.9973 a
/// deviation.
#[test]
fn ripple_of_a_normal_band() {
    let varied = at_rest(((0.0, 0.0), Shape::Uniform), ((0.2, 0.2), Shape::Normal));
    let found = study(&chassis(TWO_NODES), &varied, DRAWS, 3).nodes[1].ripple.substitute;
    let deviation = 0.2 / 3.0;
    let [low, high] = [1.0 + 1.633_22 * deviation, 1.0 - 1.633_22 * deviation].map(|c| 1.0 / c);
    let density = |y: f64| 0.105_11 / 0.9973 / deviation / (y * y);
    check(volts_of(found.low, nominal()), low, error(density(low)));
    check(volts_of(found.high, nominal()), high, error(density(high)));
}

/// Substitute uniform from 0.8 to 1.2, original from 0.9 to 1.5: the substitute
/// is the larger in 0.3²/2 of 0.4 × 0.6, which is 0.1875. Within 2 dB it may be
/// 0.7943 of the original: in the square, 1 less the part where 0.7943 times the
/// original is the larger, which is ((0.7943 × 1.5 - 0.8)²)/(2 × 0.7943) of 0.24.
#[test]
fn hum_no_worse() {
    let varied = at_rest(((0.1, 0.5), Shape::Uniform), ((0.2, 0.2), Shape::Uniform));
    let found = study(&chassis(TWO_NODES), &varied, DRAWS, 4);
    let deviation = |p: f64| (p * (1.0 - p) / f64::from(DRAWS)).sqrt();
    check_share(found.nodes[1].no_worse, 0.1875, deviation(0.1875));
    let k = 10_f64.powf(-0.1);
    let two_db = 1.0 - (k * 1.5 - 0.8).powi(2) / (2.0 * k) / 0.24;
    check_share(found.nodes[1].within_2_db, two_db, deviation(two_db));
    // The first node's own capacitor stays, so the second decides for both.
    check_share(found.within_2_db_anywhere, two_db, deviation(two_db));
}

/// With nothing else varied, volts and the rectifier's peak rise with the line:
/// percentiles are the figures at the line's percentiles. Triangular from 114 V
/// over 117 V to 126 V: a twentieth below 114 + sqrt(12 × 3 × 0.05), and above
/// 126 - sqrt(12 × 9 × 0.05).
#[test]
fn headroom_and_peak_over_the_line() {
    let chassis = chassis(TWO_NODES);
    let still = ((0.0, 0.0), Shape::Uniform);
    let varied = Varied { line: LineBand::of(&chassis), ..at_rest(still, still) };
    let found = study(&chassis, &varied, DRAWS, 5);
    let [low, high] = [114.0 + 1.8_f64.sqrt(), 126.0 - 5.4_f64.sqrt()];
    // Density of the line there, a volt.
    let error = [error(2.0 * 1.8_f64.sqrt() / 36.0), error(2.0 * 5.4_f64.sqrt() / 108.0)];
    let at = |line: f64| chassis.solve(volts(line), &chassis.stamped(), End::Nominal).unwrap();
    let slope = |f: &dyn Fn(f64) -> f64, line: f64| (f(line + 0.5) - f(line - 0.5)).abs();
    for node in [0, 1] {
        let left = |line| 450.0 - in_volts(at(line).steady.nodes[node].max);
        let headroom = found.stations[node].headroom.substitute.unwrap();
        let exact = [left(high), left(low)];
        check(volts_of(headroom.low, 1.0), exact[0], error[1] * slope(&left, high));
        check(volts_of(headroom.high, 1.0), exact[1], error[0] * slope(&left, low));
    }
    let peak = |line| in_amperes(at(line).steady.rectifier.peak);
    let of = |e: Estimate<_>| Estimate { value: in_amperes(e.value), error: in_amperes(e.error) };
    let spread = found.rectifier_peak.substitute;
    check(of(spread.high), peak(high), error[1] * slope(&peak, high));
    check(of(spread.low), peak(low), error[0] * slope(&peak, low));
}
