//! The supply with the can as stamped beside the supply with the substitute, and what
//! each section sees of it.

use serde::Serialize;

use super::{plain, six};
use crate::{
    bank::Bank,
    chassis::{End, Solved},
    judge::{Case, Judged},
    quantity::{Current, in_amperes, in_volts, significant},
    rules::{
        Place, Rule,
        supply::{AtLines, SupplyCase, Worked},
    },
    supply::{Place as Spot, RectifierState},
};

/// The supply with the can as stamped and with the substitute.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BesideDoc {
    /// With the can as stamped.
    pub original: SupplyFiguresDoc,
    /// With the substitute.
    pub substitute: SupplyFiguresDoc,
    /// What all loads together are taken as, where they have a range; else null.
    pub loads: Option<LoadsDoc>,
}

/// All loads of a supply together, A.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LoadsDoc {
    /// What figures are shown for.
    pub taken_a: f64,
    /// The least that verdicts are given for.
    pub least_a: f64,
    /// The most.
    pub most_a: f64,
}

/// A figure with the can as stamped and with the substitute.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PairDoc {
    /// With the can as stamped.
    pub original: f64,
    /// With the substitute.
    pub substitute: f64,
}

/// One capacitor: what was stamped, what is fitted, and what it sees.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlaceDoc {
    /// What people call the section, else the node.
    pub name: String,
    /// Section of the can, from 1; null for a node whose capacitor is not of this can.
    pub section: Option<usize>,
    /// Node of the supply, or null.
    pub node: Option<String>,
    /// DC, hot, at the measured line, or as read; null where neither is known.
    pub hot_v: Option<PairDoc>,
    /// Hum, V rms; null where no supply is solved.
    pub hum_v: Option<PairDoc>,
    /// Change of the hum, dB.
    pub hum_db: Option<f64>,
    /// The most volts at switch-on, at high line; null where it is not known.
    pub switch_on_v: Option<f64>,
    /// In words, what is stamped and what is fitted.
    #[serde(skip)]
    pub stamped: String,
    /// See `stamped`.
    #[serde(skip)]
    pub fitted: String,
    /// Rated volts of what is fitted.
    #[serde(skip)]
    pub rated_v: Option<f64>,
}

/// Figures of a supply at the measured line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SupplyFiguresDoc {
    /// One entry a node.
    pub nodes: Vec<NodeFiguresDoc>,
    /// DC across each of a doubler's own capacitors, V.
    pub cells_v: Vec<f64>,
    /// Peak current a plate, A.
    pub rectifier_peak_a: f64,
    /// Rms current of the winding, A.
    pub winding_rms_a: f64,
    /// A² s of turn-on; null for silicon.
    pub turn_on_i2t_a2s: Option<f64>,
}

/// Figures of one node.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NodeFiguresDoc {
    /// Name of the node.
    pub name: String,
    /// Section of the can that stands there, from 1.
    pub section: Option<usize>,
    /// DC, V.
    pub dc_v: f64,
    /// Hum, V rms.
    pub ripple_rms_v: f64,
    /// Rms current of its capacitor, A.
    pub cap_current_rms_a: f64,
    /// Greatest volts at high line, hot.
    pub max_high_line_v: f64,
}

/// Original and substitute; `None` where no supply is known or either can't be
/// worked out. Where loads have a range, for what they are taken as.
#[must_use]
pub fn beside(case: &Case, set: &Judged) -> Option<BesideDoc> {
    let supply = case.supply.as_ref()?;
    let (old, new) = (&supply.original, set.supply.as_ref()?);
    let banks: Vec<Bank> = set.sections.iter().map(|of| of.bank.clone()).collect();
    let loads = loads(supply);
    let shown = |worked: &Worked, fitted| {
        let middle = loads.and_then(|_| supply.in_the_middle(&fitted));
        middle.or_else(|| worked.ends.first().cloned())
    };
    let original = shown(old, supply.chassis.stamped())?;
    let substitute = shown(new, supply.fitted(&banks))?;
    Some(BesideDoc {
        original: side(supply, &original, old),
        substitute: side(supply, &substitute, new),
        loads,
    })
}

fn loads(supply: &SupplyCase) -> Option<LoadsDoc> {
    let total = |end: End| six(in_amperes(supply.chassis.loads().total(end)));
    let [least, most] = supply.ends()[..] else { return None };
    Some(LoadsDoc { taken_a: total(End::Nominal), least_a: total(least), most_a: total(most) })
}

fn side(supply: &SupplyCase, solved: &AtLines<Solved>, worked: &Worked) -> SupplyFiguresDoc {
    let steady = &solved.measured.steady;
    let node = |(node, name): (usize, &str)| {
        let (now, high) = (steady.nodes.get(node)?, solved.high.steady.nodes.get(node)?);
        Some(NodeFiguresDoc {
            name: name.into(),
            section: supply.section_at(Spot::Node(node)).map(|s| s + 1),
            dc_v: seven(in_volts(now.dc)),
            ripple_rms_v: seven(in_volts(now.ripple_rms)),
            cap_current_rms_a: seven(in_amperes(now.capacitor_rms)),
            max_high_line_v: seven(in_volts(high.max)),
        })
    };
    let ampere = |of: Current| seven(in_amperes(of));
    let rectifier: &RectifierState = &steady.rectifier;
    SupplyFiguresDoc {
        nodes: supply.chassis.node_names().enumerate().filter_map(node).collect(),
        cells_v: steady.cells.iter().map(|cell| seven(in_volts(cell.dc))).collect(),
        rectifier_peak_a: ampere(rectifier.peak),
        winding_rms_a: ampere(steady.winding_rms),
        turn_on_i2t_a2s: worked.start.as_ref().map(|(start, _)| seven(start.turn_on_i2t.0)),
    }
}

fn seven(x: f64) -> f64 {
    significant(x, 7)
}

/// Every section of the can, then every node whose capacitor is not one of them.
#[must_use]
pub fn places(case: &Case, set: &Judged, beside: Option<&BesideDoc>) -> Vec<PlaceDoc> {
    let sections =
        (0..case.can.sections().len()).map(|section| of_section(case, set, section, beside));
    sections.chain(beside.into_iter().flat_map(|beside| others(case, beside))).collect()
}

fn of_section(case: &Case, set: &Judged, section: usize, beside: Option<&BesideDoc>) -> PlaceDoc {
    let place = case.places.get(section);
    let node = beside.and_then(|of| node_pair(of, |node| node.section == Some(section + 1)));
    let cell = beside.zip(place.and_then(|place| place.supply?.spot));
    let cell = cell.and_then(|(beside, spot)| match spot {
        Spot::Cell(cell) => Some(PairDoc {
            original: *beside.original.cells_v.get(cell)?,
            substitute: *beside.substitute.cells_v.get(cell)?,
        }),
        Spot::Node(_) => None,
    });
    // What stands outside the supply is where it was read to be.
    let read = place.and_then(Place::measured_v);
    let read = read.map(|v| PairDoc { original: six(v), substitute: six(v) });
    let hum = node.map(|(old, new)| pair(old.ripple_rms_v, new.ripple_rms_v));
    let bank = set.sections.get(section).map(|of| &of.bank);
    PlaceDoc {
        name: case.can.name(section),
        section: Some(section + 1),
        node: node.map(|(old, _)| old.name.clone()),
        hot_v: node.map(|(old, new)| pair(old.dc_v, new.dc_v)).or(cell).or(read),
        hum_v: hum,
        hum_db: hum.and_then(change),
        switch_on_v: switch_on(case, set, section).map(six),
        stamped: place.map(stamped).unwrap_or_default(),
        fitted: bank.map(|b| plain::values(b.capacitance_uf, b.rated_v)).unwrap_or_default(),
        rated_v: bank.map(|bank| bank.rated_v),
    }
}

fn others<'a>(case: &'a Case, beside: &'a BesideDoc) -> impl Iterator<Item = PlaceDoc> + 'a {
    let has_one = |name: &str| {
        let Some(supply) = &case.supply else { return false };
        let node = supply.chassis.node_names().position(|other| other == name).map(Spot::Node);
        supply.chassis.stations().iter().any(|station| Some(station.place) == node)
    };
    let nodes = beside.original.nodes.iter().zip(&beside.substitute.nodes);
    nodes.filter(|(old, _)| old.section.is_none()).map(move |(old, new)| {
        let hum = pair(old.ripple_rms_v, new.ripple_rms_v);
        PlaceDoc {
            name: old.name.clone(),
            section: None,
            node: Some(old.name.clone()),
            hot_v: Some(pair(old.dc_v, new.dc_v)),
            hum_v: Some(hum),
            hum_db: change(hum),
            switch_on_v: None,
            stamped: if has_one(&old.name) { "not this can" } else { "no capacitor" }.into(),
            fitted: String::new(),
            rated_v: None,
        }
    })
}

fn node_pair(
    beside: &BesideDoc,
    is: impl Fn(&NodeFiguresDoc) -> bool,
) -> Option<(&NodeFiguresDoc, &NodeFiguresDoc)> {
    let nodes = beside.original.nodes.iter().zip(&beside.substitute.nodes);
    nodes.into_iter().find(|(old, _)| is(old))
}

fn pair(original: f64, substitute: f64) -> PairDoc {
    PairDoc { original, substitute }
}

fn change(hum: PairDoc) -> Option<f64> {
    let db = 20.0 * (hum.substitute / hum.original).log10();
    (hum.original > 1e-9 && db.is_finite()).then(|| six(db))
}

/// `40 µF 450 V`, or `40 µF 450/525 V` where surge volts are printed.
fn stamped(place: &Place) -> String {
    match place.stamped_surge_v {
        Some(surge) => {
            let uf = crate::value::Value::print(crate::quantity::microfarads(place.stamped_uf));
            format!("{uf} {:.0}/{surge:.0} V", place.stamped_v)
        }
        None => plain::values(place.stamped_uf, place.stamped_v),
    }
}

/// The most that a section reaches before the tubes draw, at high line; behind an
/// input choke while its bleeder holds, where a load draws cold while it does.
fn switch_on(case: &Case, set: &Judged, section: usize) -> Option<f64> {
    let found = set.sections.get(section)?.findings.iter();
    let found = found.filter(|f| f.rule == Rule::ColdStart).filter_map(|f| f.value);
    let found = found.reduce(f64::max);
    let Some(at) = case.places.get(section)?.supply else { return found };
    let open = at.peak().map(in_volts)?;
    Some(if at.peak.is_held() {
        found.unwrap_or(open)
    } else {
        found.map_or(open, |v| v.max(open))
    })
}
