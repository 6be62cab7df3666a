//! What all nodes together draw, from the DC behind the rectifier: the supply solved
//! backwards. Where the can was faulty, its reservoir's capacitance is found along
//! with it from the hum read there: two readings, two unknowns.

use crate::{
    job::{Meter, MeterKind},
    quantity::{amperes, in_volts, microfarads},
    supply::{self, Circuit},
};

/// The supply, the node whose volts were read, and how a current divides.
pub(super) struct Whole<'w> {
    /// The circuit with the capacitors as stamped.
    pub(super) circuit: Circuit,
    /// The node that was read.
    pub(super) at: usize,
    /// DC read there, V.
    pub(super) volts: f64,
    /// What each node draws where the open ones share so many amperes.
    pub(super) divide: &'w dyn Fn(f64) -> Vec<f64>,
}

/// What is drawn by the nodes that nothing else tells of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Found {
    /// Amperes of all of them.
    pub(super) amperes: f64,
    /// Volts that an ampere more takes away, above 0.
    pub(super) slope: f64,
    /// DC with none of it drawn, V.
    pub(super) open: f64,
    /// The first capacitor as a share of the stamped one.
    pub(super) share: f64,
}

/// AC volts read at the first lug.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hum {
    pub(super) volts: f64,
    pub(super) kind: Option<MeterKind>,
}

/// Times that the supply is solved at most: to get beyond the volts, to close in on
/// them, and to find capacitance and current together.
pub(super) const BEYOND: usize = 5;
pub(super) const CLOSING: usize = 10;
pub(super) const TOGETHER: usize = 14;
/// How near is near enough, as shares of volts, of volts where hum is found with them,
/// and of that hum.
const NEAR: f64 = 1e-5;
const NEAR_TOGETHER: f64 = 3e-4;
const NEAR_HUM: f64 = 2e-3;
/// What of a sawtooth lies between its mean and its top, over its rms.
const SAWTOOTH: f64 = 1.732;
/// Shares of the stamped capacitance that a reservoir may have.
const SHARES: (f64, f64) = (0.005, 4.0);
/// Loads above this are not looked for, A.
const MOST_A: f64 = 5.0;

impl Whole<'_> {
    /// DC and hum with so many amperes and such a first capacitor; `None` where the
    /// supply can't hold them.
    fn solved(&self, amperes_open: f64, share: f64, kind: Option<MeterKind>) -> Option<(f64, f64)> {
        let mut circuit = self.circuit.clone();
        for (node, ampere) in circuit.nodes.iter_mut().zip((self.divide)(amperes_open)) {
            node.load = amperes(ampere);
        }
        if let Some(first) = circuit.nodes.first_mut().and_then(|node| node.capacitor.as_mut()) {
            first.capacitance =
                microfarads(crate::quantity::in_microfarads(first.capacitance) * share);
        }
        let steady = supply::steady(&circuit).ok()?;
        let node = steady.nodes.get(self.at)?;
        let hum = Meter { kind, error: None }.hum(node);
        Some((in_volts(node.dc), hum))
    }

    /// The current that leaves the node at its volts, the can being as stamped, by
    /// closing in between one that leaves it above and one below. `guess` is where to
    /// begin. `None` where the supply can't be solved at all. Two solves and at most
    /// [`BEYOND`] + [`CLOSING`] more.
    pub(super) fn find(&self, guess: f64) -> Option<Found> {
        let dc = |ampere: f64| self.solved(ampere, 1.0, None).map(|(dc, _)| dc - self.volts);
        let open = dc(0.0)?;
        let found = |amperes: f64, slope: f64| Found {
            amperes,
            slope,
            open: open + self.volts,
            share: 1.0,
        };
        let near = NEAR * self.volts;
        let mut low = (0.0, open);
        let mut high = (guess, dc(guess));
        if open <= near {
            let slope = high.1.map_or(open.abs() / guess, |above| (open - above) / guess);
            return Some(found(0.0, slope.max(f64::MIN_POSITIVE)));
        }
        for _ in 0..BEYOND {
            let Some(over) = high.1.filter(|over| *over > 0.0) else { break };
            let slope = (low.1 - over) / (high.0 - low.0);
            low = (high.0, over);
            let next = if slope > 0.0 { high.0 + 1.3 * over / slope } else { 4.0 * high.0 };
            high.0 = next.clamp(1.3 * high.0, 8.0 * high.0).min(MOST_A);
            high.1 = dc(high.0);
        }
        if high.1.is_some_and(|over| over > 0.0) {
            return Some(found(high.0, (low.1 - high.1?).max(near) / (high.0 - low.0)));
        }
        // The side that stays is halved, so that both ends close in (Illinois).
        let (mut below, mut last) = (high.1, 0_i8);
        let mut slope = 0.0;
        for _ in 0..CLOSING {
            let middle = match below {
                Some(below) => low.0 + (high.0 - low.0) * low.1 / (low.1 - below),
                None => 0.5 * (low.0 + high.0),
            };
            let at = dc(middle);
            if let Some(at) = at {
                let steepest = if middle > low.0 { (low.1 - at) / (middle - low.0) } else { 0.0 };
                slope = if steepest > 0.0 { steepest } else { slope };
                if at.abs() <= near {
                    return Some(found(middle, slope.max(f64::MIN_POSITIVE)));
                }
            }
            match at {
                Some(at) if at > 0.0 => {
                    low = (middle, at);
                    below = below.map(|below| if last > 0 { 0.5 * below } else { below });
                    last = 1;
                }
                at => {
                    high.0 = middle;
                    below = at;
                    low.1 = if last < 0 { 0.5 * low.1 } else { low.1 };
                    last = -1;
                }
            }
        }
        Some(found(0.5 * (low.0 + high.0), slope.max(f64::MIN_POSITIVE)))
    }

    /// The same with the first capacitor free and the hum across it read. `alone` is
    /// what [`find`](Self::find) found. `None` where the two readings fit no current
    /// and capacitance together.
    ///
    /// Newton's steps in the current and the logarithm of the capacitance, with what
    /// a sawtooth tells of the slopes: hum goes by current over capacitance, and √3
    /// times its rms is missing from the volts.
    pub(super) fn find_with(&self, alone: Found, hum: Hum) -> Option<Found> {
        let whole = |amperes: f64| (self.divide)(amperes).iter().sum::<f64>().max(1e-6);
        let (mut at, mut share) = (alone.amperes, 1.0_f64);
        let mut slope = alone.slope;
        for step in 0..TOGETHER {
            let solved = self.solved(at, share, hum.kind);
            let Some((dc, shown)) = solved.filter(|(_, shown)| *shown > 0.0) else {
                // Too much for so small a capacitor: back towards what holds.
                (at, share) = (0.7 * at, (1.5 * share).min(SHARES.1));
                continue;
            };
            let (over, off) = (dc - self.volts, (shown / hum.volts).ln());
            if over.abs() <= NEAR_TOGETHER * self.volts && off.abs() <= NEAR_HUM {
                return Some(Found { amperes: at, slope, share, ..alone });
            }
            let missing = SAWTOOTH * shown;
            if step == 0 {
                slope = (alone.slope - missing / whole(at)).max(0.3 * alone.slope);
            }
            let next = (at + (over + missing * off) / slope).clamp(0.0, MOST_A);
            let next = next.clamp(0.4 * at, (2.5 * at).max(0.01));
            share = (share * off.exp() * whole(next) / whole(at)).clamp(SHARES.0, SHARES.1);
            at = next;
        }
        None
    }
}
