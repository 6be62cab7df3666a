//! Means, rms values and extremes of everything that a steady state reports.

use super::areas::Areas;
use super::complex::Scalar;
use super::extremes::Extremes;
use super::march::{Taken, after};
use super::modes::Form;
use super::network::{Network, Row};
use super::plain::{Plain, PlainKind};
use super::stage::Unknown;
use super::system::System;
use super::weights::{POINTS, QUADRATURE};

/// What is known of one waveform after a period.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wave {
    /// What differences are taken from, so that small ripple keeps its digits.
    base: f64,
    last: f64,
    sum: f64,
    squares: f64,
    range: Extremes,
}

/// The meter readings of one period.
#[derive(Debug)]
pub(super) struct Meter<'a, S> {
    system: &'a System<S>,
    forms: Vec<Form<S>>,
    forced: Vec<Form<S>>,
    waves: Vec<Wave>,
    /// Integrals in the open and in the forced modes.
    areas: [Areas<S>; 2],
    /// Node voltages at the points of each step, nodes in turn, each from its base.
    samples: Vec<[f64; 3]>,
    /// Length of each step, s.
    steps: Vec<f64>,
    plain: &'a Plain,
    points: Vec<[S; 3]>,
    started: bool,
    length: f64,
    charge: [f64; 2],
    heating: [f64; 2],
    winding: f64,
    energy: f64,
    loss: f64,
    peak: Extremes,
    inverse: Extremes,
}

/// Readings of the rectifier and what feeds it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rectified {
    pub(super) peak: f64,
    pub(super) average: f64,
    pub(super) rms: f64,
    pub(super) winding: f64,
    pub(super) inverse: f64,
    pub(super) power: f64,
    pub(super) loss: f64,
}

impl Wave {
    const NEW: Self = Self { base: 0.0, last: 0.0, sum: 0.0, squares: 0.0, range: Extremes::NONE };

    fn take(&mut self, first: bool, at: [f64; 3], step: f64, ranged: bool) {
        if first {
            self.base = at[0];
            self.last = 0.0;
        }
        let d = at.map(|x| x - self.base);
        for (x, q) in d.iter().zip(QUADRATURE) {
            self.sum += step * q * x;
            self.squares += step * q * x * x;
        }
        if ranged {
            let entering = if first { d[0] } else { self.last };
            self.range.step(entering, d);
        }
        self.last = d[2];
    }

    /// Rms of what is left when the mean is taken off.
    fn ripple(&self, length: f64) -> f64 {
        let mean = self.sum / length;
        (self.squares / length - mean * mean).max(0.0).sqrt()
    }

    /// From least to greatest.
    pub(super) fn span(&self) -> f64 {
        self.range.most - self.range.least
    }

    pub(super) fn most(&self) -> f64 {
        self.base + self.range.most
    }

    pub(super) fn least(&self) -> f64 {
        self.base + self.range.least
    }
}

impl<'a, S: Scalar> Meter<'a, S> {
    /// A meter on everything that a steady state reports.
    pub(super) fn new(plain: &'a Plain, system: &'a System<S>) -> Self {
        let of = |network, modes: &super::modes::Modes<S>| -> Vec<_> {
            rows(network).iter().map(|row| modes.form(row)).collect()
        };
        let forms = of(&system.network, &system.open);
        let forced = system.forced.as_ref().map(|(n, m)| of(n, m)).unwrap_or_default();
        let most = system.network.order();
        let forced_count = system.forced_modes().map_or(0, |modes| modes.lambda.len());
        Self {
            system,
            forced,
            waves: vec![Wave::NEW; forms.len()],
            areas: [Areas::new(system.open.lambda.len()), Areas::new(forced_count)],
            forms,
            samples: Vec::new(),
            steps: Vec::new(),
            plain,
            points: vec![[S::ZERO; 3]; most],
            started: false,
            length: 0.0,
            charge: [0.0; 2],
            heating: [0.0; 2],
            winding: 0.0,
            energy: 0.0,
            loss: 0.0,
            peak: Extremes::NONE,
            inverse: Extremes::NONE,
        }
    }

    /// Reads one step.
    pub(super) fn read(&mut self, taken: &Taken<'_, S>) {
        let (modes, forms) = match &self.system.forced {
            Some((_, modes)) if taken.forced => (modes, &self.forced),
            _ => (&self.system.open, &self.forms),
        };
        for (k, w) in taken.weights.modes.iter().enumerate() {
            let z = taken.before[k];
            self.points[k] = [0, 1, 2].map(|i| after(modes, w, k, z, taken.found, i));
        }
        self.areas[usize::from(taken.forced)].add(modes, taken, &self.points);
        let current = &taken.found.drive;
        let nodes = self.system.network.nodes.len();
        for (row, (form, wave)) in forms.iter().zip(&mut self.waves).enumerate() {
            let mut at = [form.constant; 3];
            for i in 0..3 {
                at[i] += form.inputs[0] * current[0][i] + form.inputs[1] * current[1][i];
            }
            for (&w, z) in form.modes.iter().zip(&self.points) {
                for i in 0..3 {
                    at[i] += (w * z[i]).re();
                }
            }
            // Of the currents only mean and rms are read.
            let ranged = row < nodes || row >= 3 * nodes;
            wave.take(!self.started, at, taken.step, ranged);
            if row < nodes {
                self.samples.push(at.map(|x| x - wave.base));
            }
        }
        self.steps.push(taken.step);
        self.started = true;
        self.length += taken.step;
        self.rectifier(taken);
    }

    fn rectifier(&mut self, taken: &Taken<'_, S>) {
        let (current, law) = (&taken.found.current, self.plain.law);
        if *current == [[0.0; 3]; 2] {
            self.idle(taken);
            return;
        }
        for i in 0..3 {
            let share = taken.step * QUADRATURE[i];
            let sine = (self.plain.omega * (taken.start + POINTS[i] * taken.step)).sin();
            for p in 0..self.system.open.paths.len() {
                let x = current[p][i];
                self.charge[p] += share * x;
                self.heating[p] += share * x * x;
                self.energy += share * x * self.system.open.signs[p] * self.plain.peak * sine;
                if x != 0.0 {
                    self.loss += share * x * law.drop(taken.found.unknown[p][i]).0;
                }
            }
            self.winding += share * (current[0][i] - current[1][i]).powi(2);
        }
        for p in 0..self.system.open.paths.len() {
            self.peak.step(taken.entering[p], current[p]);
            if self.plain.kind == PlainKind::Bridge {
                self.bridge(taken, p);
            } else if current[p] == [0.0; 3] {
                let mut room = taken.found.room[p].map(|r| r - law.onset());
                if matches!(self.plain.kind, PlainKind::FullWaveDoubler { .. }) {
                    // Its plates share the source, which the other one loads.
                    for i in 0..3 {
                        room[i] -= self.plain.source_ohm * current[1 - p][i];
                    }
                }
                self.inverse.step(room[0], room);
            }
        }
    }

    /// A step without current has only its inverse voltage.
    fn idle(&mut self, taken: &Taken<'_, S>) {
        if self.plain.kind == PlainKind::Bridge {
            return;
        }
        for p in 0..self.system.open.paths.len() {
            let room = taken.found.room[p].map(|r| r - self.plain.law.onset());
            self.inverse.step(room[0], room);
        }
    }

    /// A diode of a bridge stands against the output and what one of the
    /// conducting pair drops.
    fn bridge(&mut self, taken: &Taken<'_, S>, p: usize) {
        let (found, plain) = (taken.found, self.plain);
        if found.current[p] == [0.0; 3] {
            return;
        }
        for i in 0..3 {
            let sine = (plain.omega * (taken.start + POINTS[i] * taken.step)).sin();
            let across = self.system.open.signs[p] * plain.peak * sine
                - plain.source_ohm * (found.current[p][i] - found.current[1 - p][i]);
            self.inverse.point(across - 0.5 * plain.law.drop(found.unknown[p][i]).0);
        }
    }

    /// Mean of a node's ripple, rectified. The kinks at its zeros cost up to
    /// half a percent.
    pub(super) fn rectified_ripple(&self, node: usize) -> f64 {
        let (nodes, wave) = (self.system.network.nodes.len(), &self.waves[node]);
        let mean = wave.sum / self.length;
        let of_node = self.samples.iter().skip(node).step_by(nodes.max(1));
        let step = |(at, step): (&[f64; 3], &f64)| {
            at.iter().zip(QUADRATURE).map(|(x, q)| q * (x - mean).abs()).sum::<f64>() * step
        };
        of_node.zip(&self.steps).map(step).sum::<f64>() / self.length
    }

    /// Readings of the rectifier.
    pub(super) fn rectified(&self) -> Rectified {
        let per = match self.plain.kind {
            // The two plates change places every half period.
            PlainKind::FullWave | PlainKind::Bridge => 2.0 * self.length,
            _ => self.length,
        };
        let two = matches!(self.plain.kind, PlainKind::FullWave | PlainKind::Bridge);
        let plate = |x: [f64; 2]| if two { x[0] + x[1] } else { x[0].max(x[1]) };
        let rms = (plate(self.heating) / per).sqrt();
        let peak = self.peak.most.max(0.0);
        let inverse = self.inverse.most.max(0.0);
        Rectified {
            peak,
            average: plate(self.charge) / per,
            rms,
            winding: if self.plain.kind == PlainKind::FullWave {
                rms
            } else {
                (self.winding / self.length).sqrt()
            },
            inverse,
            power: self.energy / self.length,
            loss: self.loss / self.length,
        }
    }

    /// Mean of a waveform.
    pub(super) fn mean(&self, row: usize) -> f64 {
        let open = self.areas[0].of(&self.forms[row]);
        let forced = self.forced.get(row).map_or(0.0, |form| self.areas[1].of(form));
        (open + forced) / self.length
    }

    /// Rms of what is left of a waveform when its mean is taken off.
    pub(super) fn ripple(&self, row: usize) -> f64 {
        self.waves[row].ripple(self.length)
    }

    /// How many nodes there are.
    pub(super) fn node_count(&self) -> usize {
        self.system.network.nodes.len()
    }

    /// Rms of a waveform, its mean included.
    pub(super) fn rms(&self, row: usize) -> f64 {
        self.mean(row).hypot(self.ripple(row))
    }

    /// Charge that all paths carried, C.
    pub(super) fn charge(&self) -> f64 {
        self.charge[0] + self.charge[1]
    }

    /// The waveforms in the order of the rows.
    pub(super) fn waves(&self) -> &[Wave] {
        &self.waves
    }
}

/// Everything that a steady state reads, in this order: node voltages,
/// capacitor currents of the nodes (zero rows where there is none), feed
/// currents (a zero row for the first node), the doubler's own capacitors'
/// voltages, then their currents.
fn rows(network: &Network) -> Vec<Row> {
    let zero = || Row::zero(network.order());
    let mut rows = network.nodes.clone();
    for place in &network.node_state {
        rows.push(place.map_or_else(zero, |k| network.rates[k].clone().scaled(network.stores[k])));
    }
    rows.extend(network.feeds.iter().cloned());
    rows.extend(network.doubler.iter().cloned());
    for k in 0..network.doubler.len() {
        rows.push(network.rates[k].clone().scaled(network.stores[k]));
    }
    rows
}
