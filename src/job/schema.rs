//! The tables of a job file and their keys, each value read but not yet checked
//! against the others.

use std::ops::Range;

use toml::{Spanned, de::DeTable};

use super::{
    form::{
        AC_VOLTS, AMPERES, AMPERES_OR_ZERO, BAND, CELSIUS, FARADS, HENRIES, HERTZ, LENGTH, OHMS,
        OHMS_OR_OPEN, OHMS_OR_ZERO, VOLTS, VOLTS_OR_ZERO, WATTS,
    },
    model::{CanState, Construction, Heaters, Lead, Standby, Transformer},
    problem::TableProblem,
    sheet::{Keys, Sheet, Table},
    word,
};
use crate::{
    facts::{Circuit, Role},
    quantity::{
        Capacitance, Current, Frequency, Inductance, Length, Power, Resistance, Temperature,
        Tolerance, Voltage,
    },
    rectifiers::Cathode,
};

/// A value that may not be there, with its place.
pub(super) type Maybe<T> = Option<Spanned<T>>;
/// Values by name, in the order of the file.
pub(super) type ByName<T> = Vec<(Spanned<String>, Spanned<T>)>;

/// A whole file.
pub(super) struct Raw<'t> {
    pub(super) keys: Keys<'t>,
    pub(super) chassis: RawChassis,
    pub(super) cans: Vec<RawCan<'t>>,
    pub(super) mains: RawMains,
    pub(super) rectifier: Option<RawRectifier<'t>>,
    pub(super) nodes: Vec<RawNode<'t>>,
    pub(super) bypasses: Vec<RawBypass<'t>>,
    pub(super) others: Vec<RawOther<'t>>,
    pub(super) measured: Option<RawReadings>,
    pub(super) after: Option<RawReadings>,
}

#[derive(Default)]
pub(super) struct RawChassis {
    pub(super) name: Maybe<String>,
    pub(super) construction: Maybe<Construction>,
    pub(super) heaters: Maybe<Heaters>,
    pub(super) ambient: Maybe<Temperature>,
}

pub(super) struct RawCan<'t> {
    pub(super) keys: Keys<'t>,
    pub(super) header: Range<usize>,
    pub(super) name: Maybe<String>,
    pub(super) stamping: Maybe<String>,
    pub(super) negative: Maybe<String>,
    pub(super) tolerance: Maybe<Tolerance>,
    pub(super) diameter: Maybe<Length>,
    pub(super) height: Maybe<Length>,
    pub(super) bore: Maybe<Length>,
    pub(super) below_chassis: Maybe<Length>,
}

#[derive(Default)]
pub(super) struct RawMains {
    pub(super) volts: Maybe<Voltage>,
    pub(super) nominal: Maybe<Voltage>,
    pub(super) frequency: Maybe<Frequency>,
    pub(super) high: Maybe<Voltage>,
}

pub(super) struct RawRectifier<'t> {
    pub(super) keys: Keys<'t>,
    pub(super) header: Range<usize>,
    pub(super) circuit: Maybe<Circuit>,
    pub(super) device: Maybe<String>,
    pub(super) law: Maybe<word::LawName>,
    pub(super) drop: Maybe<Voltage>,
    pub(super) drop_current: Maybe<Current>,
    pub(super) slope_resistance: Maybe<Resistance>,
    pub(super) cathode: Maybe<Cathode>,
    pub(super) original_device: Maybe<String>,
    pub(super) original_plate_resistor: Maybe<Resistance>,
    pub(super) plate_resistor: Maybe<Resistance>,
    pub(super) standby: Maybe<Standby>,
    pub(super) standby_after: Maybe<String>,
    pub(super) transformer: Maybe<Transformer>,
    pub(super) winding: Maybe<Voltage>,
    pub(super) winding_at: Maybe<Voltage>,
    pub(super) winding_resistance: Maybe<Resistance>,
    pub(super) primary_resistance: Maybe<Resistance>,
    pub(super) supply_resistance: Maybe<Resistance>,
    pub(super) series: Option<RawCapacitor<'t>>,
    pub(super) upper: Option<RawCapacitor<'t>>,
    pub(super) lower: Option<RawCapacitor<'t>>,
}

pub(super) struct RawCapacitor<'t> {
    pub(super) keys: Keys<'t>,
    pub(super) section: Maybe<String>,
    pub(super) capacitance: Maybe<Capacitance>,
    pub(super) esr: Maybe<Resistance>,
}

pub(super) struct RawNode<'t> {
    pub(super) keys: Keys<'t>,
    pub(super) header: Range<usize>,
    pub(super) name: Maybe<String>,
    pub(super) capacitor: RawCapacitor<'t>,
    pub(super) role: Maybe<Role>,
    pub(super) load: Maybe<Current>,
    pub(super) load_resistance: Maybe<Resistance>,
    pub(super) cold: Maybe<bool>,
    pub(super) from: Maybe<String>,
    pub(super) resistor: Maybe<Resistance>,
    pub(super) resistor_rating: Maybe<Power>,
    pub(super) choke: Maybe<Inductance>,
    pub(super) choke_resistance: Maybe<Resistance>,
    pub(super) in_lead: Maybe<Lead>,
    pub(super) volts: Maybe<Voltage>,
    pub(super) bleeder: Maybe<Resistance>,
    pub(super) negative: Maybe<String>,
}

pub(super) struct RawBypass<'t> {
    pub(super) keys: Keys<'t>,
    pub(super) section: Maybe<String>,
    pub(super) cathode_resistor: Maybe<Resistance>,
    pub(super) volts: Maybe<Voltage>,
}

pub(super) struct RawOther<'t> {
    pub(super) keys: Keys<'t>,
    pub(super) section: Maybe<String>,
    pub(super) usage: Maybe<String>,
    pub(super) positive: Maybe<String>,
    pub(super) volts: Maybe<Voltage>,
}

pub(super) struct RawReadings {
    pub(super) can: Maybe<CanState>,
    pub(super) line: Maybe<Voltage>,
    pub(super) supply: Maybe<String>,
    pub(super) meter: Maybe<String>,
    pub(super) dc: ByName<Voltage>,
    pub(super) hum: ByName<Voltage>,
    pub(super) hum_frequency: Maybe<Frequency>,
    pub(super) cold_ohms: ByName<Option<Resistance>>,
}

/// Reads every table of a file; what can't be read is noted and left out.
pub(super) fn read<'t>(sheet: &'t Sheet<'t>, root: &'t DeTable<'t>) -> Raw<'t> {
    let mut root = Table::root(sheet, root);
    let raw = Raw {
        keys: root.keys(),
        chassis: root.table("chassis", "[chassis]").map(chassis).unwrap_or_default(),
        cans: root.tables("can", "[[can]]").into_iter().map(can).collect(),
        mains: root.table("mains", "[mains]").map(mains).unwrap_or_default(),
        rectifier: root.table("rectifier", "[rectifier]").map(rectifier),
        nodes: root.tables("node", "[[node]]").into_iter().map(node).collect(),
        bypasses: root.tables("bypass", "[[bypass]]").into_iter().map(bypass).collect(),
        others: root.tables("other", "[[other]]").into_iter().map(other).collect(),
        measured: root.table("measured", "[measured]").map(readings),
        after: root.table("after", "[after]").map(readings),
    };
    if !root.keys().has("can") && !root.keys().has("node") {
        let first_line = sheet.text.lines().next().map_or(0, str::len);
        sheet.note(0..first_line, TableProblem::NoCan);
    }
    root.finish();
    raw
}

fn chassis(mut table: Table) -> RawChassis {
    let raw = RawChassis {
        name: table.name("name"),
        construction: table.word("construction", &word::CONSTRUCTION),
        heaters: table.word("heaters", &word::HEATERS),
        ambient: table.quantity("ambient", CELSIUS),
    };
    table.finish();
    raw
}

fn can(mut table: Table<'_>) -> RawCan<'_> {
    let raw = RawCan {
        keys: table.keys(),
        header: table.span(),
        name: table.name("name"),
        stamping: table.text("stamping"),
        negative: table.name("negative"),
        tolerance: table.quantity("tolerance", BAND),
        diameter: table.quantity("diameter", LENGTH),
        height: table.quantity("height", LENGTH),
        bore: table.quantity("bore", LENGTH),
        below_chassis: table.quantity("below_chassis", LENGTH),
    };
    table
        .require("stamping", "type what the can says, such as `stamping = \"40-20 MFD 450 WVDC\"`");
    table.finish();
    raw
}

fn mains(mut table: Table) -> RawMains {
    let raw = RawMains {
        volts: table.quantity("volts", AC_VOLTS),
        nominal: table.quantity("nominal", AC_VOLTS),
        frequency: table.quantity("frequency", HERTZ),
        high: table.quantity("high", AC_VOLTS),
    };
    table.finish();
    raw
}

fn rectifier<'t>(mut table: Table<'t>) -> RawRectifier<'t> {
    let part = |table: &mut Table<'t>, key, header| table.table(key, header).map(capacitor);
    let raw = RawRectifier {
        keys: table.keys(),
        header: table.span(),
        circuit: table.word("circuit", &word::CIRCUIT),
        device: table.name("device"),
        law: table.word("law", &word::LAW),
        drop: table.quantity("drop", VOLTS_OR_ZERO),
        drop_current: table.quantity("drop_current", AMPERES),
        slope_resistance: table.quantity("slope_resistance", OHMS_OR_ZERO),
        cathode: table.word("cathode", &word::CATHODE),
        original_device: table.name("original_device"),
        original_plate_resistor: table.quantity("original_plate_resistor", OHMS_OR_ZERO),
        plate_resistor: table.quantity("plate_resistor", OHMS_OR_ZERO),
        standby: table.word("standby", &word::STANDBY),
        standby_after: table.name("standby_after"),
        transformer: table.word("transformer", &word::TRANSFORMER),
        winding: table.quantity("winding", AC_VOLTS),
        winding_at: table.quantity("winding_at", AC_VOLTS),
        winding_resistance: table.quantity("winding_resistance", OHMS_OR_ZERO),
        primary_resistance: table.quantity("primary_resistance", OHMS_OR_ZERO),
        supply_resistance: table.quantity("supply_resistance", OHMS_OR_ZERO),
        series: part(&mut table, "series", "[rectifier.series]"),
        upper: part(&mut table, "upper", "[rectifier.upper]"),
        lower: part(&mut table, "lower", "[rectifier.lower]"),
    };
    table.finish();
    raw
}

/// A table that is a capacitor and nothing else.
fn capacitor(mut table: Table<'_>) -> RawCapacitor<'_> {
    let raw = capacitor_of(&mut table);
    table.finish();
    raw
}

/// The capacitor among other keys of a table.
fn capacitor_of<'t>(table: &mut Table<'t>) -> RawCapacitor<'t> {
    RawCapacitor {
        keys: table.keys(),
        section: table.name("section"),
        capacitance: table.quantity("capacitance", FARADS),
        esr: table.quantity("esr", OHMS_OR_ZERO),
    }
}

fn node(mut table: Table<'_>) -> RawNode<'_> {
    let raw = RawNode {
        keys: table.keys(),
        header: table.span(),
        name: table.name("name"),
        capacitor: capacitor_of(&mut table),
        role: table.word("role", &word::ROLE),
        load: table.quantity("load", AMPERES_OR_ZERO),
        load_resistance: table.quantity("load_resistance", OHMS),
        cold: table.flag("cold"),
        from: table.name("from"),
        resistor: table.quantity("resistor", OHMS),
        resistor_rating: table.quantity("resistor_rating", WATTS),
        choke: table.quantity("choke", HENRIES),
        choke_resistance: table.quantity("choke_resistance", OHMS_OR_ZERO),
        in_lead: table.word("in_lead", &word::LEAD),
        volts: table.quantity("volts", VOLTS),
        bleeder: table.quantity("bleeder", OHMS),
        negative: table.name("negative"),
    };
    table.finish();
    raw
}

fn bypass(mut table: Table<'_>) -> RawBypass<'_> {
    let raw = RawBypass {
        keys: table.keys(),
        section: table.name("section"),
        cathode_resistor: table.quantity("cathode_resistor", OHMS),
        volts: table.quantity("volts", VOLTS),
    };
    table.finish();
    raw
}

fn other(mut table: Table<'_>) -> RawOther<'_> {
    let raw = RawOther {
        keys: table.keys(),
        section: table.name("section"),
        usage: table.name("use"),
        positive: table.name("positive"),
        volts: table.quantity("volts", VOLTS),
    };
    table.finish();
    raw
}

fn readings(mut table: Table) -> RawReadings {
    let raw = RawReadings {
        can: table.word("can", &word::CAN_STATE),
        line: table.quantity("line", AC_VOLTS),
        supply: table.name("supply"),
        meter: table.name("meter"),
        dc: table.by_name("dc", VOLTS_OR_ZERO),
        hum: table.by_name("hum", AC_VOLTS),
        hum_frequency: table.quantity("hum_frequency", HERTZ),
        cold_ohms: table.by_name("cold_ohms", OHMS_OR_OPEN),
    };
    table.finish();
    raw
}
