//! The periodic steady state, by shooting: Newton's method on what one period
//! makes of the states (Aprille and Trick, Proc. IEEE 60, 1972, from memory).

use nalgebra::{DMatrix, DVector};

use super::circuit::Circuit;
use super::complex::Scalar;
use super::error::SupplyError;
use super::estimate;
use super::march::{March, Pace, Paces};
use super::meter::Meter;
use super::modes::Modes;
use super::network::Network;
use super::plain::{Plain, PlainKind};
use super::state::{Steady, Work};
use super::system::System;

/// Steps while the search goes on: each phase without current in few steps,
/// since its modes are exact at any length.
const SEARCH: Paces = Paces {
    on: Pace { first: 0.015, growth: 2.3, most: 0.1 },
    off: Pace { first: 0.25, growth: 2.0, most: 0.5 },
};

/// Steps of the first period, which only has to come near.
const COARSE: Paces = Paces {
    on: Pace { first: 0.03, growth: 2.5, most: 0.2 },
    off: Pace { first: 0.3, growth: 2.0, most: 0.6 },
};

/// Steps without current in the last period, whose points the readings are
/// taken at.
const READING: Pace = Pace { first: 0.008, growth: 2.5, most: 0.14 };

/// Steps of a conduction that lasts one, so that the shortest of a light load
/// gets as many as the longest.
const SHARES: Pace = Pace { first: 0.06, growth: 2.3, most: 0.3 };

/// Changes below this fraction of the peak leave the steps as they are, so that
/// the search ends on the map that the readings are taken on.
const FROZEN: f64 = 0.02;

/// A change of Newton's method below this fraction of the peak is the last: what
/// it leaves is as its square, some 1e-9.
const SMALL: f64 = 2e-4;

/// A period has settled where each state comes back within this part of the
/// source's peak, each node's voltage within this part of its ripple, and each
/// node's charge within this part of what the rectifier brings.
const GAP: f64 = 2e-7;
const RIPPLE_SHARE: f64 = 1e-4;
const CHARGE_SHARE: f64 = 3e-6;

/// Periods before the search is given up.
const MOST_PASSES: u32 = 80;

/// The steady state of a circuit that has been warm for long.
///
/// # Errors
/// The circuit is wrong, or has no steady state that can be found.
pub fn steady(circuit: &Circuit) -> Result<Steady, SupplyError> {
    of_plain(&Plain::new(circuit)?)
}

/// The same from a checked circuit.
pub(super) fn of_plain(plain: &Plain) -> Result<Steady, SupplyError> {
    let network = Network::new(plain);
    if plain.unloaded() {
        return Ok(Steady::unloaded(plain, &network));
    }
    if !network.chokes {
        return shoot(plain, &System::real(network).ok_or(SupplyError::NoModes)?);
    }
    shoot(plain, &System::parted(plain, network).ok_or(SupplyError::NoModes)?)
}

fn shoot<S: Scalar>(plain: &Plain, system: &System<S>) -> Result<Steady, SupplyError> {
    let (network, modes) = (&system.network, &system.open);
    let mut search = Search {
        plain,
        network,
        modes,
        march: March::new(plain, system, COARSE),
        x: estimate::states(plain, network),
        paces: SEARCH,
        passes: 0,
    };
    let mut left = f64::INFINITY;
    while search.passes < MOST_PASSES {
        search.approach()?;
        let mut meter = Meter::new(plain, system);
        search.march.set_paces(Paces { on: search.paces.on, off: reading(plain, modes) });
        search.march.start(0.0, &modes.of_states(&search.x), false);
        search.march.run(plain.period(), &mut |taken| meter.read(taken))?;
        search.march.set_paces(search.paces);
        search.passes += 1;
        left = search.gap();
        if search.settled(&meter) {
            let work = Work {
                passes: search.passes,
                steps: search.march.tried,
                changes: search.march.changes,
            };
            return finished(plain, &meter, network, work);
        }
    }
    Err(SupplyError::NotSettled { passes: search.passes, left })
}

/// Steps without current for the readings: the first one resolves the fastest
/// mode, such as what a choke's current leaves behind when it ceases.
fn reading<S: Scalar>(plain: &Plain, modes: &Modes<S>) -> Pace {
    let fastest = modes.lambda.iter().map(|l| l.size()).fold(0.0, f64::max);
    let share = 0.7 * plain.omega / (std::f64::consts::PI * fastest.max(1e-9));
    Pace { first: share.clamp(2e-5, READING.first), ..READING }
}

fn finished<S: Scalar>(
    plain: &Plain,
    meter: &Meter<'_, S>,
    network: &Network,
    work: Work,
) -> Result<Steady, SupplyError> {
    let waves = meter.waves();
    for (j, (node, wave)) in plain.nodes.iter().zip(waves).enumerate() {
        let held = node.capacitor.is_some() || (j == 0 && !network.doubler.is_empty());
        if node.ampere > 0.0 && held && wave.least() < 0.0 {
            return Err(SupplyError::CannotSupply { node: j + 1, least: wave.least() });
        }
    }
    Ok(Steady::read(plain, network, meter, work))
}

/// The search for states that one period brings back.
struct Search<'a, S> {
    plain: &'a Plain,
    network: &'a Network,
    modes: &'a Modes<S>,
    march: March<'a, S>,
    x: Vec<f64>,
    paces: Paces,
    passes: u32,
}

impl<S: Scalar> Search<'_, S> {
    /// Newton's method until its steps are small enough for the last one to
    /// have left nothing that matters.
    fn approach(&mut self) -> Result<(), SupplyError> {
        let mut best = f64::INFINITY;
        for round in 0..20 {
            if self.passes >= MOST_PASSES {
                return Ok(());
            }
            self.march.start(0.0, &self.modes.of_states(&self.x), true);
            self.march.run(self.plain.period(), &mut |_| {})?;
            self.passes += 1;
            let Some(change) = self.newton() else {
                self.drift()?;
                continue;
            };
            let size = self.volts(&change);
            if size > FROZEN * self.plain.peak || round == 0 {
                self.suit();
            }
            // Newton's step may overshoot from where the rectifier hardly conducts.
            let limit = 0.4 * self.plain.peak;
            let scale = if size > limit { limit / size } else { 1.0 };
            for (x, d) in self.x.iter_mut().zip(&change) {
                *x += scale * d;
            }
            if self.passes > 1 && size < SMALL * self.plain.peak {
                return Ok(());
            }
            if round > 8 && size > 0.5 * best {
                self.drift()?;
            }
            best = best.min(size);
        }
        Ok(())
    }

    /// Fits the steps to the shortest conduction of the last period.
    fn suit(&mut self) {
        let lasted = self.march.shortest_conduction();
        let on = SEARCH.on;
        self.paces.on = Pace {
            first: on.first.min(SHARES.first * lasted),
            growth: on.growth,
            most: on.most.min(SHARES.most * lasted),
        };
        self.march.set_paces(self.paces);
    }

    /// The change of states that brings the period's end onto its start.
    fn newton(&self) -> Option<Vec<f64>> {
        let n = self.network.order();
        if n == 0 {
            return Some(vec![]);
        }
        let mut end = vec![0.0; n];
        self.march.states(&mut end);
        let gap = DVector::from_iterator(n, end.iter().zip(&self.x).map(|(e, x)| e - x));
        let matrix = DMatrix::identity(n, n) - self.march.sensitivity()?;
        let change = matrix.lu().solve(&gap)?;
        change.iter().all(|d| d.is_finite()).then(|| change.as_slice().to_vec())
    }

    /// Lets the circuit run for some periods by itself.
    fn drift(&mut self) -> Result<(), SupplyError> {
        let periods = 10;
        for _ in 0..periods {
            self.march.start(0.0, &self.modes.of_states(&self.x), false);
            self.march.run(self.plain.period(), &mut |_| {})?;
            self.march.states(&mut self.x);
        }
        self.passes += periods;
        Ok(())
    }

    /// What the period changed in each state.
    fn gaps(&self) -> Vec<f64> {
        let mut end = vec![0.0; self.network.order()];
        self.march.states(&mut end);
        for (e, x) in end.iter_mut().zip(&self.x) {
            *e -= x;
        }
        end
    }

    /// Largest difference between the end of the period and its start, V.
    fn gap(&self) -> f64 {
        self.volts(&self.gaps())
    }

    /// Whether a period's end meets its start well enough for what was read of
    /// it: slow modes may be off by a thousand times the gap, a deep node has
    /// little ripple, and a small load little charge.
    fn settled(&self, meter: &Meter<'_, S>) -> bool {
        let gaps = self.gaps();
        let charge = meter.charge();
        let held = self.network.node_state.iter().zip(meter.waves());
        let small =
            held.filter_map(|(place, wave)| Some((place.as_ref()?, wave))).all(|(&k, wave)| {
                let gap = gaps[k].abs();
                gap <= RIPPLE_SHARE * wave.span()
                    && gap * self.network.stores[k] <= CHARGE_SHARE * charge
            });
        small && self.volts(&gaps) < GAP * self.plain.peak
    }

    /// The largest of a set of state changes, a choke's current as the voltage
    /// that it makes at the line frequency.
    fn volts(&self, change: &[f64]) -> f64 {
        let cells = self.network.doubler.len();
        let capacitors = cells + self.network.node_state.iter().flatten().count();
        change.iter().enumerate().fold(0.0, |most: f64, (k, d)| {
            let ohm = if k < capacitors { 1.0 } else { self.plain.omega * self.network.stores[k] };
            most.max((d * ohm).abs())
        })
    }
}

impl Steady {
    /// With nothing drawn, every node stands at the peak and nothing flows.
    fn unloaded(plain: &Plain, network: &Network) -> Self {
        let cell = (plain.peak - plain.law.onset()).max(0.0);
        let inverse = match plain.kind {
            PlainKind::Bridge => plain.peak,
            _ => plain.peak + cell,
        };
        Self::still(plain, network, cell, inverse)
    }
}
