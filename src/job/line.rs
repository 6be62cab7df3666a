//! Figures that follow from a job alone: high line, the source resistance of a
//! plate, the capacitance of a capacitor.

use super::model::{
    Capacitor, CapacitorPart, Connection, Construction, FedBy, Heaters, Job, Readings, Rectifier,
    SourceResistance, Standby, Transformer,
};
use crate::{
    facts::Warming,
    quantity::{
        Capacitance, Frequency, Resistance, Voltage, hertz_of, in_hertz, in_volts, ohms, volts,
    },
    rectifiers::Cathode,
};

/// A line: its nominal volts, the volts that are measured on it, and what an outlet
/// gives in service, V.
struct Standard {
    nominal: (f64, f64),
    measured: (f64, f64),
    service: (f64, f64),
}

/// 100 V, statutory 101 ± 6 V (from memory). No measured line says that it is one:
/// 105 V may be a low American line as well.
const HUNDRED: Standard =
    Standard { nominal: (100.0, 100.0), measured: (0.0, 107.0), service: (95.0, 107.0) };
/// The American line: range A (ANSI C84.1; from memory).
const AMERICAN: Standard =
    Standard { nominal: (105.0, 126.0), measured: (0.0, 135.0), service: (114.0, 126.0) };
/// The international line: 230 V ± 10 % (IEC 60038; from memory).
const INTERNATIONAL: Standard =
    Standard { nominal: (200.0, 250.0), measured: (195.0, f64::INFINITY), service: (207.0, 253.0) };
/// Above the nominal volts that no standard speaks of (common practice, no source).
const OVER_NOMINAL: f64 = 1.10;
/// Nominal volts below any standard's, those of farms and ships (common practice, no
/// source): a line measured within a quarter of it is that line.
const LEAST_OF_STANDARDS_V: f64 = 90.0;
const SAME_LINE: f64 = 1.25;
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

/// Why a chassis that is told to be isolated can't be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NotIsolated {
    /// The job says that there is no transformer.
    NoTransformer,
    /// The job says that the transformer is an auto-transformer.
    Auto,
    /// Nothing is told of a winding, in a circuit that can stand on the line.
    NoWindingTold,
}

impl NotIsolated {
    /// The contradiction and how to mend it, in one sentence.
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Self::NoTransformer => {
                "told isolated, but without a transformer: it is taken as live; mend \
                 `chassis.construction` or `rectifier.transformer`"
            }
            Self::Auto => {
                "told isolated, but an auto-transformer isolates nothing: it is taken as live; \
                 mend `chassis.construction` or `rectifier.transformer`"
            }
            Self::NoWindingTold => {
                "told isolated, but nothing is told of a transformer: it is taken as live; tell \
                 `rectifier.transformer` and `rectifier.winding`, or mend `chassis.construction`"
            }
        }
    }
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
        let at = winding.and_then(|winding| winding.at).or(self.rectifier.untold_winding_at);
        let read = at.map(|at| (at, LineBasis::Winding));
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

    /// AC volts rms that verdicts take as today's line, the "measured line" of
    /// `limits.md`: the larger of the one measured and the nominal one, since a line
    /// that reads low today comes back. [`Job::line`] is the line of the readings,
    /// which may have been taken on a variac. `None` where nothing is known of it.
    #[must_use]
    pub fn measured_line(&self) -> Option<Voltage> {
        larger(self.outlet(), self.mains.nominal).or_else(|| self.working_line())
    }

    /// AC volts rms read at the outlet, as far as that is what they are: a variac or
    /// a series lamp says nothing of it.
    fn outlet(&self) -> Option<Voltage> {
        let direct = |readings: &&Readings| matches!(readings.supply, None | Some(FedBy::Mains));
        let read = || self.measured.as_ref().filter(direct).and_then(|readings| readings.line);
        self.mains.volts.or_else(read)
    }

    /// The most AC volts rms of the line that the supply must stand (`limits.md`): as
    /// told, else what its standard allows by the nominal or by the measured line,
    /// and never less than either. `None` where nothing is known of the line.
    #[must_use]
    pub fn high_line(&self) -> Option<Voltage> {
        let standard = || {
            let nominal = self.mains.nominal;
            let assumed = || self.working_line().filter(|_| nominal.is_none());
            high_line(nominal, self.outlet().or_else(assumed))
        };
        let told = self.mains.high.or_else(standard)?;
        larger(Some(told), self.measured_line())
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

    /// Resistance in each plate lead before a retrofit: as told, else none where a
    /// winding is told, since a set with a transformer got one with its new
    /// rectifier, else what is there today, since a set on the line was built with it.
    #[must_use]
    pub fn original_plate_resistor(&self) -> Resistance {
        let of = &self.rectifier;
        let today = of.plate_resistor.filter(|_| of.winding.is_none());
        of.original_plate_resistor.or(today).unwrap_or_else(|| ohms(0.0))
    }

    /// The last node ahead of a DC standby switch, counted in [`Job::nodes`], and
    /// whether the job tells it: untold it is the first that has a capacitor. `None`
    /// where there is no such switch.
    #[must_use]
    pub fn standby_after(&self) -> Option<(usize, bool)> {
        if self.rectifier.standby != Some(Standby::Dc) {
            return None;
        }
        // A doubler's stack stands across its first node.
        let has_stack =
            matches!(self.rectifier.connection, Some(Connection::FullWaveDoubler { .. }));
        let first = || self.nodes.iter().position(|node| has_stack || node.capacitor.is_some());
        let told = self.rectifier.standby_after.map(|node| (node, true));
        told.or_else(|| first().map(|node| (node, false)))
    }

    /// Whether the line itself feeds the rectifier (`limits.md`): as told, else where
    /// no transformer shows in a circuit that can do without one: neither volts nor
    /// resistance of a winding, nor a primary's, are told.
    #[must_use]
    pub fn is_on_the_line(&self) -> bool {
        let of = &self.rectifier;
        match of.transformer {
            Some(Transformer::None) => true,
            Some(Transformer::Power | Transformer::Auto) => false,
            None => {
                let shows = SourceResistance::Parts { winding: None, primary: None };
                let bare =
                    matches!(of.resistance, SourceResistance::Whole(_)) || of.resistance == shows;
                // A centre tap needs a winding.
                let can = of.connection.as_ref().is_some_and(|c| *c != Connection::FullWave);
                of.winding.is_none() && of.untold_winding_at.is_none() && bare && can
            }
        }
    }

    /// Whether the chassis must be taken to be on the line. Isolation is never
    /// inferred: unknown counts as live, and so does a chassis that is told to be
    /// isolated and can't be.
    #[must_use]
    pub fn is_live(&self) -> bool {
        self.construction() != Some(Construction::Isolated)
    }

    /// How the chassis must be taken to stand to the line: as told, but on the line
    /// where no transformer isolates it.
    #[must_use]
    pub fn construction(&self) -> Option<Construction> {
        match self.construction_contradiction() {
            Some(_) => Some(Construction::Line),
            None => self.chassis.construction,
        }
    }

    /// What a chassis that is told to be isolated can't be isolated by. Until one of
    /// the two is mended every rule about volts is a caution.
    #[must_use]
    pub fn construction_contradiction(&self) -> Option<NotIsolated> {
        if self.chassis.construction != Some(Construction::Isolated) {
            return None;
        }
        match self.rectifier.transformer {
            Some(Transformer::Auto) => Some(NotIsolated::Auto),
            Some(Transformer::None) => Some(NotIsolated::NoTransformer),
            _ => self.is_on_the_line().then_some(NotIsolated::NoWindingTold),
        }
    }

    /// Whether volts of a winding are needed and not told: nothing stands for them
    /// but the line where that feeds the rectifier.
    #[must_use]
    pub fn lacks_winding(&self) -> bool {
        self.rectifier.winding.is_none() && !self.is_on_the_line()
    }

    /// How the rectifier warms together with its loads, so that B+ never stands
    /// without them; `None` where it does not, or that is not known.
    #[must_use]
    pub fn warming(&self) -> Option<Warming> {
        let device = self.rectifier.device.as_ref().filter(|device| device.is_tube())?;
        match self.chassis.heaters? {
            Heaters::Series => Some(Warming::SeriesString),
            Heaters::Parallel => {
                let indirect = device.cathode() == Some(Cathode::IndirectlyHeated);
                let switched = self.rectifier.standby == Some(Standby::Dc);
                (indirect && !switched).then_some(Warming::IndirectlyHeated)
            }
        }
    }

    /// What B+ reaches with nothing drawn at `line`, √2 × winding, twice that
    /// behind a doubler; `None` where the winding or the circuit is not known.
    #[must_use]
    pub fn open_volts(&self, line: Voltage) -> Option<Voltage> {
        let ratio = self.turns_ratio()?;
        Some(self.rectifier.connection.as_ref()?.open_volts(line * ratio))
    }

    /// Volts of the winding to volts of the line: 1 on the line itself. A winding
    /// read on a line that is not told was read on that of the bench, or on the
    /// one assumed. `None` where the winding's volts are not told and needed.
    #[must_use]
    pub fn turns_ratio(&self) -> Option<f64> {
        let Rectifier { winding, .. } = &self.rectifier;
        let Some(winding) = winding else { return self.is_on_the_line().then_some(1.0) };
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

/// High line where the volts of a line are all that is known of it.
#[must_use]
pub fn high_line_of(line: Voltage) -> Voltage {
    high_line(None, Some(line)).unwrap_or(line)
}

/// High line by the nominal and by the measured volts of a line, the larger of the
/// two (`limits.md`); `None` where neither is known.
fn high_line(nominal: Option<Voltage>, measured: Option<Voltage>) -> Option<Voltage> {
    let within = |(from, to): (f64, f64), line: f64| (from..=to).contains(&line);
    let standards = [&HUNDRED, &AMERICAN, &INTERNATIONAL];
    let by_nominal = nominal.map(in_volts).map(|line| {
        let of = standards.iter().find(|of| within(of.nominal, line));
        of.map_or(OVER_NOMINAL * line, |of| of.service.1).max(line)
    });
    let by_measured = measured.map(in_volts).map(|line| {
        let named = nominal.map(in_volts);
        let low = named.filter(|named| *named < LEAST_OF_STANDARDS_V);
        if low.is_some_and(|low| line <= SAME_LINE * low) {
            return line;
        }
        let is_hundred = named.is_some_and(|named| within(HUNDRED.nominal, named));
        let of = standards.into_iter().skip(usize::from(!is_hundred));
        of.into_iter()
            .find(|of| within(of.measured, line))
            .map_or(line, |of| of.service.1.max(line))
    });
    larger(by_nominal.map(volts), by_measured.map(volts))
}

fn larger(one: Option<Voltage>, other: Option<Voltage>) -> Option<Voltage> {
    match (one, other) {
        (Some(one), Some(other)) => Some(if other > one { other } else { one }),
        (one, other) => one.or(other),
    }
}

/// The least and the most AC volts rms that an outlet gives in service, of the
/// standard that `line` belongs to.
#[must_use]
pub fn service_band(line: Voltage) -> (Voltage, Voltage) {
    let line = in_volts(line);
    // Its high line is nobody else's.
    let is_hundred = [HUNDRED.nominal.0, HUNDRED.service.1].contains(&line);
    let of = match line {
        _ if is_hundred => HUNDRED,
        line if line < BETWEEN_V => AMERICAN,
        _ => INTERNATIONAL,
    };
    (volts(of.service.0), volts(of.service.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(nominal: Option<f64>, measured: Option<f64>, expected: f64) {
        let found = high_line(nominal.map(volts), measured.map(volts)).map(in_volts);
        assert!(
            found.is_some_and(|found| (found - expected).abs() < 1e-9),
            "{nominal:?} {measured:?}: {found:?} for {expected}"
        );
    }

    #[test]
    fn high_line_by_the_measured_line() {
        check(None, Some(100.0), 126.0);
        check(None, Some(121.0), 126.0);
        check(None, Some(128.5), 128.5);
        check(None, Some(140.0), 140.0);
        check(None, Some(160.0), 160.0);
        check(None, Some(195.0), 253.0);
        check(None, Some(230.0), 253.0);
        check(None, Some(255.0), 255.0);
    }

    #[test]
    fn high_line_by_the_nominal_line() {
        check(Some(100.0), None, 107.0);
        check(Some(105.0), None, 126.0);
        check(Some(117.0), None, 126.0);
        check(Some(126.0), None, 126.0);
        check(Some(130.0), None, 143.0);
        check(Some(160.0), None, 176.0);
        check(Some(200.0), None, 253.0);
        check(Some(250.0), None, 253.0);
        check(Some(32.0), None, 35.2);
    }

    #[test]
    fn high_line_is_the_larger_of_both() {
        check(Some(100.0), Some(101.0), 107.0);
        check(Some(100.0), Some(107.0), 107.0);
        check(Some(100.0), Some(118.0), 126.0);
        check(Some(117.0), Some(129.0), 129.0);
        check(Some(130.0), Some(121.0), 143.0);
        check(Some(117.0), Some(231.0), 253.0);
        check(Some(230.0), Some(118.0), 253.0);
        check(Some(32.0), Some(34.0), 35.2);
        check(Some(32.0), Some(120.0), 126.0);
    }
}
