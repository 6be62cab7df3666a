//! The supply with the can as stamped beside the supply with the substitute.

use crate::{
    chassis::{End, Fitted, Solved},
    judge::{Case, Judged},
    quantity::{Current, in_amperes, in_volts},
    rules::{
        Candidate,
        supply::{AtLines, SupplyCase, Worked},
    },
    supply::Place,
};

/// One capacitor of the supply, before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct NodeBeside {
    /// Name of the node.
    pub name: String,
    /// Section of the can that stands there, counted from 0.
    pub section: Option<usize>,
    /// With the can as stamped.
    pub original: NodeFigures,
    /// With the substitute.
    pub substitute: NodeFigures,
}

/// Figures of one node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NodeFigures {
    /// DC at the measured line, V.
    pub dc_v: f64,
    /// Hum at the measured line, V rms.
    pub hum_v: f64,
    /// Rms current of its capacitor at the measured line, A.
    pub capacitor_a: f64,
    /// Greatest volts at high line, hot, V.
    pub most_v: f64,
}

/// The supply, before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct Beside {
    /// One entry a node.
    pub nodes: Vec<NodeBeside>,
    /// DC across each of a doubler's own capacitors at the measured line, V.
    pub cells_v: Vec<(f64, f64)>,
    /// Peak current a plate, A.
    pub peak_a: (f64, f64),
    /// Rms current of the winding, A.
    pub winding_a: (f64, f64),
    /// A² s of turn-on, where the rectifier is a tube.
    pub turn_on_a2s: Option<(f64, f64)>,
    /// What all loads together are taken as, where they have a range.
    pub loads: Option<LoadRange>,
}

/// All loads of a supply together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadRange {
    /// What figures are shown for.
    pub taken: Current,
    /// The least and the most, which verdicts are given for.
    pub ends: (Current, Current),
}

/// Original and substitute; `None` where no supply is known or either can't be
/// worked out. Where loads have a range, for what they are taken as.
#[must_use]
pub fn beside(case: &Case, set: &Judged) -> Option<Beside> {
    let supply = case.supply.as_ref()?;
    let (old, new) = (&supply.original, set.supply.as_ref()?);
    let candidates: Vec<Candidate> = set.sections.iter().map(|of| of.candidate.clone()).collect();
    let loads = load_range(supply);
    let shown = |worked: &Worked, fitted: &dyn Fn() -> Fitted| {
        let middle = loads.and_then(|_| supply.in_the_middle(&fitted()));
        middle.or_else(|| worked.ends.first().cloned())
    };
    let a = shown(old, &|| supply.chassis.stamped())?;
    let b = shown(new, &|| supply.fitted(&candidates))?;
    let node = |(j, name): (usize, &str)| {
        Some(NodeBeside {
            name: name.into(),
            section: section(supply, j),
            original: figures(&a, j)?,
            substitute: figures(&b, j)?,
        })
    };
    let rectifier = |of: fn(&crate::supply::RectifierState) -> f64| {
        (of(&a.measured.steady.rectifier), of(&b.measured.steady.rectifier))
    };
    let i2t = |worked: &Worked| worked.start.as_ref().map(|(start, _)| start.turn_on_i2t.0);
    let cells = |of: &AtLines<Solved>| {
        of.measured.steady.cells.iter().map(|cell| in_volts(cell.dc)).collect::<Vec<_>>()
    };
    Some(Beside {
        nodes: supply.chassis.node_names().enumerate().filter_map(node).collect(),
        cells_v: cells(&a).into_iter().zip(cells(&b)).collect(),
        peak_a: rectifier(|r| in_amperes(r.peak)),
        winding_a: (
            in_amperes(a.measured.steady.winding_rms),
            in_amperes(b.measured.steady.winding_rms),
        ),
        turn_on_a2s: i2t(old).zip(i2t(new)),
        loads,
    })
}

fn load_range(supply: &SupplyCase) -> Option<LoadRange> {
    let total = |end: End| supply.chassis.loads().total(end);
    let [least, most] = supply.ends()[..] else { return None };
    Some(LoadRange { taken: total(End::Nominal), ends: (total(least), total(most)) })
}

fn section(supply: &SupplyCase, node: usize) -> Option<usize> {
    supply.section_at(Place::Node(node))
}

fn figures(solved: &AtLines<Solved>, node: usize) -> Option<NodeFigures> {
    let now = solved.measured.steady.nodes.get(node)?;
    let high = solved.high.steady.nodes.get(node)?;
    Some(NodeFigures {
        dc_v: in_volts(now.dc),
        hum_v: in_volts(now.ripple_rms),
        capacitor_a: in_amperes(now.capacitor_rms),
        most_v: in_volts(high.max),
    })
}
