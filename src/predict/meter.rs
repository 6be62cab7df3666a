//! What a meter shows of hum.

use crate::job::MeterKind;

/// Peak to peak over rms of a sine.
const SINE: f64 = 2.828_427_124_746_190_3;
/// Peak to peak over rms of a sawtooth, or of a triangle.
const SAWTOOTH: f64 = 3.464_101_615_137_754_6;
/// Volts that a meter scaled for a sine shows of a sawtooth of 1 V rms:
/// π/(2√2) for the sine's form factor, times √3/2 for the sawtooth's mean
/// (worked out by hand; NEETS module 16 has the form factor of the sine).
const SAWTOOTH_SHOWN: f64 = 0.961_912_372_621_398;

/// Volts that a meter shows of hum of `rms` and `peak_to_peak` volts.
///
/// One that responds to the average shows a sine right and the sawtooth of a
/// reservoir 4 % low; between the two, by how peaked the wave is.
#[must_use]
pub fn shown_hum(rms: f64, peak_to_peak: f64, kind: Option<MeterKind>) -> f64 {
    if kind != Some(MeterKind::Average) || rms <= 0.0 {
        return rms;
    }
    let sawtooth = ((peak_to_peak / rms - SINE) / (SAWTOOTH - SINE)).clamp(0.0, 1.0);
    rms * (1.0 + sawtooth * (SAWTOOTH_SHOWN - 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(rms: f64, peak_to_peak: f64, kind: Option<MeterKind>, expected: f64) {
        let shown = shown_hum(rms, peak_to_peak, kind);
        assert!((shown - expected).abs() < 1e-9, "{shown}");
    }

    #[test]
    fn a_sine_is_shown_right_by_both() {
        check(1.0, SINE, Some(MeterKind::TrueRms), 1.0);
        check(1.0, SINE, Some(MeterKind::Average), 1.0);
    }

    /// By integration: the mean of |sawtooth| is a quarter of its height, and a
    /// meter scaled for a sine shows π/(2√2) times the mean.
    #[test]
    fn a_sawtooth_is_shown_low_by_the_average() {
        let height = 10.0;
        let mean = height / 4.0;
        let shown = mean * std::f64::consts::PI / 8.0_f64.sqrt();
        check(height / 12.0_f64.sqrt(), height, Some(MeterKind::Average), shown);
        check(height / 12.0_f64.sqrt(), height, Some(MeterKind::TrueRms), height / 12.0_f64.sqrt());
        check(0.0, 0.0, Some(MeterKind::Average), 0.0);
    }
}
