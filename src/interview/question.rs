//! What a question is: what it asks, how the reading is taken, what it adds.

use std::fmt;

use super::draft::Draft;

/// When in the work a reading can safely be taken, earliest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stage {
    /// What is stamped on the cans.
    Stamping,
    /// What is seen with the set unplugged.
    Seen,
    /// Meter readings with the set unplugged and discharged.
    Unplugged,
    /// Meter readings with the set on.
    Live,
    /// Meter readings of the repaired set, unplugged.
    Repaired,
    /// Meter readings of the repaired set, on.
    After,
}

impl Stage {
    /// Every stage, in order.
    pub const ALL: [Self; 6] =
        [Self::Stamping, Self::Seen, Self::Unplugged, Self::Live, Self::Repaired, Self::After];

    /// What the stage is called.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Stamping => "stamping",
            Self::Seen => "seen",
            Self::Unplugged => "unplugged",
            Self::Live => "live",
            Self::Repaired => "repaired",
            Self::After => "after",
        }
    }

    /// The heading of its questions.
    #[must_use]
    pub fn heading(self) -> &'static str {
        match self {
            Self::Stamping => "What the can says",
            Self::Seen => "What is seen, set unplugged",
            Self::Unplugged => "Readings with the set unplugged and discharged",
            Self::Live => "Readings with the set on",
            Self::Repaired => "After the repair, set unplugged and discharged",
            Self::After => "After the repair, set on",
        }
    }

    /// Whether a meter is put on a set that is on.
    #[must_use]
    pub fn is_powered(self) -> bool {
        matches!(self, Self::Live | Self::After)
    }
}

/// What a question is put about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// The job as a whole.
    Job,
    /// Each can.
    Can,
    /// Each section, and each node with a capacitor outside the cans.
    Section,
}

/// What an answer is read as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Takes {
    /// What is stamped on a can.
    Stamping,
    /// What is stamped on another can, or `no`.
    Another,
    /// One line of text.
    Text,
    /// A name that the job file knows: a rectifier type, a place.
    Name,
    /// A meter in words.
    Meter,
    /// One of these words.
    Word(&'static [&'static str]),
    /// One of these words, or any other text.
    WordOrText(&'static [&'static str]),
    /// A section.
    Section,
    /// A section, a capacitance, or `choke`.
    First,
    /// A count.
    Count,
    /// AC volts rms.
    AcVolts,
    /// DC volts, zero included.
    DcVolts,
    /// A resistance above zero.
    Ohms,
    /// A resistance, zero included.
    OhmsOrZero,
    /// A resistance, or `none`.
    OhmsOrNone,
    /// A resistance, zero included, or `open` where it is over the meter's range.
    OhmsOrOpen,
    /// An inductance.
    Henries,
    /// A current, zero included.
    Amperes,
    /// A frequency.
    Hertz,
    /// A temperature.
    Celsius,
    /// A length.
    Length,
    /// A tolerance.
    Band,
}

impl Takes {
    /// What the value of its flag is called.
    #[must_use]
    pub fn value_name(self) -> &'static str {
        match self {
            Self::Stamping | Self::Text => "TEXT",
            Self::Another => "TEXT|no",
            Self::Name => "NAME",
            Self::Meter => "METER",
            Self::Word(_) | Self::WordOrText(_) => "WORD",
            Self::Section => "SECTION",
            Self::First => "SECTION|CAPACITANCE|choke",
            Self::Count => "COUNT",
            Self::AcVolts | Self::DcVolts => "VOLTS",
            Self::Ohms | Self::OhmsOrZero | Self::OhmsOrNone => "OHMS",
            Self::OhmsOrOpen => "OHMS|open",
            Self::Henries => "HENRIES",
            Self::Amperes => "CURRENT",
            Self::Hertz => "FREQUENCY",
            Self::Celsius => "TEMPERATURE",
            Self::Length => "LENGTH",
            Self::Band => "TOLERANCE",
        }
    }

    /// The words that an answer may be, if it is a word.
    #[must_use]
    pub fn words(self) -> &'static [&'static str] {
        match self {
            Self::Word(words) | Self::WordOrText(words) => words,
            _ => &[],
        }
    }
}

/// Where an answer is kept in the job file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    /// A key of a table.
    Key(&'static str, &'static str),
    /// A key of the can's table.
    Can(&'static str),
    /// A key of the table of the section's node.
    Node(&'static str),
    /// A key of the table of the section's cathode bypass.
    Bypass(&'static str),
    /// A key of the table of a section that is neither.
    Other(&'static str),
    /// A reading at the section's lug: a table such as `measured`, and its key.
    Reading(&'static str, &'static str),
    /// How the supply hangs together, once enough of it is known.
    Tree,
    /// A comment, since no key of the job file is for it.
    Comment,
}

impl Kept {
    /// The table of a key that stands once or of a reading.
    #[must_use]
    pub fn table(self) -> Option<&'static str> {
        match self {
            Self::Key(table, _) | Self::Reading(table, _) => Some(table),
            _ => None,
        }
    }
}

/// One entry of the list of questions.
#[derive(Debug, Clone, Copy)]
pub struct Question {
    /// Its flag without the hyphens; also its name in comments of the job file.
    pub flag: &'static str,
    /// When it can safely be answered.
    pub stage: Stage,
    /// What it is put about.
    pub of: Of,
    /// What is asked, a noun phrase.
    pub asks: &'static str,
    /// How the reading is taken, one line.
    pub how: &'static str,
    /// What the answer adds, one line.
    pub adds: &'static str,
    /// What the answer is read as.
    pub takes: Takes,
    /// Where the answer is kept.
    pub kept: Kept,
    /// Whether it is worth asking, by what is known so far.
    pub(super) when: fn(&Draft, &str) -> bool,
}

/// A question about one thing, such as the DC volts at the lug `half-round`.
#[derive(Debug, Clone)]
pub struct Target {
    /// The question.
    pub question: &'static Question,
    /// The can or section it is about, as the job file names it; empty for the job.
    pub place: String,
}

impl Target {
    /// The question without a place.
    pub(super) fn of_job(question: &'static Question) -> Self {
        Self { question, place: String::new() }
    }

    /// Its flag, ready to be completed: `--dc half-round=VOLTS`.
    #[must_use]
    pub fn flag(&self) -> String {
        let (flag, value) = (self.question.flag, self.question.takes.value_name());
        let place = match self.place.as_str() {
            "" => String::new(),
            place if place.contains(' ') => format!("\"{place}\"="),
            place => format!("{place}="),
        };
        format!("--{flag} {place}{value}")
    }
}

impl PartialEq for Target {
    fn eq(&self, other: &Self) -> bool {
        self.question.flag == other.question.flag && self.place == other.place
    }
}

impl Eq for Target {}

impl fmt::Display for Target {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.place.is_empty() {
            return f.write_str(self.question.asks);
        }
        write!(f, "{}: {}", self.place, self.question.asks)
    }
}
