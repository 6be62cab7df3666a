"""Made sets and their faults: what a chassis is, what is told of it, and what is wrong with it.

Every case is a function of (SEED, group, index) alone, so that any row can be remade by itself.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

SEED = 20240611
GROUPS = {"told": 1000, "untold": 1000, "outside": 400, "repairs": 400}
NODES = 5  # most that a set has: four sections and a node without capacitor

# Drop of one plate and its current, from memory of tube handbooks (receiving tube manuals of the
# 1940s to 60s; GZ34 from its European data sheet). The two half-wave types are given there at
# 200 mA, not at the 60 mA which they carry as a DC output.
TUBES = {
    "5Y3-GT": (50.0, 0.125),
    "80": (60.0, 0.125),
    "5U4-G": (44.0, 0.225),
    "6X5-GT": (22.0, 0.070),
    "GZ34": (17.0, 0.225),
    "35W4": (18.0, 0.200),
    "35Z5-GT": (18.0, 0.200),
}
# Windings (volts rms a side) and total loads (mA) that suit each full-wave type.
FULL_WAVE = {
    "5Y3-GT": ((260, 350), (40, 115)),
    "80": ((260, 350), (40, 110)),
    "5U4-G": ((300, 400), (60, 130)),
    "6X5-GT": ((230, 300), (40, 60)),
    "GZ34": ((300, 400), (60, 130)),
}
SILICON = ((1.0, 0.1), (0.9, 1.0))  # threshold (V) and slope (ohm) of one diode
E12 = (1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2)
RATED = (150, 250, 300, 350, 400, 450, 475, 500)


@dataclass
class Node:
    name: str
    parent: int  # -1: fed by the rectifier
    section: int | None  # position in the can
    load: float = 0.0  # amperes at the sound healthy set
    told_load: float = 0.0
    ohms: float = 0.0  # true resistance of the resistor or choke that feeds it
    told_ohms: float = 0.0
    henries: float = 0.0  # 0: a resistor
    told_henries: float = 0.0
    own_uf: float = 0.0  # a capacitor that is not of the can
    told_own_uf: float = 0.0


@dataclass
class State:
    """One state of the set: what its sections are, and a cause outside them."""

    share: list[float]  # of stamped capacitance, by position
    tan: list[float]
    line: float
    leak: dict[int, float] = field(default_factory=dict)  # section: amperes at the sound volts
    load_factor: dict[int, float] = field(default_factory=dict)  # node: factor
    ohm_factor: dict[int, float] = field(default_factory=dict)
    henry_factor: float = 1.0
    drop_factor: float = 1.0
    dead_plate: bool = False


@dataclass
class Case:
    id: str
    circuit: str = ""  # full-wave, bridge, half-wave, full-wave-doubler
    device: str = ""
    on_line: bool = False  # no transformer
    frequency: float = 60.0
    nominal: float = 117.0
    winding: float = 0.0  # true, at nominal line
    source_ohms: float = 0.0  # true, a plate
    drop: tuple[float, float] = (0.0, 0.0)  # tube: volts at amperes; silicon: volts and ohms a path
    power: float = 1.0  # loads follow volts to this power
    stamped: list[float] = field(default_factory=list)  # µF by position
    nodes: list[Node] = field(default_factory=list)
    head: list[str] = field(default_factory=list)  # job file but for the node loads and readings
    sound_volts: np.ndarray | None = None
    kind: str = ""
    cause: str = ""
    tell_loads: bool = False
    truth: State | None = None
    after: State | None = None
    stray_factor: float = 0.0  # of the ripple at stray_lug
    stray_lug: int = -1
    stray_phase: float = 0.0
    ac_times_dc: float = 0.0  # a range that does not block DC
    lugs_dc: list[int] = field(default_factory=list)  # nodes read
    lugs_hum: list[int] = field(default_factory=list)
    told: dict[str, str] = field(default_factory=dict)  # lines of [measured] beside the readings
    after_line: str = ""
    tell_frequency: bool = False
    average: bool = False
    gains: list[np.ndarray] = field(default_factory=list)  # [before, after] of (2, nodes): DC, AC
    stray: np.ndarray | None = None

    @property
    def tube(self) -> bool:
        return self.device != "silicon"

    @property
    def doubler(self) -> bool:
        return self.circuit == "full-wave-doubler"

    @property
    def ripple_hz(self) -> float:
        return self.frequency * (1 if self.circuit == "half-wave" else 2)


def log_uniform(rng: np.random.Generator, low: float, high: float) -> float:
    return float(math.exp(rng.uniform(math.log(low), math.log(high))))


def three(value: float, unit: str) -> str:
    """A told figure, three digits."""
    text = f"{value:.3g}"
    if "e" in text:
        text = f"{float(text):.0f}"
    return f"{text} {unit}"


def ohms(value: float) -> str:
    return f"{value / 1000:g} kΩ" if value >= 1000 else f"{value:g} Ω"


def tell(rng: np.random.Generator, true: float, error: float) -> float:
    return true * (1 + rng.uniform(-error, error))


def aged_resistor(rng: np.random.Generator, stamped: float) -> float:
    return stamped * (1 + rng.normal(0.03, 0.05))


def draw_supply(rng: np.random.Generator, case: Case, want: str) -> tuple[float, float, str]:
    """Rectifier, line and transformer; gives the DC to expect, the total load and the first feed."""
    case.on_line, case.frequency, case.nominal = False, 60.0, 117.0
    pick = rng.uniform()
    choke_input = want not in ("choke", "plate") and 0.55 <= pick < 0.61
    if want in ("choke", "plate") or pick < 0.61:
        case.circuit, case.device = "full-wave", str(rng.choice(list(FULL_WAVE)))
        if choke_input:
            case.device = str(rng.choice(["5Y3-GT", "5U4-G", "GZ34"]))
        volts, load = FULL_WAVE[case.device]
        dcr, primary = rng.uniform(60, 200), rng.uniform(3, 8)
    elif pick < 0.81 or want == "rectifier":
        case.circuit, case.on_line = "half-wave", True
        case.device = str(rng.choice(["35W4", "35Z5-GT"]))
        volts, load = (117, 117), (45, 70)
    elif pick < 0.91:
        case.circuit, case.device = "bridge", "silicon"
        volts, load = (150, 280), (40, 130)
        dcr, primary = rng.uniform(15, 70), rng.uniform(3, 8)
    elif pick < 0.97:
        case.circuit, case.device = "half-wave", "silicon"
        volts, load = (120, 200), (30, 70)
        dcr, primary = rng.uniform(30, 90), rng.uniform(5, 15)
    else:
        case.circuit, case.device = "full-wave-doubler", "silicon"
        volts, load = (110, 150), (50, 120)
        dcr, primary = rng.uniform(8, 25), rng.uniform(2, 5)
    if not case.on_line and rng.uniform() < 0.12:
        case.frequency, case.nominal = 50.0, 230.0
    total = rng.uniform(max(load[0], 60) if choke_input else load[0], load[1]) / 1000
    if case.tube:
        volts_at, amperes = TUBES[case.device]
        case.drop = (volts_at * math.exp(rng.normal(0, 0.07)), amperes)
    else:
        paths = 2 if case.circuit == "bridge" else 1
        threshold, slope = SILICON[int(rng.uniform() < 0.5)]
        case.drop = (threshold * paths, slope * paths)
    head = [f'[rectifier]\ncircuit = "{case.circuit}"\ndevice = "{case.device}"']
    if case.on_line:
        stamped = float(rng.choice([0, 10, 15, 22, 27, 30]))
        case.winding, case.source_ohms = case.nominal, max(0.0, aged_resistor(rng, stamped))
        head.append(f'transformer = "none"\nplate_resistor = "{stamped:g} Ω"')
        resistance = stamped
    else:
        primary *= (case.nominal / 117) ** 2  # for the same power
        case.winding = rng.uniform(*volts)
        case.source_ohms = dcr + primary * (case.winding / case.nominal) ** 2
        resistance = case.source_ohms
        head.append(f'winding = "{tell(rng, case.winding, 0.007):.1f} V"\nwinding_at = "{case.nominal:g} V"')
        head.append(f'winding_resistance = "{three(tell(rng, dcr, 0.04), "Ω")}"')
        head.append(f'primary_resistance = "{three(tell(rng, primary, 0.04), "Ω")}"')
    case.head = head
    crest = case.winding * math.sqrt(2) * 0.95
    at_peak = case.drop[0] * (2.5 * total / case.drop[1]) ** (2 / 3) if case.tube else case.drop[0]
    expect = crest - 2 * total * resistance - at_peak
    if case.doubler:
        expect = 2 * (crest - 3 * total * resistance)
    if choke_input:
        expect = 0.9 * case.winding - at_peak * 0.5
    first = "choke-input" if choke_input else "resistor"
    if case.circuit == "full-wave" and not choke_input and (want == "choke" or rng.uniform() < 0.3):
        first = "choke"
    return expect, total, first


def draw_chassis(rng: np.random.Generator, case: Case, want: str) -> None:
    """The set as told and as it is, with all sections sound."""
    expect, total, first = draw_supply(rng, case, want)
    case.power = rng.uniform(1.0, 1.5)
    count = 2 if case.doubler else int(rng.choice([2, 3, 4], p=[0.35, 0.45, 0.2]))
    if case.doubler:
        case.stamped = [float(rng.choice([40, 50, 80, 100]))] * 2
        nodes = 2
    else:
        sizes = [10, 16] if case.tube and rng.uniform() < 0.15 else [20, 30, 40, 50]
        reservoir = float(rng.choice(sizes))
        case.stamped = [reservoir, *(float(rng.choice([10, 20, 20, 30, 40, 50])) for _ in range(count - 1))]
        nodes = count
    order = list(range(count))
    if not case.doubler and rng.uniform() < 0.1:
        while order[0] == 0:
            order = list(map(int, rng.permutation(count)))
        case.stamped = [case.stamped[order.index(place)] for place in range(count)]

    # Currents: what each node draws. Behind a choke or a choke input the plates hang on the second.
    lead = rng.uniform(0.02, 0.10) if first == "choke" else rng.uniform(0.40, 0.75)
    rest = rng.dirichlet(np.full(nodes - 1, 3.0)) if nodes > 1 else np.array([])
    if first == "choke" and nodes > 2:
        tail = 0.6 * rest[1:].sum()
        rest = np.concatenate([[1 - tail], 0.6 * rest[1:]])
    loads = np.maximum(total * np.concatenate([[lead], (1 - lead) * rest]), 0.001)

    case.nodes = []
    if first == "choke-input":
        case.nodes.append(Node("input", -1, None))
    for place in range(nodes):
        here = len(case.nodes)
        parent = here - 1
        if place >= 2 and rng.uniform() < 0.12:
            parent = here - 2  # a branch: two nodes from one
        section = None if case.doubler else order[place]
        case.nodes.append(Node(f"B{place + 1}", parent, section, load=float(loads[place])))
    if case.doubler:
        case.nodes[1].told_own_uf = float(rng.choice([22, 33, 47]))
        case.nodes[1].own_uf = case.nodes[1].told_own_uf * rng.uniform(0.9, 1.1)
    volts = [expect] * len(case.nodes)
    for here, node in enumerate(case.nodes):
        node.told_load = tell(rng, node.load, 0.1)
        if node.parent < 0:
            continue
        current = through(case.nodes, here)
        if here == 1 and first != "resistor":
            least = 8 if first == "choke-input" else 4  # well above the critical inductance
            node.told_henries = float(rng.integers(least, 16))
            node.henries = tell(rng, node.told_henries, 0.12)
            node.ohms = rng.uniform(100, 400)
            node.told_ohms = tell(rng, node.ohms, 0.04)
        else:
            ideal = rng.uniform(0.03, 0.20) * volts[node.parent] / current
            ideal = min(max(ideal, 470.0), 10_000.0)
            choices = [m * d for d in (100, 1000, 10_000) for m in E12 if 470 <= m * d <= 10_000]
            node.told_ohms = round(min(choices, key=lambda r: abs(math.log(r / ideal))))
            node.ohms = aged_resistor(rng, node.told_ohms)
        volts[here] = volts[node.parent] - current * node.ohms

    rated = 150 if case.on_line else next((r for r in RATED if r >= 1.06 * (expect / 2 if case.doubler else expect)), 500)
    stamping = "-".join(f"{uf:g}" for uf in case.stamped) + f" MFD {rated} V"
    if case.doubler:
        stamping += "\\nNEG LEADS SEPARATE"
        case.head.append('[rectifier.upper]\nsection = "1"\n[rectifier.lower]\nsection = "2"')
    case.head.insert(0, f'[[can]]\nstamping = "{stamping}"')


def through(nodes: list[Node], index: int) -> float:
    """Current to a node: its own and that of all behind it."""
    return nodes[index].load + sum(through(nodes, j) for j, n in enumerate(nodes) if n.parent == index)


def sound(rng: np.random.Generator) -> tuple[float, float]:
    return float(rng.uniform(0.9, 1.4)), float(rng.uniform(0.02, 0.12))


def fresh(rng: np.random.Generator) -> tuple[float, float]:
    return float(rng.uniform(0.85, 1.15)), float(rng.uniform(0.01, 0.08))


def failed(rng: np.random.Generator, stamped: float) -> tuple[float, float, bool]:
    is_open = bool(rng.uniform() < 0.12)
    share = log_uniform(rng, 0.02, 0.3) / stamped if is_open else log_uniform(rng, 0.03, 0.6)
    return share, log_uniform(rng, 0.08, 0.7), is_open


def draw_outside(rng: np.random.Generator, case: Case, state: State, cause: str) -> None:
    """A cause that is not of the can."""
    carrying = [j for j, n in enumerate(case.nodes) if n.load > 0]
    fed = [j for j, n in enumerate(case.nodes) if n.parent >= 0 and n.henries == 0]
    if cause in ("load-up", "load-down"):
        node = int(rng.choice(carrying))
        state.load_factor[node] = rng.uniform(1.5, 2.5) if cause == "load-up" else rng.uniform(0.2, 0.55)
        case.cause = f"cause:load:{case.nodes[node].name}"
    elif cause == "resistor":
        node = int(rng.choice(fed))
        state.ohm_factor[node] = rng.uniform(1.8, 4)
        case.cause = f"cause:R:{case.nodes[node].name}"
    elif cause == "choke":
        node = next(j for j, n in enumerate(case.nodes) if n.henries > 0)
        state.henry_factor, state.ohm_factor[node] = rng.uniform(0.08, 0.4), rng.uniform(0.7, 1)
        case.cause = f"cause:choke:{case.nodes[node].name}"
    elif cause == "rectifier":
        state.drop_factor = rng.uniform(2, 4)
        case.cause = "cause:rectifier"
    elif cause == "dead-plate":
        state.dead_plate, case.cause = True, "cause:dead-plate"
    elif cause == "line":
        state.line = case.nominal * (1 - rng.uniform(0.05, 0.10) if rng.uniform() < 0.5 else 1 + rng.uniform(0.04, 0.07))
        case.cause = "cause:line"
    elif cause == "stray":
        case.stray_lug = int(rng.choice([j for j in range(1, len(case.nodes)) if case.nodes[j].name != "B1"]))
        case.stray_factor, case.stray_phase = rng.uniform(5, 30), rng.uniform(0, 2 * math.pi)
        case.cause = f"cause:stray:{case.nodes[case.stray_lug].name}"
    elif cause == "meter":
        # Rectifying meters: full-wave shows 1.11 of the mean, half-wave 2.22.
        case.ac_times_dc, case.cause = float(rng.choice([1.11, 2.22])), "cause:meter"


def draw_case(group: str, index: int) -> Case:
    rng = np.random.default_rng([SEED, list(GROUPS).index(group), index])
    case = Case(f"{group}-{index:04d}")
    outside_kinds = ("load-up", "load-down", "resistor", "choke", "rectifier", "line", "stray", "meter")
    cause = ""
    if group == "outside":
        cause = outside_kinds[index % 8]
    elif group == "repairs" and index % 2 and (index // 2) % 3 == 2:
        cause = str(rng.choice(["load-up", "resistor", "choke", "rectifier", "stray"]))
    want = cause
    if cause == "rectifier" and rng.uniform() < 0.5:
        cause, want = "dead-plate", "plate"
    # Redrawn until there is a part for the cause to sit at: a resistor with a node of its own.
    while True:
        draw_chassis(rng, case, want)
        if cause == "resistor" and not any(n.parent >= 0 and n.henries == 0 for n in case.nodes):
            continue
        if cause == "stray" and sum(n.name.startswith("B") for n in case.nodes) < 2:
            continue
        if cause == "rectifier" and not case.tube:
            continue
        break
    count = len(case.stamped)
    high = case.nominal / 117
    line = rng.uniform(110, 122) * high
    pairs = [sound(rng) for _ in range(count)]
    state = State([p[0] for p in pairs], [p[1] for p in pairs], line)

    bad: list[int] = []
    case.kind = "none"
    if cause:
        draw_outside(rng, case, state, cause)
        case.kind = cause
    else:
        how_many = int(rng.choice([0, 1, 2], p=[0.12, 0.66, 0.22]))
        if group == "repairs":
            how_many = int(rng.choice([1, 2], p=[0.75, 0.25]))
            if count == 2 and (index // 2) % 3 == 1:
                how_many = 1  # 'wrong-section' needs another to replace
        bad = sorted(map(int, rng.permutation(count)[:how_many]))
        for section in bad:
            state.share[section], state.tan[section], is_open = failed(rng, case.stamped[section])
            case.kind = "open" if is_open else "worn"
        case.kind = "two" if len(bad) == 2 else case.kind
        places = [n.section for n in case.nodes if n.section is not None]
        if group in ("told", "untold") and places and rng.uniform() < 0.10:
            state.leak[int(rng.choice(places))] = rng.uniform(0.003, 0.030)
            case.kind = "leak"
    case.truth = state
    case.tell_loads = group == "told" or (group != "untold" and bool(rng.uniform() < 0.5))

    if group == "repairs":
        new = [fresh(rng) for _ in range(count)]
        after = State(list(state.share), list(state.tan), line * (1 + rng.uniform(-0.015, 0.015)),
                      load_factor=state.load_factor, ohm_factor=state.ohm_factor, henry_factor=state.henry_factor,
                      drop_factor=state.drop_factor, dead_plate=state.dead_plate)
        if index % 2 == 0:
            case.kind, replaced = "good", list(range(count))
        elif cause:
            case.kind, replaced = "outside", list(range(count))
        elif (index // 2) % 3 == 0:
            case.kind, replaced = "not-connected", []
        else:
            case.kind, replaced = "wrong-section", [s for s in range(count) if s not in bad]
        for section in replaced:
            after.share[section], after.tan[section] = new[section]
        case.after = after

    draw_bench(rng, case, group, cause, bad)
    return case


def draw_bench(rng: np.random.Generator, case: Case, group: str, cause: str, bad: list[int]) -> None:
    """What is read, with which meter, and what is told of the line."""
    lugs = [j for j, n in enumerate(case.nodes) if n.section is not None or case.doubler]
    chance = [0.9 if j == lugs[0] else 0.75 for j in lugs]
    dc = [j for j, p in zip(lugs, chance) if rng.uniform() < p]
    hum = [j for j, p in zip(lugs, chance) if rng.uniform() < p]
    if group == "outside" and rng.uniform() < 0.6:
        dc, hum = list(lugs), list(lugs)
    if group == "repairs":
        at = [j for j in lugs if case.nodes[j].section in bad] or ([lugs[0]] if case.doubler else [])
        dc, hum = sorted({*dc, *at}), sorted({*hum, *at})
    if case.stray_lug >= 0:
        hum = sorted({*hum, case.stray_lug})
    case.lugs_dc, case.lugs_hum = dc, hum or [int(rng.choice(lugs))]

    case.average = bool(rng.uniform() < 0.4) or cause == "meter"
    error = float(rng.choice([1.0, 1.5, 2.0]))
    told_meter = bool(rng.uniform() < 2 / 3) or case.average
    volts, line_told = tell(rng, case.truth.line, 0.005), tell(rng, case.truth.line, 0.005)
    tell_line = bool(rng.uniform() < 0.85) and cause != "line"
    mains = "" if cause == "line" else f'volts = "{volts:.1f} V"\n'
    case.head.insert(1, f'[mains]\n{mains}nominal = "{case.nominal:g} V"\nfrequency = "{case.frequency:g} Hz"')
    if rng.uniform() < 0.8:
        case.told["can"] = "faulty"
    if tell_line:
        case.told["line"] = f"{line_told:.1f} V"
    if told_meter:
        case.told["meter"] = f"{'average' if case.average else 'true-rms'} {error:g} %"
    if case.after is not None and tell_line:
        case.after_line = f"{tell(rng, case.after.line, 0.005):.1f} V"
    case.tell_frequency = bool(rng.uniform() < 0.65)
    # Half of the meter's error is common to all its readings, before and after a repair alike.
    limits = np.array([[0.005], [error / 100]])
    common = rng.uniform(-0.5, 0.5, (2, 1))
    for _ in range(2):
        case.gains.append(1 + limits * (common + rng.uniform(-0.5, 0.5, (2, NODES))))
    case.stray = rng.uniform(0, 0.003, NODES)
