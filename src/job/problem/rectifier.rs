//! Problems of the rectifier: how it is described and connected.

use super::short;

/// What is wrong with how the rectifier is described or connected.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, miette::Diagnostic)]
#[non_exhaustive]
pub enum RectifierProblem {
    /// A type and a law of one's own.
    #[error("the rectifier has both a `device` and a `law`")]
    #[diagnostic(help("keep `device` for a registered type, or `law` for one that you describe"))]
    DeviceAndLaw,
    /// A figure that describes a rectifier which `device` names.
    #[error("`{key}` describes a rectifier by its law, but `device` names a type")]
    #[diagnostic(help("take `{key}` out, or put `law` in place of `device`"))]
    FigureOfDevice {
        /// The key.
        key: &'static str,
    },
    /// A figure of a law without the law.
    #[error("`{key}` stands without a `law`")]
    #[diagnostic(help(
        "add `law = \"three-halves\"` for a tube or `law = \"straight\"` for silicon or selenium"
    ))]
    FigureWithoutLaw {
        /// The key.
        key: &'static str,
    },
    /// A law without one of its two figures.
    #[error("the law `{law}` has no `{key}`")]
    #[diagnostic(help("{}", law_needs(law)))]
    LawNeeds {
        /// The law.
        law: &'static str,
        /// The figure that is missing.
        key: &'static str,
    },
    /// A figure that the law does not use.
    #[error("the law `{law}` does not use `{key}`")]
    #[diagnostic(help("{}", law_needs(law)))]
    LawIgnores {
        /// The law.
        law: &'static str,
        /// The figure too many.
        key: &'static str,
    },
    /// The whole source resistance and a part of it.
    #[error("`supply_resistance` is the whole source resistance, but `{key}` is given as well")]
    #[diagnostic(help(
        "keep `supply_resistance`, or `winding_resistance` and `primary_resistance`"
    ))]
    WholeAndPart {
        /// The key of the part.
        key: &'static str,
    },
    /// A line voltage of a winding reading that is not there.
    #[error("`winding_at` stands without `winding`")]
    #[diagnostic(help("give the winding's AC volts, rectifier out and heaters lit, as `winding`"))]
    WindingAtAlone,
    /// No volts at a winding.
    #[error("`{key}` is zero, expected volts above zero")]
    #[diagnostic(help("give the volts, or leave the line out where they are not known"))]
    ZeroVolts {
        /// The key.
        key: &'static str,
    },
    /// Plates that no winding drives from a centre tap.
    #[error("a `centre-tap` standby switch needs a centre tap, and the circuit is `{circuit}`")]
    #[diagnostic(help(
        "`ac` switches the winding or the line, `dc` the lead behind the rectifier"
    ))]
    NoCentreTap {
        /// The circuit.
        circuit: &'static str,
    },
    /// A capacitor of a doubler in a circuit that does not have it.
    #[error("`[rectifier.{key}]` belongs to the circuit `{belongs}`, and the circuit is {}", circuit_or_unknown(*circuit))]
    #[diagnostic(help("write `circuit = \"{belongs}\"`, or take the table out"))]
    NotThisCircuit {
        /// The table's last word.
        key: &'static str,
        /// The circuit that has such a capacitor.
        belongs: &'static str,
        /// The circuit given, if any.
        circuit: Option<&'static str>,
    },
    /// A doubler without one of its capacitors.
    #[error("the circuit `{circuit}` has no `[rectifier.{key}]`")]
    #[diagnostic(help("{}", doubler_needs(circuit)))]
    DoublerNeeds {
        /// The circuit.
        circuit: &'static str,
        /// The table that is missing.
        key: &'static str,
    },
    /// A capacitor that is a section and a value at once.
    #[error("{of} has both a `section` and a `capacitance`")]
    #[diagnostic(help(
        "keep `section` for a section of a can, `capacitance` for a part outside the cans"
    ))]
    SectionAndCapacitance {
        /// What it is the capacitor of.
        of: String,
    },
    /// Neither section nor capacitance.
    #[error("{of} has neither a `section` nor a `capacitance`")]
    #[diagnostic(help(
        "give `section` for a section of a can, `capacitance` for a part outside the cans"
    ))]
    NoCapacitance {
        /// What it is the capacitor of.
        of: String,
    },
    /// Series resistance of a capacitor that is not there.
    #[error("{} has an `esr`, but no capacitor", short(of))]
    #[diagnostic(help("give `section` or `capacitance`, or take `esr` out"))]
    EsrAlone {
        /// What it is the capacitor of.
        of: String,
    },
}

fn law_needs(law: &str) -> &'static str {
    if law == "straight" {
        "a straight line takes `drop` and `slope_resistance`: v = drop + slope_resistance × i"
    } else {
        "the three-halves law takes `drop` and `drop_current`, one point of it: i = k v^1.5"
    }
}

fn circuit_or_unknown(circuit: Option<&'static str>) -> String {
    circuit.map_or_else(|| "not given".into(), |circuit| format!("`{circuit}`"))
}

fn doubler_needs(circuit: &str) -> &'static str {
    if circuit == "half-wave-doubler" {
        "a half-wave doubler has its series capacitor between line and rectifier: give its `section` or `capacitance`"
    } else {
        "a full-wave doubler has two capacitors in a stack: give `[rectifier.upper]` and `[rectifier.lower]`"
    }
}
