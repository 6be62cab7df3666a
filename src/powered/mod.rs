//! A job's supply, powered in thought: hot at one line, cold at two, switched
//! off, and with what the user would change.
//!
//! A [`Powered`] holds every figure that `recan supply` shows; nothing here
//! renders them.

mod change;
mod fault;
mod known;
mod limits;
mod standing;
mod state;

pub use change::Change;
pub use fault::PoweredError;
pub use limits::Limits;
pub use standing::{Read, Standing, read as read_at};
pub use state::State;

use crate::{
    chassis::{self, Chassis, Station},
    job::{Job, SectionOf},
    quantity::{Energy, Voltage, in_volts},
    supply::Place,
};

/// What is asked of a supply.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Asked<'a> {
    /// AC volts rms of the line; `None` is the job's.
    pub line: Option<Voltage>,
    /// Changes as typed, each `NAME=VALUE`.
    pub changes: &'a [String],
    /// The can that a section without a can's name belongs to: index in
    /// [`Job::cans`].
    pub can: Option<usize>,
}

/// A supply worked out.
#[derive(Debug, Clone)]
pub struct Powered<'j> {
    /// The job.
    pub job: &'j Job,
    /// The capacitors of the supply, in the order of [`Chassis::stations`].
    pub standing: Vec<Standing>,
    /// What was changed, in words.
    pub changes: Vec<Change>,
    /// The supply as it is, where something was changed.
    pub before: Option<State>,
    /// The supply as asked for.
    pub now: State,
    /// What was taken because nobody told, in words.
    pub assumed: Vec<String>,
}

/// What the model leaves out, in one line; the supply module has it at length.
pub const LEFT_OUT: &str = "leakage inductance and saturation of the transformer, the mains' true \
                            waveform, esr over frequency and heat, heater volts under load, \
                            leakage; a tube's drop is good to about 15 %, volts to about 5 %";

impl<'j> Powered<'j> {
    /// Works out the supply of `job`.
    ///
    /// # Errors
    /// The job leaves something open that the engine needs, a change can't be
    /// read, or the supply can't be worked out.
    pub fn new(job: &'j Job, asked: Asked<'_>) -> Result<Self, PoweredError> {
        let chassis = Chassis::of(job).map_err(|missing| PoweredError::lacking(job, &missing))?;
        let line = asked.line.unwrap_or_else(|| chassis.line());
        let changes = Change::read_all(job, &chassis, asked)?;
        let stamped = chassis.stamped();
        let with_all = || {
            let start = (chassis.clone(), stamped.clone());
            changes
                .iter()
                .fold(start, |(chassis, fitted), change| change.applied(job, &chassis, fitted))
        };
        let as_is = || State::new(chassis.clone(), stamped.clone(), line);
        let before = if changes.is_empty() { None } else { Some(as_is()?) };
        let now = if changes.is_empty() {
            as_is()?
        } else {
            let (chassis, fitted) = with_all();
            State::new(chassis, fitted, line)?
        };
        let assumed = assumed(job, &chassis, line, &changes);
        let standing = standing::all(job, &chassis);
        Ok(Self { job, standing, changes, before, now, assumed })
    }

    /// What stands at a place; `None` where there is no capacitor.
    #[must_use]
    pub fn at(&self, place: Place) -> Option<&Standing> {
        self.standing.iter().find(|standing| standing.place == place)
    }

    /// DC that was read at a place, where the reading holds for what is asked.
    #[must_use]
    pub fn read(&self, place: Place) -> Option<Read> {
        if self.is_as_read() { standing::read(self.job, place) } else { None }
    }

    /// A section's name, with the can's where the job has several.
    #[must_use]
    pub fn section_name(&self, of: SectionOf) -> String {
        self.job.section_name(of).unwrap_or_default()
    }

    /// Whether readings of the job hold for the supply as asked for: the same
    /// line, and nothing changed.
    #[must_use]
    pub fn is_as_read(&self) -> bool {
        let off = in_volts(self.now.solved.line) / in_volts(self.now.chassis.line()) - 1.0;
        self.before.is_none() && off.abs() < 1e-9
    }

    /// The most volts that any section sees: hot or cold, at high line.
    #[must_use]
    pub fn highest(&self) -> Voltage {
        let states = self.before.iter().chain([&self.now]);
        let peaks = states.flat_map(|state| {
            let cold = (0..state.chassis.node_count()).filter_map(|node| state.cold_peak(node));
            cold.chain(state.high.started.start.node_peaks.iter().copied()).collect::<Vec<_>>()
        });
        peaks.fold(crate::quantity::volts(0.0), |a, b| if b > a { b } else { a })
    }

    /// What a caution says of this supply: [`highest`](Self::highest), what it reaches
    /// with nothing drawn at all, a reading, or what is told of a section outside it,
    /// whichever is most.
    #[must_use]
    pub fn lethal(&self) -> Voltage {
        let open = self.now.high.started.start.open;
        let beside =
            self.job.most_volts_beside(|section| self.now.chassis.station(section).is_some());
        [open, beside].into_iter().fold(self.highest(), |a, b| if b > a { b } else { a })
    }

    /// Energy of the stamped sections at [`highest`](Self::highest), which is what
    /// they hold before tubes draw; a doubler's own capacitors see half of it each.
    #[must_use]
    pub fn charged(&self) -> Energy {
        let stamped = |_, station: &Station| station.stamped.capacitance;
        chassis::charged(self.now.chassis.stations(), stamped, self.highest())
    }
}

/// Everything assumed: by the stamping's reader, by the chassis, and by the
/// question itself.
fn assumed(job: &Job, chassis: &Chassis, line: Voltage, changes: &[Change]) -> Vec<String> {
    let of_can = job.cans.iter().flat_map(|can| &can.reading.assumed);
    let mut all: Vec<String> = of_can.map(|assumed| assumed.says.clone()).collect();
    all.extend(chassis.assumed().iter().cloned());
    let other_line = (in_volts(line) / in_volts(chassis.line()) - 1.0).abs() > 1e-9;
    if other_line || !changes.is_empty() {
        all.push(format!(
            "tube currents are kept as at {:.0} V; real ones follow B+, which then changes less \
             than shown",
            in_volts(chassis.line())
        ));
    }
    all
}
