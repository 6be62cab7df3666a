//! Figures that follow from a job alone: high line, the source resistance of a
//! plate, the capacitance of a capacitor.

use super::model::{
    Capacitor, CapacitorPart, Connection, Device, Heaters, Job, Rectifier, SourceResistance,
};
use crate::quantity::{
    Capacitance, Frequency, Resistance, Voltage, hertz_of, in_hertz, in_volts, ohms, volts,
};

/// Lines that the American standard speaks of, and their service limits
/// (ANSI C84.1, range A; from memory).
const AMERICAN: Standard = Standard { speaks_of: (100.0, 140.0), service: (114.0, 126.0) };
/// Lines that the international standard speaks of, and 230 V ± 10 %
/// (IEC 60038; from memory).
const INTERNATIONAL: Standard = Standard { speaks_of: (200.0, 255.0), service: (207.0, 253.0) };
/// A line that neither speaks of belongs to the first below this, halfway.
const BETWEEN_V: f64 = 170.0;

/// Design volts of most American sets (`rules.md` §6), and nominal volts of a
/// 50 Hz line (IEC 60038; from memory).
const USUAL_60_HZ_V: f64 = 117.0;
const USUAL_50_HZ_V: f64 = 230.0;

/// What a line that nobody measured is taken from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineBasis {
    /// The winding was read at it.
    Winding,
    /// The plate of the chassis says so.
    Plate,
    /// Most sets of its frequency were made for it.
    Usual,
}

impl LineBasis {
    /// In words.
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Self::Winding => "at which the winding was read",
            Self::Plate => "as on the plate",
            Self::Usual => "as most sets",
        }
    }
}

/// A standard of line volts, V.
struct Standard {
    speaks_of: (f64, f64),
    service: (f64, f64),
}

impl Job {
    /// AC volts rms of the line at which volts of nodes, bypasses and other
    /// sections were measured: `mains.volts`, else the line of the readings.
    #[must_use]
    pub fn line(&self) -> Option<Voltage> {
        let read = || self.measured.as_ref().and_then(|readings| readings.line);
        self.mains.volts.or_else(read)
    }

    /// What stands for [`Job::line`] where nobody measured it: the line of the
    /// winding's reading, else that of the plate, else, for a winding that was
    /// read on a line nobody told, the usual one of its frequency. `None` where
    /// the line was measured, or nothing tells of one.
    #[must_use]
    pub fn assumed_line(&self) -> Option<(Voltage, LineBasis)> {
        if self.line().is_some() {
            return None;
        }
        let Rectifier { winding, .. } = &self.rectifier;
        let read = winding.and_then(|winding| winding.at).map(|at| (at, LineBasis::Winding));
        let plate = || self.mains.nominal.map(|nominal| (nominal, LineBasis::Plate));
        let usual = || {
            let at_50 = self.mains.frequency.is_some_and(|f| in_hertz(f) < 55.0);
            let usual = if at_50 { USUAL_50_HZ_V } else { USUAL_60_HZ_V };
            winding.map(|_| (volts(usual), LineBasis::Usual))
        };
        let line = read.or_else(plate).or_else(usual);
        line.filter(|(line, _)| in_volts(*line) > 0.0)
    }

    /// The line to work with: as measured, else [as assumed](Self::assumed_line).
    #[must_use]
    pub fn working_line(&self) -> Option<Voltage> {
        self.line().or_else(|| self.assumed_line().map(|(line, _)| line))
    }

    /// The most AC volts rms of the line that the supply must stand: as told,
    /// else the larger of [`working_line`](Self::working_line) and the upper
    /// limit of its standard (`limits.md`). `None` where nothing is known of the
    /// line; a line that no standard speaks of stands as it is.
    #[must_use]
    pub fn high_line(&self) -> Option<Voltage> {
        let line = || self.working_line().map(high_line_of);
        self.mains.high.or_else(line)
    }

    /// Volts read with `from` on the line (the line of [`Job::line`] where nobody
    /// told), brought in proportion to the line of [`Job::line`].
    #[must_use]
    pub fn at_line(&self, read: Voltage, from: Option<Voltage>) -> Voltage {
        super::reading::scaled(read, from, self.line())
    }

    /// Capacitance of a capacitor of this job: as stamped, or of the part.
    #[must_use]
    pub fn capacitance(&self, capacitor: &Capacitor) -> Option<Capacitance> {
        match capacitor.part {
            CapacitorPart::Part(capacitance) => Some(capacitance),
            CapacitorPart::Section(of) => {
                let can = &self.cans.get(of.can)?.reading.can;
                can.sections().get(of.section).map(|section| section.capacitance)
            }
        }
    }

    /// Resistance between a perfect source and one plate: winding + primary ×
    /// (winding volts / line volts)² + plate resistor, a plate resistor that is
    /// not told being none. `None` where a part of it is not known.
    #[must_use]
    pub fn source_resistance(&self) -> Option<Resistance> {
        let added = self.rectifier.plate_resistor.unwrap_or_else(|| ohms(0.0));
        let source = match self.rectifier.resistance {
            SourceResistance::Whole(whole) => whole,
            SourceResistance::Parts { winding, primary } => {
                let ratio = self.turns_ratio()?;
                winding? + primary? * (ratio * ratio)
            }
        };
        Some(source + added)
    }

    /// Whether the rectifier has a centre tap, which no line has, and the volts of
    /// its winding are not told.
    #[must_use]
    pub fn lacks_winding(&self) -> bool {
        self.rectifier.winding.is_none() && self.rectifier.connection == Some(Connection::FullWave)
    }

    /// Whether a heater string warms the rectifier together with its loads.
    #[must_use]
    pub fn warms_with_loads(&self) -> bool {
        self.chassis.heaters == Some(Heaters::Series)
            && self.rectifier.device.as_ref().is_some_and(Device::is_tube)
    }

    /// What B+ reaches with nothing drawn at `line`, √2 × winding, twice that
    /// behind a doubler; `None` where the winding or the circuit is not known.
    #[must_use]
    pub fn open_volts(&self, line: Voltage) -> Option<Voltage> {
        let ratio = self.turns_ratio().filter(|_| !self.lacks_winding())?;
        Some(self.rectifier.connection.as_ref()?.open_volts(line * ratio))
    }

    /// Volts of the winding to volts of the line: 1 on the line itself. A winding
    /// read on a line that is not told was read on that of the bench, or on the
    /// one assumed.
    #[must_use]
    pub fn turns_ratio(&self) -> Option<f64> {
        let Rectifier { winding, .. } = &self.rectifier;
        let Some(winding) = winding else { return Some(1.0) };
        let line = winding.at.or(self.mains.volts).or_else(|| self.working_line());
        let line = line.filter(|line| in_volts(*line) > 0.0)?;
        Some(in_volts(winding.volts) / in_volts(line))
    }
}

/// The frequency of a line of those volts, where nobody told: 60 Hz below 160 V,
/// else 50 Hz (common practice, no source).
#[must_use]
pub fn usual_frequency(line: Voltage) -> Frequency {
    hertz_of(if line < volts(160.0) { 60.0 } else { 50.0 })
}

/// The larger of a line and the upper limit of its standard; a line that no
/// standard speaks of stands as it is.
#[must_use]
pub fn high_line_of(line: Voltage) -> Voltage {
    let line = in_volts(line);
    let of = |standard: &Standard| {
        let (from, to) = standard.speaks_of;
        (from..=to).contains(&line).then_some(standard.service.1)
    };
    volts(line.max(of(&AMERICAN).or_else(|| of(&INTERNATIONAL)).unwrap_or(line)))
}

/// The least and the most AC volts rms that an outlet gives in service, of the
/// standard that `line` belongs to.
#[must_use]
pub fn service_band(line: Voltage) -> (Voltage, Voltage) {
    let american = in_volts(line) < BETWEEN_V;
    let (low, high) = if american { AMERICAN.service } else { INTERNATIONAL.service };
    (volts(low), volts(high))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(line: f64, expected: f64) {
        assert!((in_volts(high_line_of(volts(line))) - expected).abs() < 1e-9, "{line}");
    }

    #[test]
    fn high_line_is_the_standards_or_what_was_measured() {
        check(100.0, 126.0);
        check(121.0, 126.0);
        check(128.5, 128.5);
        check(140.0, 140.0);
        check(200.0, 253.0);
        check(230.0, 253.0);
        check(255.0, 255.0);
        check(32.0, 32.0);
        check(160.0, 160.0);
    }
}
