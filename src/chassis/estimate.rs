//! A value that is not exactly known, and the one table of what is taken where
//! nobody told.

/// Where a value comes from, the surest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Origin {
    /// Told in the job: a current, a resistance, or nothing.
    Told,
    /// From the drop over what feeds a node.
    Drop,
    /// What is left of all that the rectifier gives at the DC read behind it, good to
    /// [`LAW`](table::LAW) of those volts.
    Rectifier,
    /// From cathode currents.
    Cathodes,
    /// From all readings together, fitted.
    Readings,
    /// A reading is missing: the likeliest, by the table of what is assumed.
    Assumed,
    /// No more than this: it was read with a faulty can, whose leakage and lost
    /// capacitance nothing tells apart from a load.
    UpperBound,
}

impl Origin {
    /// In words.
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Self::Told => "as told",
            Self::Drop => "from the drop between measured nodes",
            Self::Rectifier => "from the volts behind the rectifier and its law",
            Self::Cathodes => "from cathode current",
            Self::Readings => "from all readings together",
            Self::Assumed => "likeliest: a reading is missing",
            Self::UpperBound => "upper bound: the can was faulty",
        }
    }

    /// Whether the value is known as well as what was read is.
    #[must_use]
    pub fn is_known(self) -> bool {
        matches!(self, Self::Told | Self::Drop | Self::Rectifier)
    }
}

/// A value with its range and where it comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate<T> {
    /// The likeliest: the figure to work with.
    pub best: T,
    /// The least that it may be.
    pub low: T,
    /// The most that it may be.
    pub high: T,
    /// Where it comes from.
    pub origin: Origin,
}

impl<T: Copy> Estimate<T> {
    /// A value that was told.
    #[must_use]
    pub fn told(value: T) -> Self {
        Self { best: value, low: value, high: value, origin: Origin::Told }
    }
}

/// What is taken where nobody told. Where no source stands beside a figure it is
/// common practice, no source.
pub mod table {
    /// A hand meter's error on DC, as a share of the reading.
    pub const METER: f64 = 0.01;
    /// A hand meter's error on AC, as a share of the reading.
    pub const METER_AC: f64 = 0.02;
    /// Least that stray hum and the last digits leave of an AC reading, V: below it a
    /// lug is as good as silent.
    pub const FLOOR_V: f64 = 0.005;
    /// The same of a DC reading, V.
    pub const FLOOR_DC_V: f64 = 0.2;
    /// How much less a meter that responds to the average shows of a sawtooth than of a
    /// sine of the same rms (π/√6 · ¾ = 0.962, by hand).
    pub const WAVE: f64 = 0.04;
    /// What two readings one after the other differ by, as a share: the line moves.
    pub const DRIFT: f64 = 0.005;
    /// What an old resistor or coil may be off by: carbon composition parts were sold
    /// at 10 % and drift upwards.
    pub const RESISTOR: f64 = 0.1;
    /// Published operating points and real tubes agree to about this share of the
    /// volts (`tests/supply`, receiving-tube handbooks).
    pub const LAW: f64 = 0.05;
    /// Volts and hum are worked out to this share where all that goes into them is known:
    /// the mains is no sine, a meter's crest factor, esr over frequency.
    pub const MODEL: f64 = 0.003;
    /// The same of hum.
    pub const MODEL_AC: f64 = 0.012;
    /// DC volts noted some other day, while the can was in who knows what state.
    pub const NOTED: f64 = 0.04;
    /// Last digits of an AC reading of millivolts, V.
    pub const DIGITS_V: f64 = 0.000_15;
    /// A tube's drop may be off by this share of it, one standard error: sheets agree to
    /// about twice that.
    pub const DROP: f64 = 0.1;
    /// Selenium's drop, by age.
    pub const DROP_SELENIUM: f64 = 0.35;
    /// A winding's volts once it was read, the line's reading then among it.
    pub const WINDING: f64 = 0.012;
    /// The source resistance, of two readings of ohms and a ratio.
    pub const SOURCE: f64 = 0.06;
    /// The line while the lugs were read, read with them.
    pub const LINE_READ: f64 = 0.005;
    /// The line at the bench, read some other time.
    pub const LINE_BENCH: f64 = 0.012;
    /// A line of which only the nominal volts are known.
    pub const LINE_UNTOLD: f64 = 0.025;
    /// A load that was told, from a sheet or a diagram.
    pub const LOAD_TOLD: f64 = 0.1;
    /// A load that follows from cathode volts.
    pub const LOAD_CATHODES: f64 = 0.25;
    /// A node's load that nobody told, as a logarithm ...
    pub const LOAD_UNTOLD: f64 = 1.0;
    /// ... and all that the set draws, by what its rectifier is rated for.
    pub const LOAD_TOTAL: f64 = 0.6;
    /// How tubes' current follows their volts: as their power, between a resistance and
    /// Child's law (Langmuir 1913, from memory).
    pub const FOLLOWS: f64 = 1.25;
    /// An old dropping resistor, one standard error, and how far it has drifted up.
    pub const RESISTOR_SPREAD: f64 = 0.07;
    /// See [`RESISTOR_SPREAD`].
    pub const RESISTOR_DRIFT: f64 = 0.03;
    /// A choke's henries, over its current and its iron.
    pub const HENRIES: f64 = 0.15;
    /// A sound old section measures this much over what is stamped (sold at −10/+50 %
    /// and more, `rules.md` §4) ...
    pub const SOUND_OVER: f64 = 1.1;
    /// ... and this much less at one standard error, as a logarithm.
    pub const SOUND_BELOW: f64 = 0.1;
    /// Loss factor of a sound section at the ripple's frequency.
    pub const SOUND_LOSS: f64 = 0.07;
    /// Loss factor of one that has dried out, and its standard error as a logarithm.
    pub const DRY_LOSS: f64 = 0.25;
    /// See [`DRY_LOSS`].
    pub const DRY_LOSS_SPREAD: f64 = 0.8;
    /// A new part measures what it says to this share at two standard errors, where
    /// nobody told its tolerance.
    pub const NEW: f64 = 0.2;
    /// Cathode volts and the like from one day to the next, as a share.
    pub const TUBES: f64 = 0.1;
    /// Currents below this are not argued about, A.
    pub const SMALL_A: f64 = 0.0005;
    /// No dropping resistor leaves less than this share of the volts ahead of it.
    pub const LEFT: f64 = 0.5;
    /// A dropping resistor of which nothing is read drops this share of the volts
    /// ahead of it (most sets: 5 to 20 %).
    pub const DROPPED: f64 = 0.1;
    /// Of what divides among nodes of which nothing is read, the one ahead, with the
    /// output tubes' plates, draws at least this share.
    pub const AHEAD: f64 = 0.5;
    /// Through a choke or field coil behind it flows this share.
    pub const THROUGH_CHOKE: f64 = 0.6;
    /// Bypassed cathodes pass this share of what the whole set draws.
    pub const CATHODES: f64 = 0.87;
    /// A set draws this share of what its rectifier tube is rated for.
    pub const OF_RATING: f64 = 0.65;
    /// What a set draws of whose rectifier no figure says anything, A.
    pub const SET_A: f64 = 0.1;
    /// What no set of the time drew more than, A.
    pub const MOST_A: f64 = 0.3;
}
