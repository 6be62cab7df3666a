//! The peak that a section sees before the tubes draw current: at switching on, and
//! ahead of a standby switch each time the set stands by.

use super::{
    Bank, Grade, Place, Rule, Ruling, Sink, Words,
    place::{AtSupply, InDoubler, PeakBasis},
    supply::{AtLines, SupplyCase, Trial, Worked},
    volts::doubted,
    words::v,
};
use crate::{
    facts::{Role, Warming},
    job::Point,
    quantity::{clean, four, in_volts},
    supply::Place as Spot,
};

/// How far the rating may be passed at the measured line with care (`limits.md`; common
/// practice, no source).
const OVER: f64 = 1.02;
/// The same at high line in a series string, where B+ never stands without its loads.
const STRING: f64 = 1.25;

/// What a section must stand before the tubes draw.
#[derive(Clone, Copy)]
struct Peak {
    /// At today's line and at high line, V.
    v: AtLines<f64>,
    /// How the rectifier warms together with its loads.
    warming: Option<Warming>,
    /// √2 × winding at high line, where something that draws holds it below that.
    only_held_below: Option<f64>,
    /// Whether what holds it is a bleeder behind an input choke.
    by_bleeder: bool,
}

impl Peak {
    fn of(at: &AtSupply, peaks: AtLines<f64>) -> Self {
        Self {
            v: peaks,
            warming: at.warming,
            only_held_below: at.peak.is_held().then_some(at.open_v.high),
            by_bleeder: at.peak == PeakBasis::Bled,
        }
    }

    /// The peak against the rating (`limits.md`, three rows of `cold-start`).
    fn against(&self, bank: &Bank) -> Ruling {
        let (rated, surge) = (bank.rated_v, bank.surge_limit_v());
        let ruling = match self.warming {
            None => {
                let high = Ruling::at_most(self.v.high, rated, surge.max(rated));
                let care = bank.surge_v.unwrap_or(rated).max(clean(OVER * rated));
                let today = Ruling::at_most(self.v.measured, rated, care);
                // Where today's line is within the rating high line decides.
                if today.grade() == Grade::Pass { high } else { today.or_worse(high) }
            }
            Some(Warming::IndirectlyHeated) => {
                Ruling::at_most(self.v.high, rated, surge.max(rated))
            }
            Some(Warming::SeriesString) => {
                let pass = surge.max(rated);
                Ruling::at_most(self.v.high, pass, clean(STRING * rated).max(pass))
            }
        };
        match self.only_held_below {
            Some(open) => ruling.or_worse(Ruling::at_most(open, rated, f64::INFINITY)),
            None => ruling,
        }
    }

    fn judge(&self, place: &Place, bank: &Bank, sink: &mut impl Sink) {
        let ruling = doubted(place, self.against(bank));
        sink.judged(Rule::ColdStart, Some(place.section), ruling, || self.words(bank, ruling));
    }

    fn words(&self, bank: &Bank, ruling: Ruling) -> Words {
        let rated = bank.rated_v;
        // What holds only while something draws is shown as it is held.
        let is_open = self.only_held_below == Some(ruling.value);
        let shown = if is_open { self.v.high } else { ruling.value };
        let why = match ruling.grade() {
            Grade::Fail if self.v.measured.max(self.v.high) > rated => ", over the rating",
            Grade::Caution if shown > rated && self.warming == Some(Warming::SeriesString) => {
                ", but the string warms before B+ stands without its loads"
            }
            Grade::Caution if shown <= self.v.measured && shown > rated => {
                ", a shade over the rating"
            }
            Grade::Caution if self.v.high > rated => ", over the rating for seconds at high line",
            Grade::Caution if self.by_bleeder => ", only while the bleeder holds",
            Grade::Caution if self.only_held_below.is_some() => ", only while the load draws",
            Grade::Pass | Grade::Caution | Grade::Fail => "",
        };
        let says = format!("{} at switch-on, rated {}{why}", v(shown), v(rated));
        let held = self.only_held_below.map_or_else(String::new, |open| {
            format!("; {} V (√2 × winding) if nothing draws", four(open))
        });
        let working = format!(
            "{} V today, {} V at high line{held}; rated {} V, for seconds {}",
            four(self.v.measured),
            four(self.v.high),
            four(rated),
            bank.surge_working()
        );
        Words::worked(says, working)
    }
}

/// Rule `cold-start` as far as no other choice changes it: by line and winding. Behind a
/// choke, or where something that draws holds it, the best that it can come to.
pub fn alone(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let Some(at) = place.supply else {
        match open(place) {
            Some(peak) => peak.judge(place, bank, sink),
            None => unknown(place, sink),
        }
        return;
    };
    let peak = Peak::of(&at, at.open_v);
    match (at.spot, at.peak) {
        (None, _) => {}
        (Some(_), PeakBasis::Winding) => peak.judge(place, bank, sink),
        // A choke can only add to it.
        (Some(_), PeakBasis::Overshoot) => sink.at_best(peak.against(bank).grade()),
        (Some(_), PeakBasis::Bled | PeakBasis::Drawn) => {
            sink.at_best(Ruling::at_most(at.open_v.high, bank.rated_v, f64::INFINITY).grade());
        }
    }
}

/// Rule `cold-start` with the whole set fitted, where that tells more than [`alone`].
pub fn with_set(trial: &Trial, place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let Some(at) = place.supply.filter(|at| at.peak != PeakBasis::Winding) else { return };
    if let Some(peaks) = peaks(trial.worked, &at) {
        Peak::of(&at, peaks).judge(place, bank, sink);
    }
}

/// What line and winding tell where the supply is not known whole; a section of which
/// nobody told the place may stand on B+, a bypass does not.
fn open(place: &Place) -> Option<Peak> {
    let open = place.here.open.filter(|_| place.role() != Some(Role::Bypass))?;
    Some(Peak {
        v: AtLines { measured: in_volts(open.measured), high: in_volts(open.high) },
        warming: open.warming,
        only_held_below: None,
        by_bleeder: false,
    })
}

/// Rule `cold-start` where the winding's volts are not known: a caution where B+ can
/// stand without its loads, else not judged.
fn unknown(place: &Place, sink: &mut impl Sink) {
    let elsewhere = place.here.elsewhere || place.here.bias.is_some();
    if place.supply.is_some() || elsewhere || place.role() == Some(Role::Bypass) {
        return;
    }
    let risky = match &place.facts.rectifier {
        Some(rectifier) => !rectifier.is_indirectly_heated(),
        None => place.facts.has_nodes,
    };
    let words = || "switch-on volts not known: read the winding's volts, rectifier out".into();
    if risky {
        sink.ruled(Rule::ColdStart, Some(place.section), Grade::Caution, words);
    } else {
        sink.not_judged(Rule::ColdStart, Some(place.section), words);
    }
}

/// Whether a rating holds only while a bleeder or a load does.
pub fn leans_on_a_bleeder(place: &Place, bank: &Bank) -> bool {
    place.supply.is_some_and(|at| at.peak.is_held() && bank.rated_v < at.open_v.high)
}

/// Rule `standby`: ahead of a switch in the direct current the no-load peak stands each
/// time the set stands by.
pub fn standby(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let Some((at, told)) = place.supply.and_then(|at| Some((at, at.ahead_of_switch?))) else {
        return;
    };
    let (rated, open) = (bank.rated_v, at.open_v);
    let ruling = if at.peak.is_held() {
        // While the bleeder holds it; below √2 × winding that is all that does.
        let held = Ruling::at_most(at.seen_v, rated, rated);
        held.or_worse(Ruling::at_most(open.high, rated, f64::INFINITY))
    } else {
        let care = if open.measured <= rated { open.high } else { rated };
        Ruling::at_most(open.high, rated, care)
    };
    let ruling = doubted(place, ruling);
    sink.judged(Rule::Standby, Some(place.section), ruling, || {
        let where_told = if told { "" } else { " (taken to stand ahead of the switch)" };
        let says =
            format!("{} each time it stands by, rated {}{where_told}", v(ruling.value), v(rated));
        let working = format!(
            "√2 × winding: {} V today, {} V at high line; rated {} V",
            four(open.measured),
            four(open.high),
            four(rated)
        );
        Words::worked(says, working)
    });
}

/// Rule `doubler`: a doubler's own capacitors and its output as at switching on; the
/// negative of the half-wave kind's series capacitor is on the line.
pub fn doubler(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let Some((at, which)) = place.supply.and_then(|at| Some((at, at.doubler?))) else { return };
    let section = Some(place.section);
    if matches!(which, InDoubler::Series(Some(point)) if point != Point::Line) {
        sink.ruled(Rule::Doubler, section, Grade::Fail, || {
            "the job has its negative elsewhere than on the line, where a series capacitor's belongs"
                .into()
        });
        return;
    }
    let ruling = doubted(place, Peak::of(&at, at.open_v).against(bank));
    sink.judged(Rule::Doubler, section, ruling, || {
        let says = match which {
            InDoubler::Series(told) => format!(
                "{} as the doubler's series capacitor, rated {}: its negative {} on the line, insulate it",
                v(ruling.value),
                v(bank.rated_v),
                if told.is_some() { "is" } else { "belongs" }
            ),
            InDoubler::Stack => {
                format!("{} in the doubler's stack, rated {}", v(ruling.value), v(bank.rated_v))
            }
            InDoubler::Output => {
                format!("{} at the doubler's output, rated {}", v(ruling.value), v(bank.rated_v))
            }
        };
        let times = if which == InDoubler::Output { "2√2" } else { "√2" };
        Words::worked(says, format!("{times} × winding = {} V at high line", four(at.open_v.high)))
    });
}

/// Rule `hot-switch`: switching the AC back on with hot tubes; its peak does not depend
/// on the capacitors.
pub fn hot_switch(supply: &SupplyCase, sink: &mut impl Sink) {
    if !supply.breaks_ac() {
        return;
    }
    let figure = supply.chassis.device.and_then(|of| of.hot_switching);
    let start = supply.original.start.as_ref().map(|(start, _)| start.hot_switch_peak);
    let (Some(figure), Some(peak)) = (figure, start) else {
        sink.not_judged(Rule::HotSwitch, None, || {
            "what the rectifier stands when the AC is switched back on hot is not known".into()
        });
        return;
    };
    let (peak, figure) = (crate::quantity::in_amperes(peak), crate::quantity::in_amperes(figure));
    sink.note(Rule::HotSwitch, None, Some(peak), || {
        let says = if peak > figure {
            format!(
                "up to {} when the AC is switched back on hot, the rectifier takes {}: put resistance in each plate lead, or the switch in the DC",
                super::words::a(peak),
                super::words::a(figure)
            )
        } else {
            format!(
                "up to {} when the AC is switched back on hot, the rectifier takes {}",
                super::words::a(peak),
                super::words::a(figure)
            )
        };
        says.into()
    });
}

/// The least rated volts that pass before the tubes draw, with the can as stamped.
pub(super) fn least(place: &Place) -> f64 {
    let Some(at) = place.supply.filter(|at| at.spot.is_some()) else {
        return open(place).map_or(0.0, |peak| peak.v.high);
    };
    let peak = match at.peak {
        PeakBasis::Overshoot => at.open_v.high.max(at.seen_v),
        PeakBasis::Winding | PeakBasis::Bled | PeakBasis::Drawn => at.open_v.high,
    };
    match at.warming {
        // The surge figure of a part rated so.
        Some(Warming::SeriesString) => peak / crate::bank::surge_factor(peak / 1.15),
        _ => peak,
    }
}

fn peaks(worked: &Worked, at: &AtSupply) -> Option<AtLines<f64>> {
    let Spot::Node(node) = at.spot? else { return Some(at.open_v) };
    let (measured, high) = worked.start.as_ref()?;
    let high = high.as_ref().unwrap_or(measured);
    Some(AtLines {
        measured: in_volts(measured.cold_peak(node)?),
        high: in_volts(high.cold_peak(node)?),
    })
}
