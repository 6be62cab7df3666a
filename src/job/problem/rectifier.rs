//! Problems of the rectifier: how it is described and connected.

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
    /// A node ahead of a DC switch that is not there.
    #[error("`standby_after` goes with `standby = \"dc\"` alone")]
    #[diagnostic(help("only a switch behind the rectifier has nodes ahead of it"))]
    StandbyAfterAlone,
    /// A capacitor of a doubler in a circuit that does not have it.
    #[error(
        "`[rectifier.{key}]` belongs to the circuit `{belongs}`, and the circuit is `{circuit}`"
    )]
    #[diagnostic(help("write `circuit = \"{belongs}\"`, or take the table out"))]
    NotThisCircuit {
        /// The table's last word.
        key: &'static str,
        /// The circuit that has such a capacitor.
        belongs: &'static str,
        /// The circuit given.
        circuit: &'static str,
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
}

fn law_needs(law: &str) -> &'static str {
    if law == "straight" {
        "a straight line takes `drop` and `slope_resistance`: v = drop + slope_resistance × i"
    } else {
        "the three-halves law takes `drop` and `drop_current`, one point of it: i = k v^1.5"
    }
}
