"""Steady states of steady.py against scipy's Radau at tight tolerance, one circuit at a time.

    python validate.py 10       the first case of each sort of supply and fault, ten sorts
"""

from __future__ import annotations

import math
import sys

import numpy as np
from scipy.integrate import solve_ivp

from cases import GROUPS, NODES, Case, draw_case
from simulate import make, truth_text
from steady import STEPS, Lanes, close, lanes_of, plate, run_period


def node_volts(one: Lanes, t: float, x: np.ndarray, v: np.ndarray) -> np.ndarray:
    """Node volts of a single circuit from its state: dense Newton with differences, no companion models."""
    def miss(v: np.ndarray) -> np.ndarray:
        e = float(one.crest[0]) * math.sin(2 * math.pi * t / float(one.period[0]))
        out, stack = np.zeros(NODES), bool(one.stack[0])
        for j in range(NODES):
            away = v[j] - (v[0] if stack and j == 1 else 0.0)
            if one.cap[j, 0]:
                current = (away - x[j]) / one.esr[j, 0]
                out[j] -= current
                if stack and j == 1:
                    out[0] += current
            elif not (one.link[j, 0] or one.load[j, 0] or one.choke[0] == j or j == 0):
                out[j] -= v[j]
            out[j] -= one.leak[j, 0] * v[j] + one.load[j, 0] * (max(v[j], 0.0) / one.load_volts[j, 0]) ** one.power[0]
            for current in (one.link[j, 0] * (v[one.parent[j, 0]] - v[j]), x[NODES] if j and one.choke[0] == j else 0.0):
                out[j] += current
                out[one.parent[j, 0]] -= current
        high = 1 if stack else 0
        first = float(plate(one, 0, np.array([e + (v[0] if stack else 0.0) - v[high]]))[0][0])
        out[high] += first
        out[0] += float(plate(one, 1, np.array([-e - v[0]]))[0][0]) - (first if stack else 0.0)
        return out - 1e-10 * v

    for _ in range(60):
        at = miss(v)
        slope = np.array([(miss(v + d) - at) / 1e-6 for d in np.eye(NODES) * 1e-6]).T
        move = np.linalg.solve(slope, -at)
        v = v + move
        if np.max(np.abs(move)) < 1e-9:
            break
    return v


def sort_of(case: Case) -> tuple:
    first = case.nodes[1]
    feed = "choke input" if case.nodes[0].name == "input" else "choke" if first.henries else "resistor"
    return case.circuit, case.on_line, feed, case.kind == "open", case.truth.dead_plate


def check_plate_law() -> None:
    """What plate() finds must put the drive back together: R i + (i / k)^(2/3)."""
    drive = np.geomspace(1e-3, 400, 200)
    for resistance in (0.0, 30.0, 200.0):
        lanes = lanes_of([(draw_case("outside", 0), draw_case("outside", 0).truth)])
        lanes.tube, lanes.law = True, np.array([[0.125 / 50**1.5], [0.0]])
        lanes.source = np.array([[resistance], [resistance]])
        current, _ = plate(lanes, 0, drive)
        back = resistance * current + (current / lanes.law[0]) ** (2 / 3)
        print(f"plate law, {resistance:g} ohm: off {np.max(np.abs(back / drive - 1)):.1e}")


def validate(count: int) -> None:
    check_plate_law()
    sorts: dict[tuple, tuple[str, int]] = {}
    for group in ("told", "outside"):
        for index in range(GROUPS[group]):
            sorts.setdefault(sort_of(draw_case(group, index)), (group, index))
    for group, index in list(sorts.values())[:count]:
        case = make([(group, index)])[0][0]
        lanes = lanes_of([(case, case.truth)])
        start = close(lanes)
        _, waves = run_period(lanes, start, record=True)
        last = waves[0, :, 0].copy()

        def slope(t: float, x: np.ndarray) -> np.ndarray:
            last[:] = node_volts(lanes, t, x, last)
            away = last.copy()
            if lanes.stack[0]:
                away[1] -= last[0]
            rate = np.zeros(NODES + 1)
            live = lanes.cap[:, 0] > 0
            rate[:NODES][live] = (away - x[:NODES])[live] / lanes.esr[live, 0] / lanes.cap[live, 0]
            if lanes.choke[0]:
                j = lanes.choke[0]
                rate[NODES] = (last[lanes.parent[j, 0]] - last[j] - lanes.choke_ohms[0] * x[NODES]) / lanes.henries[0]
            return rate

        period = float(lanes.period[0])
        at = (np.arange(STEPS) + 0.5) * period / STEPS
        tight = solve_ivp(slope, (0, period), start[:, 0], method="Radau", rtol=1e-8, atol=1e-9, t_eval=np.append(at, period), max_step=period / 100)
        volts = np.array([node_volts(lanes, t, tight.y[:, i], waves[i, :, 0]) for i, t in enumerate(at)])
        gap = np.max(np.abs(tight.y[:NODES, -1] - start[:NODES, 0]))
        shift = 1 if case.doubler else 0
        mine, other = (w[:, shift : shift + len(case.nodes)] for w in (waves[:, :, 0], volts))
        dc = np.max(np.abs(mine.mean(0) - other.mean(0)) / other.mean(0))
        hum = np.max(np.abs(mine.std(0) / other.std(0) - 1))
        label = " ".join(map(str, sort_of(case)))
        print(f"{case.id} {label} {truth_text(case)}: DC off {100 * dc:.5f} %, hum off {100 * hum:.4f} %, closes to {gap * 1e6:.1f} µV", flush=True)


if __name__ == "__main__":
    validate(int(sys.argv[1]) if len(sys.argv) > 1 else 10)
