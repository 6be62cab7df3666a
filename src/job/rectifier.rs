//! Checks how the rectifier is described, driven and connected.

use std::ops::Range;

use toml::Spanned;

use super::{
    cans::line_volts,
    model::{
        Capacitor, CapacitorPart, Connection, Device, Law, Rectifier, SourceResistance, Standby,
        Winding,
    },
    names::Names,
    problem::{Place, RectifierProblem},
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
    // A job may say that nothing was changed.
    let fitted = match &device {
        Some(Device::Type(found)) => Some(found.name.as_str()),
        _ => None,
    };
    let original = original.filter(|found| Some(found.name.as_str()) != fitted);
    let connection = connection(names, &raw, device.as_ref());
    standby(sheet, &raw, connection.as_ref());
    Rectifier {
        connection,
        device,
        original,
        winding: winding(sheet, &raw),
        resistance: resistance(sheet, &raw),
        plate_resistor: raw.plate_resistor.map(Spanned::into_inner),
        standby: raw.standby.map(Spanned::into_inner),
    }
}

/// A capacitor that must be there; `of` is what it is the capacitor of.
pub(super) fn capacitor(names: &Names, raw: &RawCapacitor, of: &str) -> Option<Capacitor> {
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
            sheet.note(raw.header.clone(), RectifierProblem::NoCapacitance { of: of.into() });
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
    let strays = |problem: fn(&'static str) -> RectifierProblem| {
        for key in OF_LAW {
            if let Some(span) = raw.keys.span(key) {
                sheet.note(span, problem(key));
            }
        }
    };
    match spans {
        (Some(device), Some(law)) => {
            let place = Place::against(law, device, "and the type");
            sheet.note(place, RectifierProblem::DeviceAndLaw);
            None
        }
        (Some(_), None) => {
            strays(|key| RectifierProblem::FigureOfDevice { key });
            named
        }
        (None, Some(_)) => {
            let law = raw.law.as_ref()?;
            let cathode = raw.cathode.as_ref().map(|c| *c.get_ref()).or_else(|| of_law(law));
            Some(Device::Described { law: described(sheet, raw, law)?, cathode })
        }
        (None, None) => {
            strays(|key| RectifierProblem::FigureWithoutLaw { key });
            None
        }
    }
}

/// A straight line is what silicon and selenium have (design of the job file);
/// how a tube is heated its law does not tell.
fn of_law(law: &Spanned<LawName>) -> Option<rectifiers::Cathode> {
    (*law.get_ref() == LawName::Straight).then_some(rectifiers::Cathode::SolidState)
}

fn described(sheet: &Sheet, raw: &RawRectifier, law: &Spanned<LawName>) -> Option<Law> {
    let name = *law.get_ref();
    let (second, unused) = match name {
        LawName::ThreeHalves => ("drop_current", "slope_resistance"),
        LawName::Straight => ("slope_resistance", "drop_current"),
    };
    let law_name = name.name();
    for key in ["drop", second].into_iter().filter(|key| !raw.keys.has(key)) {
        sheet.note(law.span(), RectifierProblem::LawNeeds { law: law_name, key });
    }
    if let Some(span) = raw.keys.span(unused) {
        sheet.note(span, RectifierProblem::LawIgnores { law: law_name, key: unused });
    }
    let drop = raw.drop.as_ref()?;
    if name == LawName::ThreeHalves {
        nonzero(sheet, "drop", Some(drop));
        let current = *raw.drop_current.as_ref()?.get_ref();
        return Some(Law::ThreeHalves { drop: *drop.get_ref(), current });
    }
    let slope = *raw.slope_resistance.as_ref()?.get_ref();
    Some(Law::Straight { drop: *drop.get_ref(), slope })
}

/// Notes volts of zero where none are meant.
fn nonzero(sheet: &Sheet, key: &'static str, volts: Option<&Spanned<Voltage>>) {
    if let Some(volts) = volts.filter(|volts| in_volts(*volts.get_ref()) <= 0.0) {
        sheet.note(volts.span(), RectifierProblem::ZeroVolts { key });
    }
}

fn winding(sheet: &Sheet, raw: &RawRectifier) -> Option<Winding> {
    nonzero(sheet, "winding", raw.winding.as_ref());
    line_volts(sheet, raw.winding_at.as_ref());
    if let Some(span) = raw.keys.span("winding_at").filter(|_| !raw.keys.has("winding")) {
        sheet.note(span, RectifierProblem::WindingAtAlone);
    }
    let inner = |volts: &Maybe<Voltage>| volts.as_ref().map(|volts| *volts.get_ref());
    Some(Winding { volts: inner(&raw.winding)?, at: inner(&raw.winding_at) })
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

fn connection(names: &Names, raw: &RawRectifier, device: Option<&Device>) -> Option<Connection> {
    let circuit = match (&raw.circuit, device) {
        (Some(circuit), _) => Some(*circuit.get_ref()),
        // A word that can't be read was noted; the type must not stand in for it.
        (None, _) if raw.keys.has("circuit") => return None,
        (None, Some(Device::Type(found))) => RectifierFacts::from(*found).circuit,
        (None, _) => None,
    };
    let series = part(names, raw, circuit, ("series", raw.series.as_ref()));
    let upper = part(names, raw, circuit, ("upper", raw.upper.as_ref()));
    let lower = part(names, raw, circuit, ("lower", raw.lower.as_ref()));
    Some(match circuit? {
        Circuit::FullWave => Connection::FullWave,
        Circuit::Bridge => Connection::Bridge,
        Circuit::HalfWave => Connection::HalfWave,
        Circuit::FullWaveDoubler => Connection::FullWaveDoubler { upper: upper?, lower: lower? },
        Circuit::HalfWaveDoubler => Connection::HalfWaveDoubler { series: series? },
    })
}

/// One capacitor of a doubler: there exactly where the circuit has it.
fn part(
    names: &Names,
    raw: &RawRectifier,
    circuit: Option<Circuit>,
    (key, part): (&'static str, Option<&RawCapacitor>),
) -> Option<Capacitor> {
    let belongs = if key == "series" { Circuit::HalfWaveDoubler } else { Circuit::FullWaveDoubler };
    let here = |span: Option<Range<usize>>| span.unwrap_or_else(|| raw.header.clone());
    if circuit == Some(belongs) && !raw.keys.has(key) {
        let problem = RectifierProblem::DoublerNeeds { circuit: belongs.name(), key };
        names.sheet.note(here(raw.keys.span("circuit")), problem);
    } else if circuit != Some(belongs) && raw.keys.has(key) {
        let (belongs, circuit) = (belongs.name(), circuit.map(Circuit::name));
        let problem = RectifierProblem::NotThisCircuit { key, belongs, circuit };
        names.sheet.note(here(raw.keys.span(key)), problem);
        return None;
    }
    capacitor(names, part?, &format!("`[rectifier.{key}]`"))
}
