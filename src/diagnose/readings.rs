//! Readings as a fit takes them: what was read where, with what it may be off by.

use crate::{
    chassis::{Chassis, same_frequency, table},
    job::{CanState, FedBy, Job, Meter, ReadAt, Readings},
    quantity::{Frequency, in_volts},
};

/// Before the repair, or after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum When {
    /// With the old can.
    Before,
    /// With what replaces it.
    After,
}

/// What is read of a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum What {
    /// DC volts.
    Dc,
    /// AC volts, as the meter shows them.
    Hum,
    /// Hz of the hum.
    Frequency,
}

impl What {
    /// In print.
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Self::Dc => "DC",
            Self::Hum => "hum",
            Self::Frequency => "hum frequency",
        }
    }

    /// The unit of its figures.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Dc | Self::Hum => "V",
            Self::Frequency => "Hz",
        }
    }
}

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct LugReading {
    pub(super) place: ReadAt,
    pub(super) what: What,
    pub(super) volts: f64,
    /// Standard error of its logarithm, the floor aside.
    pub(super) error: f64,
}

impl LugReading {
    /// Standard errors from `shown` volts to what was read.
    pub(super) fn off(&self, shown: f64) -> f64 {
        let floor = floor(self.what);
        if self.what == What::Hum && self.volts < SILENT * floor {
            // Stray hum and the meter's last digits only add: a lug may read more than its
            // ripple by the floor, but not less.
            let digits = (self.error * self.volts).hypot(table::DIGITS_V);
            return if shown > self.volts {
                (self.volts - shown) / digits
            } else {
                let plain = (self.volts - shown) / digits;
                let stray = (self.volts * self.volts - shown * shown).max(0.0).sqrt() / floor;
                plain.min(stray)
            };
        }
        self.off_level(shown)
    }

    /// The same by levels alone, both ways alike.
    pub(super) fn off_level(&self, shown: f64) -> f64 {
        (self.level(self.volts) - self.level(shown)) / self.error_at(self.volts)
    }

    /// Standard error of the level of a reading of so many volts: what may stand there
    /// beside them, the floor, leaves little told of a silent lug.
    pub(super) fn error_at(&self, volts: f64) -> f64 {
        let floor = floor(self.what).powi(2);
        self.error.hypot(0.5 * floor / (volts * volts + floor))
    }

    /// Logarithm of volts above the floor.
    pub(super) fn level(&self, volts: f64) -> f64 {
        let floor = floor(self.what);
        0.5 * (volts * volts + floor * floor).ln()
    }

    /// The volts of a level.
    pub(super) fn volts_at(&self, level: f64) -> f64 {
        let floor = floor(self.what);
        ((2.0 * level).exp() - floor * floor).max(0.0).sqrt()
    }
}

/// Volts below which a reading tells nothing.
pub(super) fn floor(what: What) -> f64 {
    match what {
        What::Hum => table::FLOOR_V,
        What::Dc | What::Frequency => table::FLOOR_DC_V,
    }
}

/// Hum under this many floors may be stray for a good part.
const SILENT: f64 = 4.0;
/// Hum over this many floors has a frequency that can be counted.
const AUDIBLE: f64 = 4.0;

/// Readings taken together.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ReadingsTaken {
    pub(super) when: When,
    /// AC volts of the line then, and the standard error of its logarithm.
    pub(super) line: f64,
    pub(super) line_error: f64,
    /// Whether nobody read the line then.
    pub(super) line_untold: bool,
    pub(super) meter: Meter,
    pub(super) each: Vec<LugReading>,
    pub(super) heard: Heard,
}

/// The frequency of the hum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Heard {
    /// Nobody told.
    Untold,
    /// That of the ripple of this rectifier.
    Ripple,
    /// The line's, where the ripple's is twice that.
    Line,
    /// Neither.
    Else(Frequency),
}

impl ReadingsTaken {
    /// The readings of `job` before the repair, or after it; of the places of a supply
    /// alone, which is what can be worked out.
    pub(super) fn of(job: &Job, chassis: &Chassis, when: When) -> Self {
        let readings = match when {
            When::Before => job.measured.as_ref(),
            When::After => job.after.as_ref(),
        };
        let nothing = Readings::default();
        let readings = readings.unwrap_or(&nothing);
        let (line, line_error) = match (readings.line, job.mains.volts) {
            (Some(line), _) => (line, table::LINE_READ),
            (None, Some(line)) => (line, table::LINE_BENCH),
            (None, None) => (chassis.line(), table::LINE_UNTOLD),
        };
        let meter = readings.meter;
        let supply = |place: &ReadAt| matches!(place, ReadAt::Node(_) | ReadAt::Doubler(_));
        let dc = readings.dc.iter().map(|at| (at.place, in_volts(at.volts)));
        let dc: Vec<(ReadAt, f64)> = dc.filter(|(place, _)| supply(place)).collect();
        let [direct, alternating] = errors(meter);
        let dc = dc.into_iter().map(|(place, volts)| LugReading {
            place,
            what: What::Dc,
            volts,
            error: direct,
        });
        let hum = readings.hum.iter().filter(|at| matches!(at.place, ReadAt::Node(_)));
        let hum = hum.map(|at| LugReading {
            place: at.place,
            what: What::Hum,
            volts: in_volts(at.volts),
            error: alternating,
        });
        let mut each: Vec<LugReading> = dc.chain(hum).collect();
        if when == When::Before && each.iter().all(|of| of.what != What::Dc) {
            each.extend(noted(job, in_volts(line)));
        }
        // At a lug that is as good as silent a counter shows whatever is in the air.
        let hums = |of: &LugReading| of.what == What::Hum && of.volts > AUDIBLE * table::FLOOR_V;
        let frequency = readings.hum_frequency.filter(|_| each.iter().any(hums));
        Self {
            when,
            line: in_volts(line),
            line_error,
            line_untold: readings.line.is_none(),
            meter,
            each,
            heard: heard_at(frequency, chassis),
        }
    }

    pub(super) fn at(&self, place: ReadAt, what: What) -> Option<f64> {
        self.each.iter().find(|of| of.place == place && of.what == what).map(|of| of.volts)
    }

    pub(super) fn hum(&self, node: usize) -> Option<f64> {
        self.at(ReadAt::Node(node), What::Hum)
    }

    pub(super) fn dc(&self, node: usize) -> Option<f64> {
        self.at(ReadAt::Node(node), What::Dc)
    }

    /// A reading of this meter, not yet taken.
    pub(super) fn untaken(&self, place: ReadAt, what: What) -> LugReading {
        let [direct, alternating] = errors(self.meter);
        let error = if what == What::Hum { alternating } else { direct };
        LugReading { place, what, volts: 0.0, error }
    }
}

/// DC volts noted at the nodes, where none were read with the hum: of some other day.
fn noted(job: &Job, line: f64) -> impl Iterator<Item = LugReading> {
    let then = job.line().map_or(line, in_volts).max(1.0);
    let nodes = job.nodes.iter().enumerate();
    nodes.filter_map(move |(j, node)| {
        let volts = in_volts(node.volts?) * line / then;
        Some(LugReading { place: ReadAt::Node(j), what: What::Dc, volts, error: table::NOTED })
    })
}

/// What a DC and an AC reading are off by on their own: half of a meter's error is common
/// to all that it reads, and is an unknown of the fit.
fn errors(meter: Meter) -> [f64; 2] {
    [(0.5 * meter.dc_error()).hypot(table::MODEL), (0.5 * meter.ac_error()).hypot(table::MODEL_AC)]
}

fn heard_at(told: Option<Frequency>, chassis: &Chassis) -> Heard {
    match told {
        None => Heard::Untold,
        Some(told) if same_frequency(told, chassis.ripple()) => Heard::Ripple,
        Some(told) if same_frequency(told, chassis.frequency()) => Heard::Line,
        Some(told) => Heard::Else(told),
    }
}

/// Why readings say nothing of the can.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoUse {
    /// Behind a series lamp, which takes volts from the set.
    Lamp,
    /// Behind a variac of which nobody told the volts.
    Variac,
    /// With the can taken out.
    Disconnected,
    /// With good parts clipped across it.
    Bridged,
}

/// Whether the readings before the repair were taken of the can as it was.
pub(super) fn no_use(readings: &Readings) -> Option<NoUse> {
    match (readings.can, readings.supply) {
        (Some(CanState::Disconnected), _) => Some(NoUse::Disconnected),
        (Some(CanState::Bridged), _) => Some(NoUse::Bridged),
        (_, Some(FedBy::Lamp(_))) => Some(NoUse::Lamp),
        (_, Some(FedBy::Variac)) if readings.line.is_none() => Some(NoUse::Variac),
        _ => None,
    }
}
