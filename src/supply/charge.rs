//! The charge of empty capacitors, at the phase of the line that is worst for
//! what is asked.
//!
//! The current of a plate into an empty reservoir is greatest at the crest: no
//! source is higher and no capacitor emptier later. What heats the plate in the
//! whole charge varies gently with the phase and is greatest some 20° to 60°
//! before the crest. A doubler is tried in both polarities. Where chokes ring,
//! every node has a worst phase of its own, and behind an input choke so has the
//! current: phases all over the period are tried, and between them the one at
//! which a parabola through the worst and its neighbours is highest.

use super::complex::Scalar;
use super::error::SupplyError;
use super::extremes::Extremes;
use super::march::{March, Pace, Paces, Taken, after};
use super::modes::{Form, Modes};
use super::network::Network;
use super::plain::Plain;
use super::system::System;
use super::weights::QUADRATURE;

/// Line periods before a charge counts as over.
const MOST_PERIODS: u32 = 300;

/// A charge is over when a whole line period adds less than this part to the
/// heating before it: with a bleeder the current never ceases.
const OVER: f64 = 0.01;

/// Phases in half a period that are tried where chokes are.
const PHASES: usize = 6;

/// Between the phases that a parabola is laid through, as a fraction of half a
/// period: 30°.
const APART: f64 = 1.0 / 6.0;

/// A parabola that rises less than this part above the worst phase tried is not
/// worth another charge.
const GAIN: f64 = 1e-3;

const STEPS: Paces = Paces {
    on: Pace { first: 0.01, growth: 2.5, most: 0.12 },
    off: Pace { first: 0.1, growth: 1.4, most: 0.2 },
};

/// What is asked of a charge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    /// Everything.
    All,
    /// The greatest current alone.
    Current,
    /// The heating alone.
    Heating,
}

/// What the worst phase brought.
#[derive(Debug, Default)]
pub(super) struct Worst {
    /// Greatest voltage of each node where chokes are, V.
    pub(super) nodes: Vec<f64>,
    /// Greatest current of a plate, A.
    pub(super) current: f64,
    /// Greatest heating of a plate, A² s.
    pub(super) heating: f64,
}

/// The worst of the phases that matter.
pub(super) fn worst<S: Scalar>(
    plain: &Plain,
    system: &System<S>,
    wanted: Wanted,
) -> Result<Worst, SupplyError> {
    let doubler = plain.lift() > 1.0;
    let late = plain.choke_input() && !doubler;
    if wanted == Wanted::Current && !doubler && !late {
        return Ok(Worst { current: at_crest(plain, system)?, ..Worst::default() });
    }
    let mut phases = Phases { plain, system, wanted, tried: vec![] };
    let heating = if late { phases.all_over()? } else { phases.up_to_crests(doubler)? };
    let current = if late { phases.worst_of(|tried| tried.current)? } else { phases.current() };
    let nodes = if wanted == Wanted::All && system.network.chokes {
        phases.all_over()?;
        (0..plain.nodes.len())
            .map(|j| phases.worst_of(|tried| tried.nodes[j]))
            .collect::<Result<_, _>>()?
    } else {
        vec![]
    };
    Ok(Worst { nodes, current, heating })
}

/// Current of a plate when the switch closes at the crest on empty capacitors.
fn at_crest<S: Scalar>(plain: &Plain, system: &System<S>) -> Result<f64, SupplyError> {
    let mut march = March::new(plain, system, STEPS);
    let crest = 0.5 * std::f64::consts::PI / plain.omega;
    march.start(crest, &vec![S::ZERO; system.open.lambda.len()], false);
    let current = march.current();
    // Without any resistance in the path no current is the answer.
    let found = current.is_finite() && (current > 0.0 || plain.peak <= plain.law.onset());
    if found { Ok(current) } else { Err(SupplyError::NoCurrent { at: crest }) }
}

/// What one phase brought.
struct Tried {
    /// Half periods after the rising zero.
    phase: f64,
    worst: Worst,
}

/// The phases tried so far.
struct Phases<'a, S> {
    plain: &'a Plain,
    system: &'a System<S>,
    wanted: Wanted,
    tried: Vec<Tried>,
}

impl<S: Scalar> Phases<'_, S> {
    /// Phases all over the period; the greatest heating. One plate that is
    /// switched on while it rests begins where it would have begun.
    fn all_over(&mut self) -> Result<f64, SupplyError> {
        for k in 0..self.count() {
            self.charge(place(k))?;
        }
        self.worst_of(|tried| tried.heating)
    }

    /// How many phases lie all over the period.
    fn count(&self) -> usize {
        if self.plain.lift() > 1.0 { 2 * PHASES } else { PHASES }
    }

    /// The greatest of a figure over the phases all over the period and one
    /// where it may be greater still.
    fn worst_of(&mut self, figure: impl Fn(&Worst) -> f64) -> Result<f64, SupplyError> {
        let mut at = vec![];
        for k in 0..self.count() {
            at.push(figure(self.charge(place(k))?));
        }
        let count = at.len();
        let best = (0..count).fold(0, |best, k| if at[k] > at[best] { k } else { best });
        let [a, b, c] = [at[(best + count - 1) % count], at[best], at[(best + 1) % count]];
        let (slope, bend) = (0.5 * (c - a), 2.0 * b - a - c);
        if bend <= 0.0 || 0.5 * slope * slope / bend < GAIN * b {
            return Ok(b);
        }
        let turn = place(best) + APART * slope / bend;
        Ok(figure(self.charge(turn)?).max(b))
    }

    /// The greatest heating of the phases up to a crest; a doubler has two.
    fn up_to_crests(&mut self, doubler: bool) -> Result<f64, SupplyError> {
        let first = self.rising(0.0)?;
        let rising = if doubler { [first, self.rising(1.0)?] } else { [first; 2] };
        let (best, most) = if rising[0].1 >= rising[1].1 { rising[0] } else { rising[1] };
        if self.wanted == Wanted::Current {
            return Ok(most);
        }
        Ok(self.charge(best)?.heating.max(most))
    }

    /// Three phases up to the crest after `from` half periods; the phase at
    /// which the parabola through their heating is highest, and the greatest.
    fn rising(&mut self, from: f64) -> Result<(f64, f64), SupplyError> {
        let mut heat = [0.0; 3];
        for (k, heat) in (1_u32..).zip(&mut heat) {
            *heat = self.charge(from + f64::from(k) * APART)?.heating;
        }
        let [a, b, c] = heat;
        let (slope, bend) = (0.5 * (c - a), a - 2.0 * b + c);
        let turn = if bend < 0.0 { -slope / bend } else { (c - a).signum() };
        let greatest = heat.into_iter().fold(0.0, f64::max);
        Ok((from + APART * (2.0 + turn.clamp(-2.0, 1.2)), greatest))
    }

    /// The greatest current so far.
    fn current(&self) -> f64 {
        self.tried.iter().map(|tried| tried.worst.current).fold(0.0, f64::max)
    }

    /// One charge from a phase in half periods, unless it was made before.
    fn charge(&mut self, phase: f64) -> Result<&Worst, SupplyError> {
        let known = self.tried.iter().position(|tried| (tried.phase - phase).abs() < 1e-9);
        let at = known.unwrap_or(self.tried.len());
        if known.is_none() {
            let mut charge = Charge::new(self.system, self.wanted);
            let time = phase * std::f64::consts::PI / self.plain.omega;
            charge.run(self.plain, self.system, time)?;
            self.tried.push(Tried { phase, worst: charge.worst() });
        }
        Ok(&self.tried[at].worst)
    }
}

/// A phase of those all over the period, in half periods.
fn place(k: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a dozen at most")]
    let k = k as f64;
    k * APART
}

/// How long chokes and capacitors may take to pass their first crest: a
/// period of the slowest ringing that they could have; s.
fn ringing_time(plain: &Plain, network: &Network) -> f64 {
    if !network.chokes {
        return 0.0;
    }
    let henry: f64 = plain.nodes.iter().map(|n| n.henry).sum();
    let farad: f64 = plain.nodes.iter().filter_map(|n| n.capacitor).map(|c| c.0).sum();
    2.0 * std::f64::consts::PI * (henry * farad).sqrt()
}

/// One charge of empty capacitors.
struct Charge<S> {
    wanted: Wanted,
    forms: Vec<Form<S>>,
    forced: Vec<Form<S>>,
    ranges: Vec<Extremes>,
    points: Vec<[S; 3]>,
    peak: Extremes,
    heating: [f64; 2],
}

impl<S: Scalar> Charge<S> {
    fn new(system: &System<S>, wanted: Wanted) -> Self {
        let of = |network: &Network, modes: &Modes<S>| -> Vec<_> {
            network.nodes.iter().map(|row| modes.form(row)).collect()
        };
        let ranged = system.network.chokes && wanted == Wanted::All;
        let forms = if ranged { of(&system.network, &system.open) } else { vec![] };
        let forced = system.forced.as_ref().map(|(n, m)| of(n, m)).unwrap_or_default();
        Self {
            wanted,
            forced,
            ranges: vec![Extremes::NONE; forms.len()],
            forms,
            points: vec![[S::ZERO; 3]; system.network.order()],
            peak: Extremes::NONE,
            heating: [0.0; 2],
        }
    }

    fn worst(&self) -> Worst {
        Worst {
            nodes: self.ranges.iter().map(|range| range.most.max(0.0)).collect(),
            current: self.peak.most.max(0.0),
            heating: self.heating[0].max(self.heating[1]),
        }
    }

    fn run(&mut self, plain: &Plain, system: &System<S>, time: f64) -> Result<(), SupplyError> {
        let least = match self.wanted {
            Wanted::Heating if !plain.choke_input() => 0.0,
            _ => ringing_time(plain, &system.network),
        };
        let half = std::f64::consts::PI / plain.omega;
        let mut march = March::new(plain, system, STEPS);
        march.start(time, &vec![S::ZERO; system.open.lambda.len()], false);
        let mut counted = None;
        for periods in 1..=MOST_PERIODS {
            let before = self.heating[0] + self.heating[1];
            let until = time + 2.0 * f64::from(periods) * half;
            march.run(until, &mut |taken| self.read(system, taken))?;
            let after = self.heating[0] + self.heating[1];
            let late = until - time > least;
            // Behind an input choke current comes late; elsewhere only the nodes do.
            let over = periods > 1 && (late || !plain.choke_input());
            // A half-wave rectifier rests for every other half, so whole periods count.
            if over && after - before < OVER * after {
                counted = counted.or(Some(self.heating));
            }
            let enough = counted.is_some() || self.wanted == Wanted::Current;
            if periods > 1 && late && enough {
                break;
            }
        }
        self.heating = counted.unwrap_or(self.heating);
        Ok(())
    }

    fn read(&mut self, system: &System<S>, taken: &Taken<'_, S>) {
        let current = &taken.found.current;
        for p in 0..system.open.paths.len() {
            self.peak.step(taken.entering[p], current[p]);
            for i in 0..3 {
                self.heating[p] += taken.step * QUADRATURE[i] * current[p][i] * current[p][i];
            }
        }
        if self.forms.is_empty() {
            return;
        }
        let (modes, forms) = match &system.forced {
            Some((_, modes)) if taken.forced => (modes, &self.forced),
            _ => (&system.open, &self.forms),
        };
        let drive = &taken.found.drive;
        for (k, w) in taken.weights.modes.iter().enumerate() {
            let z = taken.before[k];
            self.points[k] = [0, 1, 2].map(|i| after(modes, w, k, z, taken.found, i));
        }
        for (form, range) in forms.iter().zip(&mut self.ranges) {
            for i in 0..3 {
                let mut v =
                    form.constant + form.inputs[0] * drive[0][i] + form.inputs[1] * drive[1][i];
                for (&w, z) in form.modes.iter().zip(&self.points) {
                    v += (w * z[i]).re();
                }
                range.point(v);
            }
        }
    }
}
