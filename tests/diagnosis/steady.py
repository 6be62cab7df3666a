"""Periodic steady states of many supplies at once: implicit midpoint over one line period,
closed by Newton shooting with finite differences.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from cases import NODES, Case, State, through

STEPS = 1000  # of one line period; validate.py shows what that is good for


@dataclass
class Lanes:
    """Many circuits side by side; the last axis of every array is the circuit."""

    period: np.ndarray
    crest: np.ndarray
    tube: bool  # all of them, or none
    law: np.ndarray  # tube: k of i = k v^1.5, and unused; silicon: threshold, slope
    source: np.ndarray  # (2, lanes) ohms a plate; inf: no plate
    stack: np.ndarray  # doubler: node 0 is the middle, node 1 the top
    cap: np.ndarray  # (NODES, lanes) farads, 0: none
    esr: np.ndarray
    link: np.ndarray  # siemens of the resistor to the parent, 0: none or a choke
    parent: np.ndarray
    choke: np.ndarray  # node that the choke feeds, 0: none
    henries: np.ndarray
    choke_ohms: np.ndarray
    load: np.ndarray
    load_volts: np.ndarray
    power: np.ndarray
    leak: np.ndarray
    guess: np.ndarray  # (NODES + 1, lanes): capacitor volts, choke current

    def take(self, index: np.ndarray) -> Lanes:
        return Lanes(**{k: v if isinstance(v, bool) else v[..., index] for k, v in vars(self).items()})


def lanes_of(work: list[tuple[Case, State]]) -> Lanes:
    width = len(work)
    flat = {k: np.zeros(width) for k in ("period", "crest", "henries", "choke_ohms", "power")}
    grid = {k: np.zeros((NODES, width)) for k in ("cap", "esr", "link", "load", "leak")}
    load_volts, parent = np.ones((NODES, width)), np.zeros((NODES, width), dtype=int)
    law, source = np.zeros((2, width)), np.full((2, width), np.inf)
    stack, choke, guess = np.zeros(width, dtype=bool), np.zeros(width, dtype=int), np.zeros((NODES + 1, width))
    for at, (case, state) in enumerate(work):
        flat["period"][at], flat["power"][at] = 1 / case.frequency, case.power
        flat["crest"][at] = math.sqrt(2) * case.winding * state.line / case.nominal
        volts, second = case.drop
        law[:, at] = (second / (volts * state.drop_factor) ** 1.5, 0) if case.tube else (volts, second)
        plates = 1 if case.circuit == "half-wave" or state.dead_plate else 2
        source[:plates, at] = case.source_ohms
        shift = 1 if case.doubler else 0
        stack[at] = case.doubler

        def put(place: int, farads: float, tan: float) -> None:
            grid["cap"][place, at], grid["esr"][place, at] = farads, tan / (2 * math.pi * case.ripple_hz * farads)

        farads = [share * uf * 1e-6 for share, uf in zip(state.share, case.stamped)]
        expect = 0.82 * flat["crest"][at]
        if case.doubler:  # upper: position 1, between top (1) and middle (0)
            put(1, farads[0], state.tan[0])
            put(0, farads[1], state.tan[1])
            guess[:2, at] = expect
        for j, node in enumerate(case.nodes):
            place = j + shift
            if node.section is not None:
                put(place, farads[node.section], state.tan[node.section])
            elif node.own_uf:
                put(place, node.own_uf * 1e-6, 0.05)
            if node.load:
                grid["load"][place, at] = node.load * state.load_factor.get(j, 1.0)
            if case.sound_volts is not None:
                load_volts[place, at] = case.sound_volts[j]
                if node.section in state.leak:
                    grid["leak"][place, at] = state.leak[node.section] / case.sound_volts[j]
            if node.parent >= 0:
                parent[place, at] = node.parent + shift
                resistance = node.ohms * state.ohm_factor.get(j, 1.0)
                expect = 0.93 * expect
                if node.henries:
                    choke[at], flat["choke_ohms"][at] = place, resistance
                    flat["henries"][at] = node.henries * state.henry_factor
                    guess[NODES, at] = through(case.nodes, j)
                else:
                    grid["link"][place, at] = 1 / resistance
            if not (case.doubler and j == 0):
                guess[place, at] = expect * (2 if case.doubler else 1) if grid["cap"][place, at] else 0.0
    return Lanes(law=law, source=source, stack=stack, parent=parent, choke=choke, load_volts=load_volts,
                 guess=guess, tube=work[0][0].tube, **flat, **grid)


def plate(lanes: Lanes, which: int, drive: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Current of a plate and its slope at the volts across source resistance and rectifier."""
    over, resistance = np.maximum(drive, 0.0), lanes.source[which]
    if not lanes.tube:
        on = drive > lanes.law[0]
        slope = on / (resistance + lanes.law[1])
        return np.where(on, (drive - lanes.law[0]) * slope, 0.0), slope
    dead = np.isinf(resistance)
    k, r = lanes.law[0], np.where(dead, 0.0, resistance)
    # With s the root of the tube's drop: s² + r k s³ = drive. Newton from above never misses.
    a = r * k
    s = np.sqrt(over)
    s = np.minimum(s, np.cbrt(over / np.maximum(a, 1e-12)))
    for _ in range(5):
        s = s - (s * s * (1 + a * s) - over) / np.maximum(s * (2 + 3 * a * s), 1e-30)
    s = np.where(dead, 0.0, s)
    return k * s**3, 3 * k * s / (2 + 3 * a * s)


def eliminate(matrix: np.ndarray, right: np.ndarray) -> np.ndarray:
    """Solve many small symmetric positive definite systems at once, lane by lane; spoils both."""
    size = len(right)
    for p in range(size - 1):
        for row in range(p + 1, size):
            factor = matrix[row, p] / matrix[p, p]
            matrix[row, p + 1 :] -= factor * matrix[p, p + 1 :]
            right[row] -= factor * right[p]
    for p in range(size - 1, -1, -1):
        for col in range(p + 1, size):
            right[p] -= matrix[p, col] * right[col]
        right[p] /= matrix[p, p]
    return right


def run_period(lanes: Lanes, start: np.ndarray, record: bool = False) -> tuple[np.ndarray, np.ndarray | None]:
    """One line period by the implicit midpoint rule: each step solves the nodes at its middle.

    There a capacitor is its old volts behind esr + h/2C, and a choke a conductance of
    h/2L / (1 + h R/2L) with its old current; so the only unknowns are the node volts.
    """
    width = start.shape[1]
    lane, size = np.arange(width), NODES
    half = lanes.period / STEPS / 2
    has = lanes.cap > 0
    cap = np.where(has, lanes.cap, 1.0)
    cap_g = np.where(has, 1 / (lanes.esr + half / cap), 0.0)
    with_choke = lanes.choke > 0
    choke_x = np.where(with_choke, half / np.where(with_choke, lanes.henries, 1.0), 0.0)
    choke_x, keep = choke_x / (1 + lanes.choke_ohms * choke_x), 1 / (1 + lanes.choke_ohms * choke_x)
    feeder = lanes.parent[lanes.choke, lane]

    linear = np.zeros((size, size, width))
    used = (cap_g > 0) | (lanes.link > 0) | (lanes.load > 0)
    used[lanes.choke[with_choke], lane[with_choke]] = True
    used[0] = True
    for j in range(size):
        linear[j, j] += np.where(used[j], 1e-10, 1.0)  # a node that is not there stays at zero
        linear[j, j] += cap_g[j] + lanes.leak[j]
        for g, other in ((lanes.link[j], lanes.parent[j]), (np.where(lanes.choke == j, choke_x, 0.0), lanes.parent[j])):
            linear[j, j] += g
            linear[other, other, lane] += g
            linear[j, other, lane] -= g
            linear[other, j, lane] -= g
    upper = np.where(lanes.stack, cap_g[1], 0.0)  # the upper capacitor ends at the middle, not at B-
    linear[0, 0] += upper
    linear[0, 1] -= upper
    linear[1, 0] -= upper

    high, stacked = lanes.stack.astype(int), lanes.stack.astype(float)
    volts_c, current = start[:size].copy(), start[size].copy()
    v = volts_c.copy()
    v[1] += stacked * volts_c[0]
    v[0] = np.where(has[0] | lanes.stack, v[0], v[1] + 20.0)
    waves = np.empty((STEPS, size, width)) if record else None
    loaded = [j for j in range(size) if np.any(lanes.load[j] > 0)]
    for step in range(STEPS):
        e = lanes.crest * math.sin(2 * math.pi * (step + 0.5) / STEPS)
        right = cap_g * volts_c
        right[0] -= upper * volts_c[1]
        flow = keep * current
        right[lanes.choke, lane] += np.where(with_choke, flow, 0.0)
        right[feeder, lane] -= np.where(with_choke, flow, 0.0)
        for _ in range(12):
            matrix = linear.copy()
            miss = right - np.einsum("jkb,kb->jb", linear, v)
            for j in loaded:
                relative = np.maximum(v[j], 0.0) / lanes.load_volts[j]
                draw = lanes.load[j] * relative ** lanes.power
                miss[j] -= draw
                matrix[j, j] += lanes.power * draw / np.maximum(v[j], 1.0)
            top = v[high, lane]
            first, slope = plate(lanes, 0, e + stacked * v[0] - top)
            second, slope_2 = plate(lanes, 1, -e - v[0])
            miss[high, lane] += first
            miss[0] += second - stacked * first
            matrix[high, high, lane] += slope
            matrix[0, 0] += slope_2 + stacked * slope
            matrix[0, 1] -= stacked * slope
            matrix[1, 0] -= stacked * slope
            change = eliminate(matrix, miss)
            v = v + change
            if np.max(np.abs(change)) < 1e-7:  # quadratic: what is left is far below
                break
        across = v.copy()
        across[1] -= stacked * v[0]
        into = cap_g * (across - volts_c)
        volts_c += 2 * half * into / cap * has
        middle = flow + choke_x * (v[feeder, lane] - v[lanes.choke, lane])
        current = np.where(with_choke, 2 * middle - current, 0.0)
        if record:
            waves[step] = v
    return np.vstack([volts_c, current[None]]), waves


def steady(work: list[tuple[Case, State]], chunk: int = 250) -> list[np.ndarray]:
    """Node volts over one line period, (STEPS, nodes of the case), for each piece of work."""
    done: list[np.ndarray | None] = [None] * len(work)
    for tube in (True, False):
        every = [i for i, (case, _) in enumerate(work) if case.tube == tube]
        for begin in range(0, len(every), chunk):
            part = every[begin : begin + chunk]
            lanes = lanes_of([work[i] for i in part])
            _, waves = run_period(lanes, close(lanes), record=True)
            for column, i in enumerate(part):
                case = work[i][0]
                shift = 1 if case.doubler else 0
                done[i] = waves[:, shift : shift + len(case.nodes), column].copy()
    return done


def close(lanes: Lanes) -> np.ndarray:
    """Shooting: the start from which a period ends where it began, for all lanes."""
    states = NODES + 1
    active = np.vstack([lanes.cap > 0, (lanes.choke > 0)[None]])
    x = lanes.guess
    for _ in range(2):
        x, _ = run_period(lanes, x)
    nudge = np.array([1e-4] * NODES + [1e-7])
    todo = np.arange(x.shape[1])
    for round_ in range(14):
        some, width = lanes.take(np.tile(todo, states + 1)), len(todo)
        starts = np.tile(x[:, todo], states + 1)
        for s in range(states):
            starts[s, (s + 1) * width : (s + 2) * width] += nudge[s] * active[s, todo]
        ends, _ = run_period(some, starts)
        ends = ends.reshape(states, states + 1, width)
        miss = ends[:, 0] - x[:, todo]
        slope = (ends[:, 1:] - ends[:, :1]) / nudge[None, :, None]
        system = np.where(active[:, todo].T[:, :, None], np.eye(states)[None] - slope.transpose(2, 0, 1), np.eye(states)[None])
        move = np.linalg.solve(system, (miss * active[:, todo]).T[:, :, None])[:, :, 0].T
        x = x.copy()
        x[:, todo] += np.clip(move, -150, 150)
        size = np.max(np.abs(move[:NODES]), axis=0)
        todo = todo[size > 1e-6]  # quadratic: the error left is far below a microvolt
        if len(todo) == 0:
            return x
    raise RuntimeError(f"{len(todo)} circuits did not close, last move {size.max():.3g} V")
