//! Checks how the rectifier is described, driven and connected.

use toml::Spanned;

use super::{
    cans::line_volts,
    model::{
        Capacitor, CapacitorPart, Connection, Device, Law, Rectifier, SourceResistance, Standby,
        Winding,
    },
    names::Names,
    problem::{Place, RectifierProblem, TreeProblem},
    schema::{Maybe, RawCapacitor, RawRectifier},
    sheet::Sheet,
    word::LawName,
};
use crate::{
    facts::{Circuit, RectifierFacts},
    quantity::{Voltage, in_volts},
    rectifiers,
};

/// The figures that describe a law.
const OF_LAW: [&str; 4] = ["drop", "drop_current", "slope_resistance", "cathode"];

pub(super) fn rectifier(names: &Names, raw: RawRectifier) -> Rectifier {
    let sheet = names.sheet;
    let device = device(sheet, &raw);
    let original = raw.original_device.as_ref().and_then(|text| find(sheet, text));
    let is_stack = matches!(&device, Some(Device::Type(found)) if found.is_selenium());
    // A job may say that nothing was changed.
    let fitted = match &device {
        Some(Device::Type(found)) => Some(found.name.as_str()),
        _ => None,
    };
    let original = original.filter(|found| Some(found.name.as_str()) != fitted);
    let connection = connection(names, &raw, device.as_ref());
    standby(sheet, &raw, connection.as_ref());
    let standby_after = standby_after(names, &raw);
    let (winding, untold_winding_at) = winding(sheet, &raw);
    Rectifier {
        connection,
        device,
        original,
        stack_current: raw.drop_current.as_ref().map(|at| *at.get_ref()).filter(|_| is_stack),
        winding,
        untold_winding_at,
        resistance: resistance(sheet, &raw),
        plate_resistor: raw.plate_resistor.map(Spanned::into_inner),
        original_plate_resistor: raw.original_plate_resistor.map(Spanned::into_inner),
        standby: raw.standby.map(Spanned::into_inner).or(standby_after.map(|_| Standby::Dc)),
        standby_after,
        transformer: raw.transformer.map(Spanned::into_inner),
    }
}

/// A capacitor as far as it is told; `of` is what it is the capacitor of, `key` that by
/// its key.
pub(super) fn capacitor(
    names: &Names,
    raw: &RawCapacitor,
    of: &str,
    key: &str,
) -> Option<Capacitor> {
    let sheet = names.sheet;
    let esr = raw.esr.as_ref().map(|esr| *esr.get_ref());
    let part = match (raw.keys.span("section"), raw.keys.span("capacitance")) {
        (Some(section), Some(capacitance)) => {
            let place = Place::against(capacitance, section, "and the section");
            sheet.note(place, RectifierProblem::SectionAndCapacitance { of: of.into() });
            return None;
        }
        (Some(_), None) => CapacitorPart::Section(names.take_section(raw.section.as_ref()?)?),
        (None, Some(_)) => CapacitorPart::Part(*raw.capacitance.as_ref()?.get_ref()),
        (None, None) => {
            if raw.keys.has("esr") {
                sheet.loose(format!("{key}.esr"), "the capacitor", None);
            }
            return None;
        }
    };
    Some(Capacitor { part, esr })
}

fn find(sheet: &Sheet, text: &Spanned<String>) -> Option<&'static rectifiers::Rectifier> {
    let found = rectifiers::find(text.get_ref());
    found.map_err(|unknown| sheet.note(text.span(), unknown)).ok()
}

fn device(sheet: &Sheet, raw: &RawRectifier) -> Option<Device> {
    let named = raw.device.as_ref().and_then(|text| find(sheet, text)).map(Device::Type);
    let spans = (raw.keys.span("device"), raw.keys.span("law"));
    // No sheet tells what a selenium stack is rated for.
    let is_stack = matches!(&named, Some(Device::Type(found)) if found.is_selenium());
    match spans {
        (Some(device), Some(law)) => {
            let place = Place::against(law, device, "and the type");
            sheet.note(place, RectifierProblem::DeviceAndLaw);
            None
        }
        (Some(_), None) => {
            for key in OF_LAW.into_iter().filter(|key| !is_stack || *key != "drop_current") {
                if let Some(span) = raw.keys.span(key) {
                    sheet.note(span, RectifierProblem::FigureOfDevice { key });
                }
            }
            named
        }
        (None, Some(_)) => {
            let law = raw.law.as_ref()?;
            let law = *law.get_ref();
            let other = match law {
                LawName::ThreeHalves => LawName::Straight,
                LawName::Straight => LawName::ThreeHalves,
            };
            let key = of_one_law(other);
            if let Some(span) = raw.keys.span(key) {
                sheet.note(span, RectifierProblem::LawIgnores { law: law.name(), key });
            }
            Some(described(sheet, raw, Some(law)))
        }
        (None, None) => {
            let told: Vec<&str> = OF_LAW.into_iter().filter(|key| raw.keys.has(key)).collect();
            let law = law_by_its_figure(raw);
            let taken = law.map(|law| format!("taken as `{}`, which alone has it", law.name()));
            let shown = law.map(of_one_law).or(told.first().copied())?;
            sheet.loose(format!("rectifier.{shown}"), "`rectifier.law`", taken);
            Some(described(sheet, raw, law))
        }
    }
}

/// The figure that only one law has.
fn of_one_law(law: LawName) -> &'static str {
    match law {
        LawName::ThreeHalves => "drop_current",
        LawName::Straight => "slope_resistance",
    }
}

/// The law that is not told, by the figures that it alone has; a tube's law is none of
/// silicon. A current without a drop may be what a selenium stack is rated for.
fn law_by_its_figure(raw: &RawRectifier) -> Option<LawName> {
    let solid = raw.cathode.as_ref().map(|of| *of.get_ref() == rectifiers::Cathode::SolidState);
    let has = |key| raw.keys.has(key);
    let point = has("drop") && has("drop_current");
    match (point, has("slope_resistance")) {
        (true, false) if solid != Some(true) => Some(LawName::ThreeHalves),
        (_, true) if solid != Some(false) && !has("drop_current") => Some(LawName::Straight),
        _ => None,
    }
}

/// A straight line is what silicon and selenium have (design of the job file);
/// how a tube is heated its law does not tell.
fn described(sheet: &Sheet, raw: &RawRectifier, law: Option<LawName>) -> Device {
    let inner = |volts: &Maybe<Voltage>| volts.as_ref().map(|volts| *volts.get_ref());
    let drop = inner(&raw.drop);
    let by_law = (law == Some(LawName::Straight)).then_some(rectifiers::Cathode::SolidState);
    let cathode = raw.cathode.as_ref().map(|of| *of.get_ref()).or(by_law);
    let law = match law {
        Some(LawName::ThreeHalves) => {
            nonzero(sheet, "drop", raw.drop.as_ref());
            let current = raw.drop_current.as_ref().map(|current| *current.get_ref());
            Law::ThreeHalves { drop, current }
        }
        Some(LawName::Straight) => {
            let slope = raw.slope_resistance.as_ref().map(|slope| *slope.get_ref());
            Law::Straight { drop, slope }
        }
        None => Law::Untold,
    };
    Device::Described { law, cathode }
}

/// Notes volts of zero where none are meant.
fn nonzero(sheet: &Sheet, key: &'static str, volts: Option<&Spanned<Voltage>>) {
    if let Some(volts) = volts.filter(|volts| in_volts(*volts.get_ref()) <= 0.0) {
        sheet.note(volts.span(), RectifierProblem::ZeroVolts { key });
    }
}

/// The winding, else the line of a reading of it that is not told.
fn winding(sheet: &Sheet, raw: &RawRectifier) -> (Option<Winding>, Option<Voltage>) {
    nonzero(sheet, "winding", raw.winding.as_ref());
    line_volts(sheet, raw.winding_at.as_ref());
    let inner = |volts: &Maybe<Voltage>| volts.as_ref().map(|volts| *volts.get_ref());
    let at = inner(&raw.winding_at);
    if let Some(volts) = inner(&raw.winding) {
        return (Some(Winding { volts, at }), None);
    }
    if at.is_some() {
        sheet.loose("rectifier.winding_at".into(), "`rectifier.winding`", None);
    }
    (None, at)
}

fn resistance(sheet: &Sheet, raw: &RawRectifier) -> SourceResistance {
    if let Some(whole) = raw.keys.span("supply_resistance") {
        for key in ["winding_resistance", "primary_resistance"] {
            if let Some(part) = raw.keys.span(key) {
                let place = Place::against(part, whole.clone(), "the whole");
                sheet.note(place, RectifierProblem::WholeAndPart { key });
            }
        }
    }
    let inner = |ohms: &Maybe<_>| ohms.as_ref().map(|ohms| *ohms.get_ref());
    match inner(&raw.supply_resistance) {
        Some(whole) => SourceResistance::Whole(whole),
        None => SourceResistance::Parts {
            winding: inner(&raw.winding_resistance),
            primary: inner(&raw.primary_resistance),
        },
    }
}

fn standby(sheet: &Sheet, raw: &RawRectifier, connection: Option<&Connection>) {
    let Some(standby) = &raw.standby else { return };
    let circuit = connection.map(Connection::circuit);
    if *standby.get_ref() == Standby::CentreTap
        && let Some(circuit) = circuit.filter(|circuit| *circuit != Circuit::FullWave)
    {
        let circuit = circuit.name();
        sheet.note(standby.span(), RectifierProblem::NoCentreTap { circuit });
    }
}

/// The last node ahead of a DC switch; other switches have none behind them.
fn standby_after(names: &Names, raw: &RawRectifier) -> Option<usize> {
    let text = raw.standby_after.as_ref()?;
    let found = text.get_ref();
    let node = names.node(found);
    if node.is_none() {
        let (found, nodes) = (found.clone(), names.nodes.clone());
        names.sheet.note(text.span(), TreeProblem::NoNode { found, nodes });
    }
    match raw.standby.as_ref().map(|standby| *standby.get_ref()) {
        Some(Standby::Dc) => {}
        Some(_) => names.sheet.note(text.span(), RectifierProblem::StandbyAfterAlone),
        None => {
            let taken = "taken as `dc`, the one with nodes ahead of it".to_owned();
            let told = "rectifier.standby_after".to_owned();
            names.sheet.loose(told, "`rectifier.standby`", Some(taken));
        }
    }
    node
}

fn connection(names: &Names, raw: &RawRectifier, device: Option<&Device>) -> Option<Connection> {
    let circuit = match (&raw.circuit, device) {
        (Some(circuit), _) => Some(*circuit.get_ref()),
        // A word that can't be read was noted; the type must not stand in for it.
        (None, _) if raw.keys.has("circuit") => return None,
        (None, device) => by_its_capacitors(names.sheet, raw).or_else(|| match device {
            Some(Device::Type(found)) => RectifierFacts::from(*found).circuit,
            _ => None,
        }),
    };
    let series = part(names, raw, circuit, ("series", raw.series.as_ref()));
    let upper = part(names, raw, circuit, ("upper", raw.upper.as_ref()));
    let lower = part(names, raw, circuit, ("lower", raw.lower.as_ref()));
    Some(match circuit? {
        Circuit::FullWave => Connection::FullWave,
        Circuit::Bridge => Connection::Bridge,
        Circuit::HalfWave => Connection::HalfWave,
        Circuit::FullWaveDoubler => Connection::FullWaveDoubler { upper, lower },
        Circuit::HalfWaveDoubler => Connection::HalfWaveDoubler { series },
    })
}

/// The circuit that is not told, by a capacitor that it alone has.
fn by_its_capacitors(sheet: &Sheet, raw: &RawRectifier) -> Option<Circuit> {
    let key = ["series", "upper", "lower"].into_iter().find(|key| raw.keys.has(key))?;
    let circuit = belongs(key);
    let taken = format!("taken as `{}`, which alone has it", circuit.name());
    sheet.loose(format!("rectifier.{key}"), "`rectifier.circuit`", Some(taken));
    Some(circuit)
}

fn belongs(key: &str) -> Circuit {
    if key == "series" { Circuit::HalfWaveDoubler } else { Circuit::FullWaveDoubler }
}

/// One capacitor of a doubler: nowhere but where the circuit has it.
fn part(
    names: &Names,
    raw: &RawRectifier,
    circuit: Option<Circuit>,
    (key, part): (&'static str, Option<&RawCapacitor>),
) -> Option<Capacitor> {
    let part = part?;
    let belongs = belongs(key);
    // Without a circuit told the capacitors' own stands, so there always is one.
    if let Some(circuit) = circuit.filter(|circuit| *circuit != belongs) {
        let (belongs, circuit) = (belongs.name(), circuit.name());
        let span = raw.keys.span(key).unwrap_or_else(|| raw.header.clone());
        names.sheet.note(span, RectifierProblem::NotThisCircuit { key, belongs, circuit });
        return None;
    }
    capacitor(names, part, &format!("`[rectifier.{key}]`"), &format!("rectifier.{key}"))
}
