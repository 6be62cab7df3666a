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
    /// What two readings one after the other differ by, as a share: the line moves.
    pub const DRIFT: f64 = 0.005;
    /// What an old resistor or coil may be off by: carbon composition parts were sold
    /// at 10 % and drift upwards.
    pub const RESISTOR: f64 = 0.1;
    /// Published operating points and real tubes agree to about this share of the
    /// volts (`tests/supply`, receiving-tube handbooks).
    pub const LAW: f64 = 0.05;
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
