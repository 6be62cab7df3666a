//! A bench: a job, and the readings that a circuit gives on it.

use std::fmt::Write;

use recan::{
    chassis::{Chassis, End},
    job::{self, Job},
    predict::{self, Spot, What},
    prove::{Parts, Proof, prove},
    supply::Circuit,
};

pub(crate) fn example(name: &str) -> String {
    let path = format!("{}/data/jobs/{name}/job.toml", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap()
}

pub(crate) fn job(text: &str) -> Job {
    job::read_safely("job.toml", text, None).unwrap_or_else(|e| panic!("{e:?}"))
}

/// What comes of a job's text.
pub(crate) fn proof(text: &str) -> Proof {
    let job = job(text);
    let chassis = Chassis::of(&job).unwrap_or_else(|e| panic!("{e:?}"));
    prove(&job, &chassis, &Parts::stamped(&job, &chassis)).unwrap_or_else(|e| panic!("{e}"))
}

/// The chassis of an example job and its circuit with the can as stamped.
pub(crate) fn sound(text: &str) -> (Chassis, Circuit) {
    let chassis = Chassis::of(&job(text)).unwrap_or_else(|e| panic!("{e:?}"));
    let circuit = chassis.circuit(chassis.line(), &chassis.stamped(), End::Nominal);
    (chassis, circuit)
}

/// An example job with `[after]` as a meter reads `circuit`: every reading off by
/// what `noise` gives for it, as a factor.
pub(crate) fn read_of(
    text: &str,
    chassis: &Chassis,
    circuit: &Circuit,
    mut noise: impl FnMut() -> f64,
) -> String {
    let figures = predict::figures(circuit, None).unwrap_or_else(|e| panic!("{e}"));
    let names: Vec<&str> = chassis.node_names().collect();
    let (mut dc, mut hum, mut hertz) = (String::new(), String::new(), 0.0);
    for ((place, what), figure) in predict::rows(chassis).into_iter().zip(figures) {
        match (place, what) {
            (Spot::Node(node), What::Dc) => {
                write!(dc, "{} = \"{:.6} V\", ", names[node], figure * noise()).unwrap();
            }
            (Spot::Node(node), What::Hum) => {
                write!(hum, "{} = \"{:.6} V\", ", names[node], figure.max(1e-6) * noise()).unwrap();
            }
            (_, What::HumFrequency) => hertz = figure,
            _ => {}
        }
    }
    let meter = "meter = \"true-rms 1 %\"";
    format!(
        "{text}\n[after]\n{meter}\ndc = {{ {dc} }}\nhum = {{ {hum} }}\nhum_frequency = \"{hertz} Hz\"\n"
    )
}

/// Numbers between 0 and 1 that are the same at every run (the constants are
/// those of Knuth's MMIX generator, from memory).
pub(crate) struct Draws(pub(crate) u64);

impl Draws {
    #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
    pub(crate) fn next(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A factor within `share` of 1.
    pub(crate) fn about(&mut self, share: f64) -> f64 {
        1.0 + share * (2.0 * self.next() - 1.0)
    }
}
