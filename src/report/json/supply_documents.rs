//! The document of `recan supply`; the structs are the contract.

use serde::{Deserialize, Serialize};

/// `recan.supply/1`. With changes asked for, the figures are those after them
/// and `before` holds the same as it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SupplyDoc {
    /// `recan.supply/1`.
    pub schema: String,
    /// Changes asked for, as they are typed.
    pub what_if: Vec<String>,
    /// The supply as asked for.
    #[serde(flatten)]
    pub now: StateDoc,
    /// The supply as it is, or null where nothing was changed.
    pub before: Option<StateDoc>,
    /// Readings that can't be true together.
    pub contradictions: Vec<ContradictionDoc>,
    /// Currents through cathode resistors, a cross-check of the loads.
    pub cathodes: Vec<CathodeDoc>,
    /// What was taken because nobody told.
    pub assumed: Vec<String>,
    /// What the model leaves out.
    pub left_out: String,
    /// Cautions for the work.
    pub cautions: Vec<String>,
}

/// `recan.supply/1` where too little is known to work it out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LackingDoc {
    /// `recan.supply/1`.
    pub schema: String,
    /// None are known.
    pub nodes: [(); 0],
    /// What is missing.
    pub lacking: String,
    /// How to come by each, and what can be said without.
    pub next: Vec<String>,
}

/// A supply in every state.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StateDoc {
    /// AC volts rms of the line.
    pub line_v: f64,
    /// AC volts rms of the winding, each side of a centre tap, nothing drawn.
    pub winding_v: f64,
    /// Source resistance a plate.
    pub source_ohm: f64,
    /// The nodes, in feeding order.
    pub nodes: Vec<NodeDoc>,
    /// A doubler's own capacitors.
    pub capacitors: Vec<CellDoc>,
    /// The rectifier.
    pub rectifier: RectifierDoc,
    /// Rms current of the winding, each side of a centre tap.
    pub winding_rms_a: f64,
    /// Switching off, the doubler's own capacitors first.
    pub discharge: Vec<DischargeDoc>,
    /// The same supply at high line.
    pub high_line: HighLineDoc,
    /// Warmed up but for the tubes, which draw nothing.
    pub tubes_cold: Vec<ColdDoc>,
    /// What each node draws, and how that is known.
    pub loads: Vec<LoadDoc>,
    /// With the loads at both ends of their ranges; empty where all are known.
    pub ends: Vec<EndDoc>,
}

/// A node. Volts are across its capacitor and esr.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NodeDoc {
    /// Its name.
    pub name: String,
    /// Its section, or null.
    pub section: Option<String>,
    /// Mean volts.
    pub dc_v: f64,
    /// Ripple from least to greatest.
    pub ripple_pp_v: f64,
    /// Ripple rms.
    pub ripple_rms_v: f64,
    /// Frequency of the ripple.
    pub ripple_hz: f64,
    /// Greatest volts within the period.
    pub max_v: f64,
    /// Rms current of its capacitor, or null where it has none.
    pub cap_current_rms_a: Option<f64>,
    /// Peak before the tubes draw.
    pub cold_start_peak_v: f64,
    /// Energy that its capacitor holds.
    pub stored_j: f64,
    /// DC that was read, or null.
    pub measured_v: Option<f64>,
    /// Stamped working volts, or null.
    pub rated_v: Option<f64>,
}

/// One of a doubler's own capacitors.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CellDoc {
    /// `series`, `upper` or `lower`.
    pub place: String,
    /// Its section, or null.
    pub section: Option<String>,
    /// Mean volts.
    pub dc_v: f64,
    /// Greatest volts within the period.
    pub max_v: f64,
    /// Rms current.
    pub current_rms_a: f64,
    /// Peak before the tubes draw.
    pub cold_start_peak_v: f64,
    /// Energy that it holds.
    pub stored_j: f64,
    /// Stamped working volts, or null.
    pub rated_v: Option<f64>,
}

/// The rectifier; figures are a plate or a diode.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RectifierDoc {
    /// The type, or null where the job describes it.
    pub device: Option<String>,
    /// Steady peak.
    pub peak_a: f64,
    /// Mean over the line period.
    pub avg_per_plate_a: f64,
    /// Rms over the line period.
    pub rms_per_plate_a: f64,
    /// Greatest peak, capacitors empty, tubes warm.
    pub hot_switch_peak_a: f64,
    /// Greatest peak, capacitors empty, tubes cold.
    pub turn_on_peak_a: f64,
    /// Integral of the squared current over that charge.
    pub turn_on_i2t_a2s: f64,
    /// Peak inverse volts.
    pub peak_inverse_v: f64,
    /// What the type allows; nulls where no sheet says.
    pub limits: LimitsDoc,
}

/// What a type allows.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitsDoc {
    /// Steady peak a plate.
    pub peak_a: Option<f64>,
    /// DC output, both plates together.
    pub dc_output_a: Option<f64>,
    /// Peak when switched on hot.
    pub hot_switch_peak_a: Option<f64>,
    /// Peak inverse volts.
    pub peak_inverse_v: Option<f64>,
    /// AC supply a plate.
    pub ac_v: Option<f64>,
    /// Least source resistance a plate at this winding.
    pub least_source_ohm: Option<f64>,
}

/// How a capacitor discharges; nulls where nothing bleeds it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DischargeDoc {
    /// Its section, or null for a part outside the cans.
    pub section: Option<String>,
    /// The node, or `series`, `upper`, `lower`.
    pub at: String,
    /// Whether a bleeder or a cold load reaches it.
    pub bleeds: bool,
    /// Seconds to 60 V.
    pub to_60v_s: Option<f64>,
    /// Seconds to 50 V.
    pub to_50v_s: Option<f64>,
    /// Seconds to 5 V.
    pub to_5v_s: Option<f64>,
    /// Energy held when hot.
    pub stored_j: f64,
}

/// High line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HighLineDoc {
    /// AC volts rms of the line.
    pub line_v: f64,
    /// The nodes.
    pub nodes: Vec<HighNodeDoc>,
    /// A doubler's own capacitors.
    pub capacitors: Vec<CellDoc>,
}

/// A node at high line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HighNodeDoc {
    /// Its name.
    pub name: String,
    /// Its section, or null.
    pub section: Option<String>,
    /// Mean volts.
    pub dc_v: f64,
    /// Greatest volts within the period.
    pub max_v: f64,
    /// Peak before the tubes draw.
    pub cold_start_peak_v: f64,
}

/// A node while the tubes are cold.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ColdDoc {
    /// Its name.
    pub name: String,
    /// Mean volts.
    pub dc_v: f64,
    /// Mean volts with the bleeders taken out, or null where there is none.
    pub dc_without_bleeders_v: Option<f64>,
}

/// What a node draws.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LoadDoc {
    /// The node.
    pub node: String,
    /// The figure worked with.
    pub nominal_a: f64,
    /// The least it may be.
    pub low_a: f64,
    /// The most it may be.
    pub high_a: f64,
    /// How it is known, in words.
    pub known: String,
}

/// The supply at one end of the loads' ranges.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EndDoc {
    /// `low` or `high`.
    pub loads: String,
    /// The nodes; empty where the supply can't be worked out there.
    pub nodes: Vec<EndNodeDoc>,
    /// Why it can't be worked out, or null.
    pub fault: Option<String>,
}

/// A node at one end.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EndNodeDoc {
    /// Its name.
    pub name: String,
    /// Mean volts.
    pub dc_v: f64,
    /// Ripple from least to greatest.
    pub ripple_pp_v: f64,
    /// Ripple rms.
    pub ripple_rms_v: f64,
}

/// Two readings that disagree.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContradictionDoc {
    /// The one.
    pub one: String,
    /// The other.
    pub other: String,
    /// What follows, and what to look at.
    pub says: String,
}

/// A current through a cathode resistor.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CathodeDoc {
    /// The section that bypasses it.
    pub section: String,
    /// DC across it.
    pub dc_v: f64,
    /// The resistor.
    pub ohm: f64,
    /// The current.
    pub current_a: f64,
}
