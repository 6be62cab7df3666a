//! Arguments that several commands share.

use std::path::PathBuf;

use clap::Args;

use super::{hyphen, job::JobArguments};
use recan::facts::Typed;

/// The stamping, and answers to its questions.
#[derive(Debug, Args)]
pub(crate) struct StampingArguments {
    /// What is stamped on the can; several are lines, - reads stdin
    ///
    /// A literal \n is a line break. Every mark has a word that shells leave
    /// alone: half-round, square, triangle, plain.
    #[arg(value_name = "STAMPING", value_parser = hyphen::text)]
    pub(crate) stamping: Vec<String>,
    /// Take reading N of a question; once for each question, in order
    #[arg(long, value_name = "N", help_heading = "Questions")]
    pub(crate) reading: Vec<usize>,
    /// Never ask; take the safe reading or stop
    #[arg(long, help_heading = "Questions")]
    pub(crate) no_ask: bool,
}

/// What is known of the supply.
#[derive(Debug, Args)]
#[command(next_help_heading = "What you know of the set")]
pub(crate) struct FactArguments {
    /// Rectifier fitted: a registered type such as 5Y3-GT, silicon or selenium
    #[arg(long, value_name = "TYPE", value_parser = hyphen::text)]
    rectifier: Option<String>,
    /// How it is connected: full-wave, bridge, half-wave, full-wave-doubler,
    /// half-wave-doubler
    #[arg(long, value_name = "CIRCUIT", value_parser = hyphen::text)]
    circuit: Option<String>,
    /// Direct current out of the reservoir, such as 95mA
    #[arg(long, value_name = "CURRENT", value_parser = hyphen::text)]
    load: Option<String>,
    /// What a section does: reservoir, smoothing, decoupling or bypass
    #[arg(long, value_name = "SECTION=ROLE", value_parser = hyphen::text)]
    role: Vec<String>,
    /// DC measured across a section, set hot
    #[arg(long, value_name = "SECTION=VOLTS", value_parser = hyphen::text)]
    volts: Vec<String>,
    /// Resistor that feeds a section, or that a bypass is across
    #[arg(long, value_name = "SECTION=OHMS", value_parser = hyphen::text)]
    resistor: Vec<String>,
    /// Line frequency
    #[arg(long, value_name = "FREQUENCY", value_parser = hyphen::text)]
    frequency: Option<String>,
}

impl FactArguments {
    pub(crate) fn typed(&self) -> Typed {
        Typed {
            rectifier: self.rectifier.clone(),
            circuit: self.circuit.clone(),
            load: self.load.clone(),
            frequency: self.frequency.clone(),
            roles: self.role.clone(),
            volts: self.volts.clone(),
            resistors: self.resistor.clone(),
        }
    }
}

/// Which stock list to use.
#[derive(Debug, Args)]
pub(crate) struct StockArguments {
    /// Stock list (CSV); the built-in one is invented and generic
    #[arg(long, value_name = "FILE")]
    pub(crate) stock: Option<PathBuf>,
}

/// Everything that decides which sets are found, and in what order.
#[derive(Debug, Args)]
pub(crate) struct SetArguments {
    #[command(flatten)]
    pub(crate) stamping: StampingArguments,
    #[command(flatten)]
    pub(crate) job: JobArguments,
    #[command(flatten)]
    pub(crate) stock: StockArguments,
    /// Show the best N sets, and N of each kind, in full
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=200))]
    pub(crate) show: Option<u16>,
    /// Only parts that go inside the old can, so that the set looks original
    #[arg(long)]
    pub(crate) restuff: bool,
    #[command(flatten)]
    pub(crate) facts: FactArguments,
}
