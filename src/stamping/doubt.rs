//! Choices between honest readings: who asks, what was answered, what is taken
//! where nobody answers.

use std::ops::Range;

/// Most questions one stamping may raise; more is no stamping to build on.
pub(super) const MOST_QUESTIONS: usize = 6;

/// A question raised while reading.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Doubt {
    /// One sentence, ending in a question mark.
    pub(super) asks: String,
    /// The readings in words.
    pub(super) says: Vec<String>,
    /// The reading taken where nobody answers.
    pub(super) safe: Option<usize>,
    /// The characters in question.
    pub(super) span: Range<usize>,
}

/// Why reading stopped.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Stop {
    /// The text can't be accepted.
    Refused(Refusal),
    /// Several things in the text can't be accepted, each for itself.
    Several {
        /// The first in the text.
        first: Refusal,
        /// The others, in the order of the text.
        more: Vec<Refusal>,
    },
    /// A question without a safe reading is open.
    Open,
}

/// What is wrong with a text, where, and what to do.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Refusal {
    pub(super) message: String,
    pub(super) span: Range<usize>,
    pub(super) help: String,
}

impl Stop {
    /// All of `found`, in the order of the text, each place once; nothing where there
    /// is none.
    pub(super) fn all(mut found: Vec<Refusal>) -> Result<(), Self> {
        found.sort_by_key(|refusal| refusal.span.start);
        found.dedup_by(|a, b| a.span == b.span);
        let mut found = found.into_iter();
        match (found.next(), found.collect::<Vec<_>>()) {
            (None, _) => Ok(()),
            (Some(first), more) if more.is_empty() => Err(Self::Refused(first)),
            (Some(first), more) => Err(Self::Several { first, more }),
        }
    }

    /// A refusal.
    pub(super) fn refuse(
        span: Range<usize>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        Self::Refused(Refusal { message: message.into(), span, help: help.into() })
    }
}

/// The choices made on one way through a text, and the questions met.
#[derive(Debug, Default)]
pub(super) struct Doubts {
    choices: Vec<usize>,
    /// The questions met so far, in order.
    pub(super) met: Vec<Doubt>,
}

impl Doubts {
    /// A way through a text with these choices, counted from 0.
    pub(super) fn new(choices: Vec<usize>) -> Self {
        Self { choices, met: Vec::new() }
    }

    /// The reading to take: the answer, else the safe one.
    ///
    /// # Errors
    /// [`Stop::Open`] where there is neither; a refusal where the answer names
    /// no reading or questions pile up.
    pub(super) fn ask(&mut self, doubt: Doubt) -> Result<usize, Stop> {
        let (index, count) = (self.met.len(), doubt.says.len());
        let (span, safe) = (doubt.span.clone(), doubt.safe);
        if index >= MOST_QUESTIONS {
            return Err(Stop::refuse(
                span,
                format!("more than {MOST_QUESTIONS} things in doubt"),
                "look at the can again with a lens, and write value, volts and mark of each section on a line of its own",
            ));
        }
        self.met.push(doubt);
        match self.choices.get(index) {
            Some(&choice) if choice < count => Ok(choice),
            Some(&choice) => Err(Stop::refuse(
                span,
                format!(
                    "reading {} asked for, but the question has {count} readings",
                    choice.saturating_add(1)
                ),
                format!("answer with a number from 1 to {count}"),
            )),
            None => safe.ok_or(Stop::Open),
        }
    }
}
