"""Reads what a `job.toml` says of its supply, in plain SI numbers.

Knows nothing of the crate: values, stampings and rectifier types are read here
a second time, so that a slip in either reader shows as a difference. It takes
the forms that the files under `circuits/` use, and refuses every other.
"""

import csv
import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
PREFIX = {"": 1.0, "k": 1e3, "M": 1e6, "m": 1e-3, "µ": 1e-6, "u": 1e-6}
KNOWN = {
    "": {"chassis", "can", "mains", "rectifier", "node"},
    "mains": {"volts", "nominal", "frequency"},
    "can": {"stamping", "negative"},
    "rectifier": {
        "circuit", "device", "law", "drop", "drop_current", "slope_resistance", "cathode",
        "winding", "winding_at", "winding_resistance", "primary_resistance",
        "supply_resistance", "plate_resistor", "standby", "series", "upper", "lower",
    },
    "capacitor": {"section", "capacitance", "esr"},
    "node": {
        "name", "from", "resistor", "choke", "choke_resistance", "in_lead", "section",
        "capacitance", "esr", "role", "load", "load_resistance", "cold", "bleeder",
    },
}


def value(text, unit):
    """`4.7 kΩ` in ohms."""
    found = re.fullmatch(rf"([0-9.]+)\s*([kMmµu]?){unit}", text)
    if not found:
        raise ValueError(f"{text!r} is no value in {unit}")
    return float(found[1]) * PREFIX[found[2]]


def known(table, of):
    if extra := set(table) - KNOWN[of]:
        raise ValueError(f"{extra} in {of or 'the file'} is not understood")
    return table


def stamped(cans):
    """Farads of each section by its position, from `40-40-20 MFD 450 WVDC`."""
    sections = {}
    for can in cans:
        for line in known(can, "can")["stamping"].splitlines():
            found = re.fullmatch(r"([0-9-]+) MFD [0-9]+ WVDC", line)
            if not found:
                raise ValueError(f"stamping {line!r} is not understood")
            for uf in found[1].split("-"):
                sections[str(len(sections) + 1)] = 1e-6 * float(uf)
    return sections


def capacitor(table, sections):
    """Farads and esr; `None` where there is no capacitor."""
    if "section" in table:
        farad = sections[table["section"]]
    elif "capacitance" in table:
        farad = value(table["capacitance"], "F")
    else:
        return None
    return {"farad": farad, "esr": value(table.get("esr", "0 Ω"), "Ω")}


def type_law(name):
    """A type's drop and the current it is given at, from the crate's table."""
    with (ROOT / "data" / "rectifiers.csv").open() as f:
        for row in csv.DictReader(line for line in f if not line.startswith("#")):
            if name in row["type"].split("/") + row["aliases"].split(";"):
                drop = float(row["drop_v"])
                if row["cathode"] == "solid_state" or "mercury" in row["note"]:
                    return {"drop": drop, "slope": 0.0}
                return {"drop": drop, "drop_at": 1e-3 * float(row["drop_at_ma"])}
    raise ValueError(f"no rectifier {name!r}")


def law(rectifier):
    if "device" in rectifier:
        return type_law(rectifier["device"])
    drop = value(rectifier["drop"], "V")
    if rectifier["law"] == "three-halves":
        return {"drop": drop, "drop_at": value(rectifier["drop_current"], "A")}
    return {"drop": drop, "slope": value(rectifier["slope_resistance"], "Ω")}


def source(mains, rectifier):
    """Volts rms, and ohms in each plate's path."""
    line = value(mains["volts"], "V")
    ohms = {k: value(rectifier[k], "Ω") for k in rectifier if k.endswith("_resistance") and k != "slope_resistance"}
    ratio = 1.0
    if "winding" in rectifier:
        at = value(rectifier["winding_at"], "V") if "winding_at" in rectifier else line
        ratio = value(rectifier["winding"], "V") / at
    whole = ohms.get("winding_resistance", 0.0) + ohms.get("primary_resistance", 0.0) * ratio**2
    whole = ohms.get("supply_resistance", whole) + value(rectifier.get("plate_resistor", "0 Ω"), "Ω")
    return line * ratio, whole


def node(table, places, sections):
    known(table, "node")
    out = {"capacitor": capacitor(table, sections), "cold": table.get("cold", False)}
    if "from" in table:
        out["from"] = places[table["from"]]
    # In either lead a branch carries the same current from node to node.
    for key, name, unit in (
        ("resistor", "ohm", "Ω"), ("choke", "henry", "H"), ("choke_resistance", "ohm", "Ω"),
        ("load", "ampere", "A"), ("load_resistance", "load_ohm", "Ω"), ("bleeder", "bleeder_ohm", "Ω"),
    ):
        if key in table:
            out[name] = value(table[key], unit)
    if "henry" in out:
        out.setdefault("ohm", 0.0)
    return out


def read(path):
    """The supply of a job: source, law, capacitors of a doubler, nodes."""
    job = known(tomllib.loads(path.read_text()), "")
    mains, rectifier = known(job["mains"], "mains"), known(job["rectifier"], "rectifier")
    sections = stamped(job.get("can", []))
    volts, ohm = source(mains, rectifier)
    places = {n["name"]: j for j, n in enumerate(job["node"])}
    cells = [capacitor(known(rectifier[p], "capacitor"), sections) for p in ("upper", "lower", "series") if p in rectifier]
    return {
        "kind": rectifier["circuit"],
        "volts": volts,
        "hertz": value(mains["frequency"], "Hz"),
        "source_ohm": ohm,
        "law": law(rectifier),
        "cells": cells,
        "nodes": [node(n, places, sections) for n in job["node"]],
    }
