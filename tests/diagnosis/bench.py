"""A few invented chassis with nothing drawn by chance: what is wrong with one, what is read of it, and the job told.

steady.py solves them, as it does the made cases; states.py has the states.
"""

from __future__ import annotations

import functools
import math
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from cases import NODES, SILICON, TUBES, Case, Node, State
from simulate import job_text, readings, section_text
from steady import steady

A, B, C = 0, 1, 2  # sections by position in the can, and the nodes B1, B2, B3 where they stand
SOUND, SOUND_TAN = 1.1, 0.06  # of what is stamped: new electrolytics lie above rather than below
WORN_TAN = 0.25  # dried out: less electrolyte, more resistance
ALIKE_DC, ALIKE_HUM, FLOOR = 0.005, 0.01, 0.005  # what a meter good to 1 % can't tell, and volts of stray hum
POWER = 1.25  # loads follow volts between a resistor's way and a triode's


@dataclass(frozen=True)
class Set:
    """A chassis as its sheet has it: nodes are (feed ohms, henries, mA), the first fed by the rectifier."""

    circuit: str
    device: str
    rated: int
    stamped: tuple[float, ...]
    nodes: tuple[tuple[float, float, float], ...]
    winding: float = 0.0  # 0: on the line
    ohms: tuple[float, float] = (0.0, 0.0)  # winding and primary; plate resistor and nothing


SETS = {
    "console": Set("full-wave", "5Y3-GT", 450, (40, 20, 20), ((0, 0, 55), (1000, 0, 18), (10_000, 0, 3)), 310, (110, 5)),
    # The plates hang behind the choke, so that enough flows in it.
    "choke": Set("full-wave", "GZ34", 500, (20, 40, 20), ((0, 0, 5), (250, 8, 75), (10_000, 0, 4)), 350, (90, 4)),
    "ac-dc": Set("half-wave", "35Z5-GT", 150, (50, 30), ((0, 0, 45), (1000, 0, 14)), 0, (22, 0)),
    # B1 is the doubler's top, which no section stands at; B2 has a capacitor of its own.
    "doubler": Set("full-wave-doubler", "silicon", 250, (50, 50), ((0, 0, 60), (1500, 0, 20)), 130, (15, 3)),
}


@dataclass(frozen=True)
class Bench:
    """A set with what is wrong with it, and what of it is read and told."""

    set: str = "console"
    uf: dict[int, float] = field(default_factory=dict)  # of sections that are not sound
    tan: dict[int, float] = field(default_factory=dict)
    leak: dict[int, float] = field(default_factory=dict)  # mA
    load: dict[int, float] = field(default_factory=dict)  # factor, by node
    meant: dict[int, float] = field(default_factory=dict)  # mA that a sound set of this sort draws
    resistor: dict[int, float] = field(default_factory=dict)  # factor
    henries: float = 1.0  # factor
    drop: float = 1.0  # factor
    dead_plate: bool = False
    line: float = 117.0
    stray: dict[int, float] = field(default_factory=dict)  # V at the line's frequency, picked up by the lead
    # What is told and read.
    stamping: str = ""
    can: str = "faulty"
    mains: float | None = 117.0  # the bench's line as noted
    line_told: bool = True  # the line while the lugs are read
    loads: bool = True
    told_load: dict[int, float] = field(default_factory=dict)  # mA
    told_ohms: dict[int, float] = field(default_factory=dict)
    meter: str = "true-rms 1 %"
    average: bool = False
    shows_dc: float = 0.0
    dc: str = "ABC"
    hum: str = "ABC"
    frequency: bool = True
    counter: int | None = None  # lug that the counter is at; None: the loudest
    cold: dict[int, str] = field(default_factory=dict)
    supply: str = ""


@dataclass(frozen=True)
class Row:
    name: str
    bench: Bench
    truth: str
    first: str
    states: str = ""
    service: str = ""
    settle: str = ""
    reading: str = ""
    neighbour: str = ""
    twin: str = ""
    command: str = "fault"
    outcome: str = ""
    after: Bench | None = None
    many: bool = False  # whether the one fact moves several readings


class Table:
    """States as they are told; a twin takes from its state what it doesn't change."""

    def __init__(self) -> None:
        self.rows: list[Row] = []

    def state(self, name: str, bench: Bench, truth: str, reading: str, first: str = "", states: str = "",
              service: str = "", settle: str = "", outcome: str = "", after: Bench | None = None, neighbour: str = "") -> None:
        command = "prove" if outcome else "fault"
        self.rows.append(Row(name, bench, truth, first, states, service, settle, reading, neighbour, "", command, outcome, after))

    def twin(self, name: str, bench: Bench | None, truth: str, first: str = "", states: str = "", service: str = "",
             settle: str = "", outcome: str = "", after: Bench | None = None, many: bool = False) -> None:
        of = self.rows[-1]
        self.rows[-1] = replace(of, neighbour=of.neighbour or truth)
        self.rows.append(Row(name, bench or of.bench, truth, first, states, service, settle, of.reading,
                             of.neighbour or of.truth, of.name, of.command, outcome, after, many))


Read = tuple[dict[int, float], dict[int, float], int]  # DC and hum by node, harmonic of the line


def case_of(bench: Bench) -> Case:
    sort = SETS[bench.set]
    case = Case(bench.set, circuit=sort.circuit, device=sort.device, on_line=not sort.winding, power=POWER)
    case.stamped = list(sort.stamped)
    for j, (feed, henries, draws) in enumerate(sort.nodes):
        amperes = bench.meant.get(j, draws) / 1000
        told = bench.told_load.get(j, amperes * 1000) / 1000
        case.nodes.append(Node(f"B{j + 1}", j - 1, None if case.doubler else j, amperes, told, feed,
                               bench.told_ohms.get(j, feed), henries, henries))
    series, primary = sort.ohms
    case.winding = sort.winding or case.nominal
    case.source_ohms = series + primary * (case.winding / case.nominal) ** 2
    # A full-wave doubler charges each half through one diode.
    case.drop = TUBES[sort.device] if case.tube else SILICON[0]
    stamping = bench.stamping or "-".join(f"{uf:g}" for uf in sort.stamped) + f" MFD {sort.rated} V"
    case.head = [f'[[can]]\nstamping = "{stamping}"', mains_text(bench, case), rectifier_text(bench, case)]
    if case.doubler:
        case.nodes[1].own_uf = case.nodes[1].told_own_uf = 33.0
        case.head[0] = case.head[0][:-1] + '\\nNEG LEADS SEPARATE"'
        case.head.append('[rectifier.upper]\nsection = "1"\n[rectifier.lower]\nsection = "2"')
    case.tell_loads, case.tell_frequency = bench.loads, bench.frequency
    case.average, case.ac_times_dc = bench.average, bench.shows_dc
    case.told = told_of(bench)
    lugs = range(len(case.nodes))
    case.lugs_dc, case.lugs_hum = ([j for j in lugs if "ABC"[j] in of] for of in (bench.dc, bench.hum))
    case.gains = [np.ones((2, NODES))] * 2  # a meter that errs by its rounding only
    case.stray = np.array([bench.stray.get(j, 0.0) for j in range(NODES)])
    return case


def mains_text(bench: Bench, case: Case) -> str:
    noted = f'volts = "{bench.mains:.1f} V"\n' if bench.mains else ""
    return f'[mains]\n{noted}nominal = "{case.nominal:g} V"\nfrequency = "{case.frequency:g} Hz"'


def rectifier_text(bench: Bench, case: Case) -> str:
    series, primary = SETS[bench.set].ohms
    text = f'[rectifier]\ncircuit = "{case.circuit}"\ndevice = "{case.device}"\n'
    if case.on_line:
        return text + f'transformer = "none"\nplate_resistor = "{series:g} Ω"'
    return text + (f'winding = "{case.winding:g} V"\nwinding_at = "{case.nominal:g} V"\n'
                   f'winding_resistance = "{series:g} Ω"\nprimary_resistance = "{primary:g} Ω"')


def told_of(bench: Bench) -> dict[str, str]:
    told = {"can": bench.can, "line": f"{bench.line:.1f} V" if bench.line_told else "",
            "supply": bench.supply, "meter": bench.meter}
    return {key: value for key, value in told.items() if value}


def state_of(bench: Bench, case: Case) -> State:
    uf = [bench.uf.get(s, SOUND * stamped) for s, stamped in enumerate(case.stamped)]
    return State([own / stamped for own, stamped in zip(uf, case.stamped)],
                 [bench.tan.get(s, WORN_TAN if own < 0.6 * stamped else SOUND_TAN)
                  for s, (own, stamped) in enumerate(zip(uf, case.stamped))],
                 bench.line, {s: ma / 1000 for s, ma in bench.leak.items()}, bench.load, bench.resistor,
                 bench.henries, bench.drop, bench.dead_plate)


@functools.cache
def sound_volts(name: str, meant: tuple[tuple[int, float], ...]) -> np.ndarray:
    """Where the loads draw what they should: of the sound set at nominal line, with loads that don't follow volts."""
    bench = Bench(name, meant=dict(meant))
    case = case_of(bench)
    case.power = 0.0
    return steady([(case, state_of(bench, case))])[0].mean(axis=0)


def solve(benches: list[Bench]) -> list[Read]:
    """What a meter reads at the lugs that are read."""
    cases = [case_of(bench) for bench in benches]
    for bench, case in zip(benches, cases):
        case.sound_volts = sound_volts(bench.set, tuple(sorted(bench.meant.items())))
    waves = steady([(case, state_of(bench, case)) for bench, case in zip(benches, cases)])
    found = []
    for bench, case, wave in zip(benches, cases, waves):
        everywhere = replace(case, lugs_hum=list(range(len(case.nodes))))
        at = everywhere if bench.counter is None else replace(case, lugs_hum=[bench.counter])
        dc, hum, _ = readings(everywhere, wave, 0)
        found.append((dc, {j: hum[j] for j in case.lugs_hum}, readings(at, wave, 0)[2]))
    return found


def job_of(bench: Bench, read: Read, after: tuple[Bench, Read] | None = None) -> str:
    case = case_of(bench)
    job = job_text(case, read, None) + cold_text(bench, case)
    if after is not None:
        told = {key: value for key, value in told_of(after[0]).items() if key != "can"}
        job += section_text(case_of(after[0]), "after", told, after[1]) + "\n" + cold_text(after[0], case)
    return job


def cold_text(bench: Bench, case: Case) -> str:
    if not bench.cold:
        return ""
    return "cold_ohms = { " + ", ".join(f'{case.nodes[j].name} = "{of}"' for j, of in bench.cold.items()) + " }\n"


def find(bench_of: Callable[[float], Bench], value: Callable[[Read], float], target: float, low: float, high: float) -> float:
    """The one parameter with which a reading is as wanted: the reading rises or falls all the way with it."""
    for _ in range(3):
        grid = [low * (high / low) ** (i / 7) for i in range(8)]
        off = [math.log(value(read) / target) for read in solve([bench_of(x) for x in grid])]
        cross = next(i for i in range(7) if off[i] * off[i + 1] <= 0)
        low, high = grid[cross], grid[cross + 1]
    share = off[cross] / (off[cross] - off[cross + 1])
    return float(f"{low * (high / low) ** share:.4g}")


def hum(node: int) -> Callable[[Read], float]:
    return lambda read: read[1][node]


def dc(node: int) -> Callable[[Read], float]:
    return lambda read: read[0][node]


def alike(own: Read, other: Read) -> Read:
    """A twin's readings, as its state has them where a meter can't tell the two apart: so that one stands out."""
    def same(a: float, b: float, share: float, floor: float) -> bool:
        return abs(a - b) <= max(share * abs(b), floor)

    volts = [{j: there[j] if j in there and same(v, there[j], share, floor) else v for j, v in here.items()}
             for here, there, share, floor in ((own[0], other[0], ALIKE_DC, 0.0), (own[1], other[1], ALIKE_HUM, FLOOR))]
    return volts[0], volts[1], own[2]


def facts(job: str) -> dict[str, str]:
    """What a job tells, fact by fact; the loads are one fact, and so are the cold ohms."""
    def walk(at: str, of: object) -> Iterator[tuple[str, str]]:
        if isinstance(of, dict) and not at.endswith("cold_ohms"):
            for key, value in of.items():
                yield from walk(f"{at} {key}".strip(), value)
        elif isinstance(of, list):
            for i, value in enumerate(of):
                yield from walk(f"{at} {i}", value)
        else:
            yield at, str(of)

    told = dict(walk("", tomllib.loads(job)))
    loads = [key for key in told if key.endswith(" load")]
    return told | ({"loads": "told"} if loads else {})


def apart(job: str, other: str) -> set[str]:
    """The facts in which two jobs differ. A table that one of them lacks is one."""
    one, two = facts(job), facts(other)
    keys = {key for key in one.keys() | two.keys() if one.get(key) != two.get(key)}
    if "loads" in keys:
        keys = {key for key in keys if not key.endswith(" load")}
    def whole(key: str) -> str:
        for table in ("after", "measured dc", "measured hum", "after dc", "after hum"):
            if key.startswith(table + " ") and not all(any(k.startswith(table + " ") for k in of) for of in (one, two)):
                return table
        return key
    return {whole(key) for key in keys}
