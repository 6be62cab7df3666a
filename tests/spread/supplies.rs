//! Supplies that studies are tried on, and studies of them.

use recan::{
    chassis::Chassis,
    job::{self},
    quantity::{Tolerance, microfarads, ohms, volts},
    set::Connection,
    spread::{LineBand, Piece, Shape, Standing, Study, StudyInput},
    supply::Capacitor,
};

/// Invented: silicon, a reservoir, and a decoupling node behind 4.7 kΩ.
pub(crate) const TWO_NODES: &str = r#"
[mains]
volts = "117 V"
frequency = "60 Hz"
high = "126 V"
[rectifier]
circuit = "full-wave"
device = "silicon"
winding = "300 V"
supply_resistance = "100 Ω"
[[node]]
name = "B1"
capacitance = "40 µF"
load = "60 mA"
[[node]]
name = "B2"
from = "B1"
resistor = "4.7 kΩ"
capacitance = "20 µF"
load = "10 mA"
"#;

pub(crate) fn chassis(text: &str) -> Chassis {
    Chassis::of(&job::read_safely("job.toml", text, None).unwrap_or_else(|e| panic!("{e:?}")))
        .unwrap()
}

/// One capacitor with a band of its own, rated 450 V.
pub(crate) fn standing(uf: f64, band: (f64, f64), shape: Shape) -> Standing {
    Standing {
        connection: Connection::Single,
        pieces: vec![Piece {
            capacitor: Capacitor { capacitance: microfarads(uf), esr: ohms(0.0) },
            tolerance: Tolerance::new(band.0, band.1).unwrap(),
            shape,
        }],
        rated: Some(volts(450.0)),
    }
}

/// What varies: bands of the second capacitor, original and substitute.
pub(crate) struct Varied {
    pub(crate) original: Standing,
    pub(crate) substitute: Standing,
    pub(crate) line: LineBand,
    pub(crate) load_share: f64,
}

pub(crate) fn study(chassis: &Chassis, varied: &Varied, draws: u32, seed: u64) -> Study {
    threaded(chassis, varied, draws, seed, 2)
}

pub(crate) fn threaded(
    chassis: &Chassis,
    varied: &Varied,
    draws: u32,
    seed: u64,
    threads: usize,
) -> Study {
    let still = standing(40.0, (0.0, 0.0), Shape::Uniform);
    let original = [still.clone(), varied.original.clone()];
    let substitute = [None, Some(varied.substitute.clone())];
    let input = StudyInput {
        chassis,
        original: &original,
        substitute: &substitute,
        line: varied.line,
        load_share: varied.load_share,
        draws,
        seed,
        threads,
    };
    Study::run(&input).unwrap()
}
