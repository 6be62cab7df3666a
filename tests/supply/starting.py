"""Switching on and off: the same nodal equations, started empty and let go.

Cold tubes draw nothing, so bleeders and loads marked cold are left; a constant
current counts as the resistance that draws it at the node's steady voltage.
"""

import copy
import math

import numpy as np
from scipy.linalg import expm
from scipy.integrate import solve_ivp

from equations import Supply

# Phases of the line tried within half a period, and where a charge ends: when a
# whole period adds less than this part of all that heated a plate before.
PHASES = 12
OVER = 0.01
MOST_PERIODS = 300


# One of each kind and more; the rest would add minutes and nothing new.
STARTED = {
    "bridge-selenium", "bridge-silicon", "choke-in-bridge", "choke-in-tube", "fw-eight",
    "fw-small-chokes", "fw-standby", "fw-tube-clc", "fw-tube-four", "fwd-tube-choke", "fwd-unequal",
    "hw-no-esr-tiny-load", "hw-selenium", "hwd-tube", "hwd-tube-choke",
}


def figures(job, steady):
    dc = [steady[f"node{j + 1}.dc_v"] for j in range(len(job["nodes"]))]
    cold, warm = Supply(resistive(job, dc, False)), Supply(resistive(job, dc, True))
    out = {}
    worst = charged(cold)
    out["turn_on_peak_a"], out["turn_on_i2t_a2s"] = worst["peak"], worst["heat"]
    out["hot_switch_peak_a"] = charged(warm, brief=True)["peak"]
    rest = at_rest(cold)
    for j in range(cold.m):
        # Without a choke a node rises to where it stays.
        start = worst["nodes"][j] if cold.chokes else 0.0
        out[f"node{j + 1}.start_peak_v"] = max(start, rest[j])
    if draws(cold):
        out |= discharged(cold, steady, dc, fed(warm, dc))
    return out


def resistive(job, dc, warm):
    """The job with its currents as resistances; cold tubes draw nothing."""
    job = copy.deepcopy(job)
    for node, volts in zip(job["nodes"], dc):
        ampere = node.pop("ampere", 0.0)
        if warm or node["cold"]:
            siemens = ampere / volts + (1 / node["load_ohm"] if "load_ohm" in node else 0.0)
            if siemens > 0.0:
                node["load_ohm"] = 1 / siemens
        else:
            node.pop("load_ohm", None)
    return job


def draws(supply):
    return any("load_ohm" in n or "bleeder_ohm" in n for n in supply.nodes)


def charged(supply, brief=False):
    """The worst of several phases; a brief charge is good for peaks alone."""
    half = math.pi / supply.w
    halves = 1 if supply.kind in ("full-wave", "bridge") else 2
    ringing = 0.0
    if supply.chokes:
        henry = sum(n["henry"] for _, n in supply.chokes)
        farad = sum(n["farad"] for _, n in supply.caps)
        ringing = 3 * math.pi * math.sqrt(henry * farad)
    worst = {"peak": 0.0, "heat": 0.0, "nodes": np.zeros(supply.m)}
    for k in range(PHASES * halves):
        now = charge(supply, k * half / PHASES, half, ringing, brief)
        worst["peak"] = max(worst["peak"], now["peak"])
        worst["heat"] = max(worst["heat"], now["heat"])
        worst["nodes"] = np.maximum(worst["nodes"], now["nodes"])
    return worst


def charge(supply, start, half, ringing, brief):
    """One charge of empty capacitors, period by period."""
    x = np.zeros(supply.order)
    counted = None
    peak, heat, nodes = 0.0, np.zeros(2), np.zeros(supply.m)
    gauss, weights = np.polynomial.legendre.leggauss(3)
    for period in range(1, MOST_PERIODS + 1):
        span = (start + 2 * half * (period - 1), start + 2 * half * period)
        s = solve_ivp(
            supply.rates, span, x, method="LSODA", rtol=1e-6, atol=1e-8,
            max_step=half / 20, dense_output=True,
        )
        x = s.y[:, -1]
        before = heat.sum()
        for a, b in zip(s.t[:-1], s.t[1:]):
            t = np.concatenate(([a], a + (b - a) * (gauss + 1) / 2))
            w = np.concatenate(([0.0], (b - a) * weights / 2))
            for ti, wi, at in zip(t, w, s.sol(t).T):
                y, i1, i2, _ = supply.algebra(ti, at)
                peak = max(peak, i1, i2)
                heat += wi * np.array([i1 * i1, i2 * i2])
                nodes = np.maximum(nodes, y[: supply.m])
        late = span[1] - start > ringing
        # Behind an input choke current comes late; elsewhere only the nodes do.
        over = period > 1 and (late or not supply.choke_input)
        if counted is None and over and heat.sum() - before < OVER * heat.sum():
            counted = heat.max()
        if period > 1 and late and (counted is not None or brief and period > 2):
            break
    return {"peak": peak, "heat": heat.max() if counted is None else counted, "nodes": nodes}


def at_rest(supply):
    """Greatest voltage of each node once the start is over."""
    if not draws(supply):
        lift = 2 if supply.cells else 1
        return [lift * (supply.peak - supply.law.volts(0.0))] * supply.m
    s = supply.flow(supply.settle(), dense=True)
    t = np.linspace(0.0, supply.period, 2000)
    return np.max([supply.algebra(ti, at)[0][: supply.m] for ti, at in zip(t, s.sol(t).T)], axis=0)


def fed(warm, dc):
    """Mean current through what feeds each node: all that is drawn behind it."""
    out = [0.0] * warm.m
    for j in reversed(range(warm.m)):
        n = warm.nodes[j]
        out[j] += sum(dc[j] / n[k] for k in ("load_ohm", "bleeder_ohm") if k in n)
        if j:
            out[n["from"]] += out[j]
    return out


def discharged(supply, steady, dc, fed):
    """Seconds after which each capacitor stays at or below a limit.

    The rectifier blocks, so the rates are linear in the states: A is read off
    them column by column and the motion is its exponential.
    """
    quiet = supply.passive
    a = np.column_stack([quiet(column)[0] for column in np.eye(supply.order)])
    names = {"full-wave-doubler": ["upper", "lower"], "half-wave-doubler": ["series"]}.get(supply.kind, [])
    x = [steady[f"{name}.dc_v"] for name in names]
    x += [dc[j] for j, _ in supply.caps]
    x = np.array(x + [fed[j] for j, _ in supply.chokes])
    seen = [(f"node{j + 1}", lambda x, j=j: quiet(x)[1][j]) for j, _ in supply.caps]
    if supply.kind == "full-wave-doubler":
        for k, name in enumerate(names):
            seen.append((name, lambda x, k=k: x[k] - supply.cells[k]["esr"] * quiet(x)[1][-1]))
    out = {}
    for name, look in seen:
        for volts in (60, 50, 5):
            out[f"{name}.to_{volts}v_s"] = last_above(a, x, look, volts)
    return out


def last_above(a, x, look, volts):
    """The last of many steps that is above the limit, and where within the next."""
    rates = -np.linalg.eigvals(a).real
    # A doubler's series capacitor is held for ever and counts for nothing.
    slowest = 1 / rates[rates > 1e-9].min()
    end = slowest * max(1.0, math.log(20 * max(1.0, np.abs(x).max()) / volts))
    count = 4000
    step = expm(a * (end / count))
    above, now = None, x
    for n in range(count + 1):
        if abs(look(now)) > volts:
            above = (n, now)
        now = step @ now
    if above is None:
        return 0.0
    if above[0] == count:
        # Unequal capacitors of a doubler's stack end at opposite voltages.
        return math.inf
    low, high = 0.0, end / count
    for _ in range(45):
        middle = (low + high) / 2
        if abs(look(expm(a * middle) @ above[1])) > volts:
            low = middle
        else:
            high = middle
    return above[0] * end / count + low
