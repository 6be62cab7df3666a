"""Made bench cases for the diagnosis tests: tube sets with known faults, and what a meter reads at them.

Independent of the program under test: it imports and reads nothing of it, and works with
another method (implicit midpoint over one line period, closed to a periodic steady state by
Newton shooting) on a circuit whose loads follow volts, as tubes do, and whose parts differ
from what the job file tells.

    python simulate.py --write                     all files
    python simulate.py --write --only told --count 20
    python simulate.py --check 40                  40 rows worked anew against the files
    python validate.py 10                          the method against scipy's Radau, tight

cases.py draws the sets and their faults, steady.py solves them, this reads the meter and writes
the files. A row is a function of (SEED, group, index) alone.
"""

from __future__ import annotations

import argparse
import csv
import math
import sys
import time
import tomllib
from pathlib import Path

import numpy as np

from cases import GROUPS, Case, State, draw_case, ohms, three
from steady import STEPS, steady

HERE = Path(__file__).resolve().parent
# Autoranging 4,000-count meter: top of range and resolution, volts.
RANGES = ((0.4, 1e-4), (4.0, 1e-3), (40.0, 1e-2), (400.0, 0.1), (math.inf, 1.0))


def resolution(volts: float) -> float:
    return next(step for top, step in RANGES if abs(volts) < top)


def shown(volts: float) -> str:
    step = resolution(volts)
    if step < 1e-3:
        return f"{volts * 1000:.1f} mV"
    return f"{volts:.{round(-math.log10(step))}f} V"


def readings(case: Case, waves: np.ndarray, turn: int) -> tuple[dict[int, float], dict[int, float], int]:
    """DC and hum at each lug read, and the frequency a counter would give."""
    gains = case.gains[turn]
    mean, ripple = waves.mean(axis=0), waves - waves.mean(axis=0)
    angle = 2 * math.pi * (np.arange(STEPS) + 0.5) / STEPS
    if case.stray_lug >= 0:
        there = math.sqrt(np.mean(ripple[:, case.stray_lug] ** 2))
        stray = min(max(case.stray_factor * there, 0.020), 1.5)
        ripple[:, case.stray_lug] += math.sqrt(2) * stray * np.sin(angle + case.stray_phase)
    rms = np.sqrt(np.mean(ripple**2, axis=0))
    seen = np.pi / (2 * math.sqrt(2)) * np.mean(np.abs(ripple), axis=0) if case.average else rms
    seen = np.hypot(seen, case.stray[: len(seen)])
    if case.ac_times_dc:
        seen = case.ac_times_dc * mean
    dc = {j: float(mean[j] * gains[0, j]) for j in case.lugs_dc}
    hum = {j: float(seen[j] * gains[1, j]) for j in case.lugs_hum}
    # A counter shows the largest component where it is put: at the loudest lug, or where the hum
    # is odd.
    loudest = max(case.lugs_hum, key=lambda j: seen[j])
    if case.stray_lug in case.lugs_hum:
        loudest = case.stray_lug
    spectrum = np.abs(np.fft.rfft(ripple[:, loudest]))[:40] * 2 / STEPS
    spectrum[1] = math.hypot(spectrum[1], math.sqrt(2) * case.stray[loudest])
    harmonic = int(np.argmax(spectrum[1:])) + 1
    return dc, hum, harmonic


def section_text(case: Case, table: str, told: dict[str, str], read: tuple[dict, dict, int]) -> str:
    dc, hum, harmonic = read
    lines = [f"[{table}]", *(f'{key} = "{value}"' for key, value in told.items())]
    for key, values in (("dc", dc), ("hum", hum)):
        if values:
            inner = ", ".join(f'{case.nodes[j].name} = "{shown(v)}"' for j, v in values.items())
            lines.append(f"{key} = {{ {inner} }}")
    if case.tell_frequency:
        lines.append(f'hum_frequency = "{harmonic * case.frequency:g} Hz"')
    return "\n".join(lines)


def job_text(case: Case, before: tuple, after: tuple | None) -> str:
    parts = list(case.head)
    for node in case.nodes:
        lines = [f'[[node]]\nname = "{node.name}"']
        if node.parent >= 0:
            lines.append(f'from = "{case.nodes[node.parent].name}"')
            if node.told_henries:
                lines.append(f'choke = "{node.told_henries:g} H"\nchoke_resistance = "{three(node.told_ohms, "Ω")}"')
            else:
                lines.append(f'resistor = "{ohms(node.told_ohms)}"')
        if node.section is not None:
            lines.append(f'section = "{node.section + 1}"')
        if node.told_own_uf:
            lines.append(f'capacitance = "{node.told_own_uf:g} µF"')
        if case.tell_loads and node.load:
            lines.append(f'load = "{three(node.told_load * 1000, "mA")}"')
        parts.append("\n".join(lines))
    parts.append(section_text(case, "measured", case.told, before))
    if after is not None:
        told = {k: v for k, v in case.told.items() if k == "meter"}
        if case.after_line:
            told = {"line": case.after_line, **told}
        parts.append(section_text(case, "after", told, after))
    return "\n".join(parts) + "\n"


def truth_text(case: Case) -> str:
    words = [f"{chr(65 + s)}={share:.4f}" for s, share in enumerate(case.truth.share)]
    words += [f"leak:{chr(65 + s)}={amperes:.4f}" for s, amperes in case.truth.leak.items()]
    return " ".join(words + ([case.cause] if case.cause else []))


def make(wanted: list[tuple[str, int]]) -> tuple[list[Case], list[dict[str, str]]]:
    cases = [draw_case(group, index) for group, index in wanted]
    healthy = [(c, State([1.0] * len(c.stamped), [0.06] * len(c.stamped), c.nominal)) for c in cases]
    # Loads draw their nominal current at the volts of the sound set at nominal line: found with
    # constant currents (power 0), which the loads then follow from.
    powers = [c.power for c in cases]
    for c in cases:
        c.power = 0.0
    sound_waves = steady(healthy)
    for c, power, waves in zip(cases, powers, sound_waves):
        c.power, c.sound_volts = power, waves.mean(axis=0)
    before = steady([(c, c.truth) for c in cases])
    repaired = [c for c in cases if c.after is not None]
    after = dict(zip((c.id for c in repaired), steady([(c, c.after) for c in repaired])))
    rows = []
    for c, waves in zip(cases, before):
        second = readings(c, after[c.id], 1) if c.after is not None else None
        job = job_text(c, readings(c, waves, 0), second)
        rows.append({"id": c.id, "kind": c.kind, "truth": truth_text(c), "job": job})
    return cases, rows


def write(group: str, count: int) -> None:
    began = time.perf_counter()
    _, rows = make([(group, i) for i in range(count)])
    path = HERE / f"{group}.csv"
    with path.open("w", newline="", encoding="utf-8") as out:
        writer = csv.DictWriter(out, ["id", "kind", "truth", "job"], lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
    took = time.perf_counter() - began
    print(f"{path.name}: {len(rows)} cases, {path.stat().st_size / 1e6:.2f} MB, {took:.0f} s ({took / len(rows):.3f} s each)", flush=True)


def volts_of(job: str) -> dict[tuple[str, str, str], float]:
    data, found = tomllib.loads(job), {}
    for table in ("measured", "after"):
        for key in ("dc", "hum"):
            for lug, text in data.get(table, {}).get(key, {}).items():
                number, unit = text.split()
                found[table, key, lug] = float(number) * (1e-3 if unit == "mV" else 1.0)
    return found


def check(count: int) -> int:
    """Rows of the files, spread over all of them, worked anew; and the told text compared."""
    stored: dict[str, dict[str, str]] = {}
    wanted: list[tuple[str, int]] = []
    for group in GROUPS:
        with (HERE / f"{group}.csv").open(newline="", encoding="utf-8") as source:
            rows = list(csv.DictReader(source))
        stored |= {row["id"]: row for row in rows}
        share = max(1, count // len(GROUPS))
        wanted += [(group, (i * len(rows) // share + 3 * i) % len(rows)) for i in range(share)]
    bad, worst = 0, 0.0
    for row in make(wanted)[1]:
        kept = stored[row["id"]]
        old, new = volts_of(kept["job"]), volts_of(row["job"])
        if old.keys() != new.keys() or (kept["kind"], kept["truth"]) != (row["kind"], row["truth"]):
            print(f"{row['id']}: not the same case")
            bad += 1
            continue
        for place, volts in new.items():
            off = abs(volts - old[place])
            worst = max(worst, off / max(abs(volts), 1e-4))
            if off > max(0.005 * abs(volts), 2.001 * resolution(volts)):
                print(f"{row['id']} {' '.join(place)}: {old[place]:g} V kept, {volts:g} V now")
                bad += 1
    print(f"{len(wanted)} rows worked anew, {bad} differ, largest difference {100 * worst:.3g} %")
    return 1 if bad else 0


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--only", choices=list(GROUPS))
    parser.add_argument("--count", type=int)
    parser.add_argument("--check", type=int, metavar="ROWS")
    options = parser.parse_args()
    if options.write:
        for group in [options.only] if options.only else GROUPS:
            write(group, options.count or GROUPS[group])
    return check(options.check) if options.check else 0


if __name__ == "__main__":
    sys.exit(main())
