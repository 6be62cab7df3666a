//! Whether the capacitance suits what the section does.
//!
//! The windows are those of `limits.md`; common practice, no source, but for the ceiling
//! at a tube rectifier, which is the type's data sheet.

use super::{Bank, Grade, Place, Rule, Ruling, Sink, Words, words::uf};
use crate::{
    facts::{InputCapacitor, Role},
    quantity::in_microfarads,
    rectifiers::sheet,
    supply::Place as Spot,
};

/// Lowest and highest ratio to the stamped value that passes, and that is a caution.
struct Span {
    pass: (f64, f64),
    caution: (f64, f64),
}

const UNKNOWN: Span = Span { pass: (0.9, 1.3), caution: (0.8, 1.5) };
const FILTER: Span = Span { pass: (0.9, 2.0), caution: (0.8, 3.0) };
/// Most of a filter where the supply is solved: the rules of the rectifier, the winding
/// and B+ then say what more does.
const FILTER_SOLVED: f64 = 5.0;
const BIAS: Span = Span { pass: (0.85, 3.0), caution: (0.8, 5.0) };
const BYPASS: Span = Span { pass: (0.85, 5.0), caution: (0.8, f64::INFINITY) };
const SILICON: Span = Span { pass: (0.9, 1.3), caution: (0.8, 3.0) };
const SELENIUM: Span = Span { pass: (0.9, 1.3), caution: (0.8, 2.0) };
const DOUBLER: Span = Span { pass: (0.9, 1.3), caution: (0.8, 1.5) };
/// At a tube of which no sheet gives a limit, in a solved supply.
const NO_LIMIT_SOLVED: Span = Span { pass: (0.9, 1.3), caution: (0.8, 2.5) };

/// Limits of the capacitance, in µF, and why they are what they are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// From and to what passes.
    pub pass: (f64, f64),
    /// From and to what is a caution.
    pub caution: (f64, f64),
    /// What sets the limits.
    pub basis: Basis,
}

/// What sets the limits of a window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Basis {
    /// Nothing is known of what the section does, or of the rectifier.
    Unknown,
    /// Smoothing or decoupling, the first behind an input choke among them: more does
    /// no harm.
    Filter,
    /// Bias: more makes it come up later than B+.
    Bias,
    /// Cathode bypass: upward free.
    Bypass,
    /// Reservoir at a tube, by the type's first capacitor.
    Tube(InputCapacitor),
    /// Reservoir at a tube of which no sheet gives a first capacitor.
    TubeWithoutLimit,
    /// Reservoir at silicon.
    Silicon,
    /// Reservoir at selenium.
    Selenium,
    /// One of a doubler's own.
    Doubler,
}

/// The window for the capacitance at `place`.
pub fn limits(place: &Place) -> Window {
    let c = place.stamped_uf;
    let basis = basis(place);
    let solved = place.in_supply();
    let span = match basis {
        Basis::Unknown | Basis::TubeWithoutLimit if !solved => UNKNOWN,
        Basis::Unknown => UNKNOWN,
        Basis::TubeWithoutLimit => NO_LIMIT_SOLVED,
        Basis::Filter if solved => Span { caution: (FILTER.caution.0, FILTER_SOLVED), ..FILTER },
        Basis::Filter => FILTER,
        Basis::Bias => BIAS,
        Basis::Bypass => BYPASS,
        Basis::Silicon => SILICON,
        Basis::Selenium => SELENIUM,
        Basis::Doubler => DOUBLER,
        Basis::Tube(limit) => {
            let most = ceiling(c, limit) / c;
            Span { pass: (0.9, most), caution: (0.8, most.max(1.3)) }
        }
    };
    let of = |(low, high): (f64, f64)| (low * c, high * c);
    Window { pass: of(span.pass), caution: of(span.caution), basis }
}

/// The most behind a tube, µF: what its sheet allows, or what was stamped there where
/// that is more, with room for the spread of real parts where the limit is soft.
pub fn ceiling(stamped_uf: f64, limit: InputCapacitor) -> f64 {
    let most = stamped_uf.max(in_microfarads(limit.limit));
    if limit.hard { most } else { most * sheet::SOFT }
}

/// Rule `capacitance`. Where what passes here rests on other rules not failing, those
/// speak for themselves.
pub fn judge(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let limits = limits(place);
    let new = bank.capacitance_uf;
    let ruling = Ruling::within(new, limits.pass, limits.caution);
    sink.judged(Rule::Capacitance, Some(place.section), ruling, || {
        let ratio = new / place.stamped_uf;
        let says =
            format!("{} for {}{}", uf(new), uf(place.stamped_uf), reason(place, &limits, ruling));
        let limit = match limits.basis {
            Basis::Tube(limit) if in_microfarads(limit.limit) > 0.0 => {
                let name = place.facts.rectifier.as_ref().map_or("", |r| r.name.as_str());
                format!("; a {name} takes {} as first capacitor", uf(in_microfarads(limit.limit)))
            }
            _ => String::new(),
        };
        let working = format!("{new} / {} = {ratio:.3} × stamped{limit}", place.stamped_uf);
        Words::worked(says, working)
    });
}

fn basis(place: &Place) -> Basis {
    if place.here.bias.is_some() {
        return Basis::Bias;
    }
    let in_cells = place.supply.is_some_and(|at| matches!(at.spot, Some(Spot::Cell(_))));
    if in_cells || place.here.in_doubler {
        return Basis::Doubler;
    }
    match (place.role(), &place.facts.rectifier) {
        (Some(Role::Smoothing | Role::Decoupling), _) => Basis::Filter,
        (Some(Role::Bypass), _) => Basis::Bypass,
        (Some(Role::Reservoir), Some(r)) if r.is_selenium() => Basis::Selenium,
        (Some(Role::Reservoir), Some(r)) if r.solid_state => Basis::Silicon,
        (Some(Role::Reservoir), Some(r)) => {
            let limit = place.supply.map_or(r.input_capacitor, |at| at.limit);
            limit.map_or(Basis::TubeWithoutLimit, Basis::Tube)
        }
        (Some(Role::Reservoir), None) | (None, _) => Basis::Unknown,
    }
}

/// What to say of the limits; nothing where they are not at issue.
fn reason(place: &Place, limits: &Window, ruling: Ruling) -> String {
    let (name, grade) =
        (place.facts.rectifier.as_ref().map_or("", |r| r.name.as_str()), ruling.grade());
    if grade == Grade::Pass {
        return String::new();
    }
    if ruling.is_short() {
        return ": too little, more hum".into();
    }
    match limits.basis {
        Basis::Tube(limit) if in_microfarads(limit.limit) > 0.0 => format!(
            ": a {name} takes {} as first capacitor{}",
            uf(in_microfarads(limit.limit).max(place.stamped_uf)),
            if limit.hard { ", and no more" } else { ", and a fifth more at most" },
        ),
        Basis::Tube(_) => format!(
            ": the source resistance here is less than a {name} asks for, so no more than stamped"
        ),
        Basis::TubeWithoutLimit => {
            format!(": how much a {name} takes as first capacitor is not known")
        }
        Basis::Silicon => ": a harder turn-on surge, and wrong if a tube returns".into(),
        Basis::Selenium => ": a harder turn-on surge for the selenium stack".into(),
        Basis::Doubler => ": more than the doubler's rectifier was made to charge".into(),
        Basis::Unknown if place.role().is_none() => {
            ": more than is safe while it is not known what the section feeds".into()
        }
        Basis::Unknown => ": more than is safe while the rectifier is not known".into(),
        Basis::Filter => ": more than a filter needs, it charges slowly".into(),
        Basis::Bias => ": the bias comes up later than B+".into(),
        Basis::Bypass => ": more than a bypass needs".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        can::{Can, Section},
        facts::{Facts, RectifierFacts},
        quantity::{microfarads, volts},
        rules::{
            Grade::{Caution, Fail, Pass},
            Tally,
        },
    };

    /// Grades of `values` µF on a 40 µF (or other) section.
    fn grades(stamped: (f64, f64), facts: &Facts, values: &[f64]) -> Vec<Grade> {
        let section = Section {
            mark: None,
            capacitance: microfarads(stamped.0),
            rated: volts(stamped.1),
            surge: None,
        };
        let can = Can::new(vec![section]).unwrap();
        let place = &Place::all(&can, facts)[0];
        let grade = |&c: &f64| {
            let mut tally = Tally::default();
            judge(place, &Bank::bare(c, 450.0), &mut tally);
            tally.grade
        };
        values.iter().map(grade).collect()
    }

    fn reservoir(rectifier: Option<RectifierFacts>) -> Facts {
        let mut facts = Facts::unknown(1);
        facts.sections[0].role = Some(Role::Reservoir);
        facts.rectifier = rectifier;
        facts
    }

    fn tube(limit: f64, hard: bool) -> RectifierFacts {
        RectifierFacts {
            name: "5Y3-GT".into(),
            solid_state: false,
            cathode: None,
            input_capacitor: Some(InputCapacitor { limit: microfarads(limit), hard }),
            circuit: None,
        }
    }

    #[test]
    fn unknown_role() {
        let facts = Facts::unknown(1);
        // 40 µF: passes 36 to 52, cautions 32 to 60.
        assert_eq!(
            grades((40.0, 450.0), &facts, &[31.9, 32.0, 36.0, 47.0, 52.0, 53.0, 60.0, 61.0]),
            [Fail, Caution, Pass, Pass, Pass, Caution, Caution, Fail]
        );
    }

    #[test]
    fn low_volts_is_a_bypass_unless_told() {
        let facts = Facts::unknown(1);
        assert_eq!(
            grades((20.0, 25.0), &facts, &[15.9, 16.0, 17.0, 100.0, 220.0]),
            [Fail, Caution, Pass, Pass, Caution]
        );
        let mut told = Facts::unknown(1);
        told.sections[0].role = Some(Role::Smoothing);
        assert_eq!(grades((20.0, 25.0), &told, &[40.0, 47.0, 68.0]), [Pass, Caution, Fail]);
    }

    #[test]
    fn reservoir_at_a_tube_has_a_ceiling() {
        // Scenario 1: a 20 µF reservoir at a 5Y3-GT takes 22 µF and refuses 47.
        let soft = reservoir(Some(tube(20.0, false)));
        assert_eq!(
            grades((20.0, 450.0), &soft, &[22.0, 24.0, 25.0, 47.0]),
            [Pass, Pass, Caution, Fail]
        );
        let hard = reservoir(Some(tube(20.0, true)));
        assert_eq!(grades((20.0, 450.0), &hard, &[20.0, 22.0, 27.0]), [Pass, Caution, Fail]);
    }

    #[test]
    fn reservoir_at_silicon() {
        let silicon = RectifierFacts {
            name: "silicon".into(),
            solid_state: true,
            cathode: None,
            input_capacitor: None,
            circuit: None,
        };
        let facts = reservoir(Some(silicon));
        assert_eq!(grades((40.0, 450.0), &facts, &[47.0, 100.0, 121.0]), [Pass, Caution, Fail]);
    }
}
