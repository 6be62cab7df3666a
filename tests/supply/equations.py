"""Nodal equations of a supply, and its periodic steady state by a general solver.

The formulation shares nothing with the engine: node voltages are unknowns of a
Kirchhoff system that is solved, rectifier included, at every evaluation, and
scipy integrates the states (Radau IIA, tight tolerance).
"""

import math

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

RTOL, ATOL = 1e-9, 1e-10


class Law:
    """A plate's drop over its current, times the diodes in series."""

    def __init__(self, data, count):
        self.k = None
        if "drop_at" in data:
            self.k = data["drop_at"] / (count * data["drop"]) ** 1.5
        else:
            self.drop, self.slope = count * data["drop"], count * data["slope"]

    def current(self, volts, ohm):
        """Current that `volts` drives through the law and `ohm` in series."""
        if self.k is None:
            return max(0.0, (volts - self.drop) / (self.slope + ohm))
        if volts <= 0.0:
            return 0.0
        u = volts
        for _ in range(60):
            f = u + ohm * self.k * u**1.5 - volts
            step = f / (1 + 1.5 * ohm * self.k * math.sqrt(u))
            new = u - step
            u = new if new > 0 else u / 4
            if abs(step) < 1e-13 * volts:
                break
        return self.k * u**1.5

    def volts(self, i):
        if self.k is None:
            return self.drop + self.slope * i
        return (i / self.k) ** (2.0 / 3.0)


class Supply:
    def __init__(self, d):
        self.kind = d["kind"]
        self.peak = math.sqrt(2) * d["volts"]
        self.w = 2 * math.pi * d["hertz"]
        self.ohm = d["source_ohm"]
        self.law = Law(d["law"], 2 if self.kind == "bridge" else 1)
        self.nodes = d["nodes"]
        self.period = 2 * math.pi / self.w
        if self.kind in ("full-wave", "bridge"):
            self.period /= 2
        self.cells = d["cells"]
        self.build()

    def build(self):
        """States: (name, store); linear system for node voltages."""
        self.caps = [(j, n["capacitor"]) for j, n in enumerate(self.nodes) if n["capacitor"]]
        self.chokes = [(j, n) for j, n in enumerate(self.nodes) if "henry" in n]
        self.order = len(self.cells) + len(self.caps) + len(self.chokes)
        # Unknowns: node voltages, then currents of capacitors, then of the
        # doubler's stack or of the resistors is not needed: they follow.
        m = len(self.nodes)
        self.m = m
        nc = len(self.caps)
        stack = self.kind == "full-wave-doubler"
        size = m + nc + (1 if stack else 0)
        self.size = size
        # rows: KCL at each node; then v_j - esr*ic = vc for each capacitor;
        # then the stack: v0 + (esr_u+esr_l)*io = vu + vl + esr_u i1 + esr_l i2.
        a = np.zeros((size, size))
        # right side: linear in states (order), inputs (2), one
        b = np.zeros((size, self.order + 3))
        for j, n in enumerate(self.nodes):
            g = sum(1 / n[k] for k in ("load_ohm", "bleeder_ohm") if k in n)
            a[j, j] -= g
            b[j, -1] += n.get("ampere", 0.0)
            if "ohm" in n and "henry" not in n:
                p, g = n["from"], 1 / n["ohm"]
                a[j, j] -= g
                a[j, p] += g
                a[p, p] -= g
                a[p, j] += g
        for s, (j, n) in enumerate(self.chokes):
            col = len(self.cells) + nc + s
            b[j, col] -= 1.0
            b[n["from"], col] += 1.0
        for s, (j, n) in enumerate(self.caps):
            a[j, m + s] -= 1.0
            a[m + s, j] = 1.0
            a[m + s, m + s] = -n["esr"]
            b[m + s, len(self.cells) + s] = 1.0
        o = self.order
        if self.kind in ("full-wave", "bridge"):
            b[0, o] = b[0, o + 1] = -1.0
        elif self.kind == "half-wave":
            b[0, o] = -1.0
        elif self.kind == "half-wave-doubler":
            b[0, o + 1] = -1.0
        else:
            u, l = self.cells
            a[0, size - 1] = 1.0
            a[size - 1, 0] = 1.0
            a[size - 1, size - 1] = u["esr"] + l["esr"]
            b[size - 1, 0] = b[size - 1, 1] = 1.0
            b[size - 1, o], b[size - 1, o + 1] = u["esr"], l["esr"]
        # A first node that only a choke leaves: its voltage is the rectifier's.
        self.choke_input = (
            self.nodes[0]["capacitor"] is None
            and not stack
            and np.all(a[0] == 0)
        )
        if self.choke_input:
            self.leak = 1e-9
            a[0, 0] = -self.leak
        self.map = np.linalg.solve(a, b)

    def algebra(self, t, x):
        """Node voltages, capacitor currents and path currents at an instant."""
        o = self.order
        base = self.map[:, :o] @ x + self.map[:, -1]
        gain = self.map[:, o : o + 2]
        e = self.peak * math.sin(self.w * t)
        i1 = i2 = 0.0
        law, ohm = self.law, self.ohm
        if self.kind in ("full-wave", "bridge", "half-wave"):
            v, r = base[0], gain[0, 0]
            total = lambda u: sum(self.into(e, u))
            if r == 0.0:
                i1, i2 = self.into(e, v)
            elif not self.choke_input and (pair := self.single(e, v, r)) is not None:
                i1, i2 = pair
            elif self.choke_input and (alone := self.alone(e, v, r)):
                i1, i2 = alone
            elif total(v) > 0.0:
                # u = v + r*total(u): total falls with u, so one crossing.
                top = max(abs(e), v, 0.0) + 1.0
                u = self.meet(total, v, r, top)
                i1, i2 = self.into(e, u)
        elif self.kind == "full-wave-doubler":
            # Upper cell against +e, lower against -e; each through its own path.
            (u, l) = self.cells
            for _ in range(3):
                io = self.drawn(base, gain, i1, i2)
                up = x[0] - u["esr"] * io[0]
                lo = x[1] - l["esr"] * io[0]
                i1 = law.current(e - up - u["esr"] * (-io[2] * i2), ohm + u["esr"] * (1 - io[1]))
                i2 = law.current(-e - lo - l["esr"] * (-io[1] * i1), ohm + l["esr"] * (1 - io[2]))
        else:
            s = self.cells[0]["esr"]
            i1 = law.current(-e - x[0], ohm + s)
            if i1 == 0.0:
                i2 = law.current(e + x[0] - base[0], ohm + s + gain[0, 1])
        y = base + gain @ np.array([i1, i2])
        return y, i1, i2, e

    def single(self, e, v, r):
        """Currents where at most one path conducts; `None` where both do."""
        near = self.law.current((e if self.kind == "half-wave" else abs(e)) - v, self.ohm + r)
        if self.kind == "half-wave":
            return near, 0.0
        against = v + r * near - (self.ohm * near if self.kind == "bridge" else 0.0)
        if -abs(e) - against > self.law.volts(0.0):
            return None
        return (near, 0.0) if e >= 0 else (0.0, near)

    def alone(self, e, v, r):
        """The choke's current through one path, where the other is off."""
        u, law = 0.0, self.law
        for _ in range(4):
            i = (u - v) / r
            if i <= 0.0:
                return None
            u = abs(e) - self.ohm * i - law.volts(i)
        if self.kind == "half-wave" or -abs(e) - u + (self.ohm * i if self.kind == "bridge" else 0.0) <= law.volts(0.0):
            return (i, 0.0) if e >= 0 or self.kind == "half-wave" else (0.0, i)
        return None

    def drawn(self, base, gain, i1, i2):
        """Current drawn from the stack: constant part, slopes over i1, i2."""
        return base[-1], gain[-1, 0], gain[-1, 1]

    def meet(self, total, v, r, top):
        if self.choke_input:
            # In amperes, since in volts the leak would drown the rest.
            f = lambda u: total(u) - (u - v) / r
            low = -2 * self.law.volts(abs(v / r)) - self.ohm * abs(v / r) - 1.0
            while f(low) < 0:
                low *= 2
            return brentq(f, low, top + 1, xtol=1e-13, rtol=1e-15, maxiter=300)
        f = lambda u: v + r * total(u) - u
        low = min(v, 0.0) if r < 1e6 else -top
        while f(low) < 0:
            low -= top
        return brentq(f, low, top + 1, xtol=1e-12, rtol=1e-15, maxiter=200)

    def into(self, e, u):
        """Path currents into the first node held at u."""
        law, ohm = self.law, self.ohm
        if self.kind == "half-wave":
            return law.current(e - u, ohm), 0.0
        if self.kind == "full-wave":
            return law.current(e - u, ohm), law.current(-e - u, ohm)
        sign = 1 if e >= 0 else -1
        a = law.current(abs(e) - u, ohm)
        c = 0.0
        if -abs(e) + ohm * a - u > law.volts(0.0):
            # Both pairs conduct: law(a) + law(c) = -2u, law(a) - law(c) = 2(|e| - ohm (a - c)).
            f = lambda a: law.volts(a) - abs(e) + u + ohm * (a - law.current(-2 * u - law.volts(a), 0.0) )
            high = law.current(-2 * u, 0.0) if law.k else max(0.0, (-2 * u - 2 * law.drop) / law.slope)
            a = brentq(f, 0.0, high + 1e-12, xtol=1e-14)
            c = law.current(-2 * u - law.volts(a), 0.0)
        return (a, c) if sign > 0 else (c, a)

    def rates(self, t, x):
        y, i1, i2, _ = self.algebra(t, x)
        return self.moved(x, y, i1, i2)

    def passive(self, x):
        """Rates and unknowns with the rectifier blocked."""
        y = self.map[:, : self.order] @ x + self.map[:, -1]
        return self.moved(x, y, 0.0, 0.0), y

    def moved(self, x, y, i1, i2):
        d = np.zeros(self.order)
        k = 0
        if self.kind == "full-wave-doubler":
            io = y[-1]
            d[0] = (i1 - io) / self.cells[0]["farad"]
            d[1] = (i2 - io) / self.cells[1]["farad"]
            k = 2
        elif self.kind == "half-wave-doubler":
            d[0] = (i1 - i2) / self.cells[0]["farad"]
            k = 1
        for s, (j, n) in enumerate(self.caps):
            d[k + s] = y[self.m + s] / n["farad"]
        k += len(self.caps)
        for s, (j, n) in enumerate(self.chokes):
            d[k + s] = (y[n["from"]] - y[j] - n["ohm"] * x[k + s]) / n["henry"]
        return d

    def flow(self, x, dense=False, loose=False):
        s = solve_ivp(
            self.rates, (0, self.period), x, method="Radau", dense_output=dense,
            rtol=1e-5 if loose else RTOL, atol=1e-6 if loose else ATOL,
            max_step=self.period / 40,
        )
        if not s.success:
            raise RuntimeError(s.message)
        return s if dense else s.y[:, -1]

    def settle(self):
        x = np.zeros(self.order)
        k = len(self.cells)
        lift = 2.0 if k else 1.0
        x[:k] = 0.6 * self.peak
        x[k : k + len(self.caps)] = 0.6 * lift * self.peak
        x[k + len(self.caps) :] = 0.03
        if self.choke_input:
            self.choke_start(x)
        for _ in range(1 if self.choke_input else 12):
            x = self.flow(x, loose=True)
        loose = True
        for tries in range(40):
            # A loose map finds the way; the last steps are those of the tight one.
            end = self.flow(x, loose=loose)
            gap = end - x
            if loose:
                inverse = np.linalg.inv(np.eye(self.order) - self.slopes(x, end))
            step = inverse @ gap
            limit = 0.3 * self.peak
            step *= min(1.0, limit / np.max(np.abs(step)))
            x = x + step
            size = np.max(np.abs(step))
            if size < 1e-7 and not loose:
                return x
            loose = loose and size > 1e-2 and tries < 20
        raise RuntimeError("not settled: %g" % size)

    def slopes(self, x, end):
        """How the end of a period follows from its start, by differences."""
        jac = np.zeros((self.order, self.order))
        volts = len(self.cells) + len(self.caps)
        for c in range(self.order):
            h = 1e-2 * max(1.0, abs(x[c])) if c < volts else 1e-4
            y = x.copy()
            y[c] += h
            jac[:, c] = (self.flow(y, loose=True) - end) / h
        return jac

    def choke_start(self, x):
        """The mean of the rectified sine, spread by direct currents."""
        top = 2 / math.pi * self.peak
        volts, below = [top] * self.m, [0.0] * self.m
        for j in reversed(range(self.m)):
            n = self.nodes[j]
            below[j] += n.get("ampere", 0.0)
            below[j] += sum(0.8 * top / n[k] for k in ("load_ohm", "bleeder_ohm") if k in n)
            if j:
                below[n["from"]] += below[j]
        volts[0] = top - self.law.volts(below[0]) - self.ohm * below[0]
        for j in range(1, self.m):
            n = self.nodes[j]
            volts[j] = volts[n["from"]] - n["ohm"] * below[j]
        for s, (j, _) in enumerate(self.caps):
            x[s] = volts[j]
        for s, (j, _) in enumerate(self.chokes):
            x[len(self.caps) + s] = below[j]

    def figures(self):
        x = self.settle()
        s = self.flow(x, dense=True)
        # Ten Gauss points inside each of the solver's own steps.
        nodes, weights = np.polynomial.legendre.leggauss(8)
        t, w = [], []
        for a, b in zip(s.t[:-1], s.t[1:]):
            t.extend(a + (b - a) * (nodes + 1) / 2)
            w.extend((b - a) * weights / 2)
        t, w = np.array(t), np.array(w) / self.period
        state = s.sol(t)
        rows = [self.algebra(ti, state[:, n]) for n, ti in enumerate(t)]
        y = np.array([r[0] for r in rows])
        i1 = np.array([r[1] for r in rows])
        i2 = np.array([r[2] for r in rows])
        e = np.array([r[3] for r in rows])
        if self.choke_input:
            # With no current the first node stands where the choke ends; the
            # leak would show the solver's own error in the current instead.
            far = self.chokes[0][0]
            idle = i1 + i2 < 1e-7
            y[idle, 0] = y[idle, far]
        mean = lambda q: float(np.sum(w * q))
        rms = lambda q: math.sqrt(mean(q * q))
        out = {}
        for j in range(self.m):
            v = y[:, j]
            dc = mean(v)
            out[f"node{j + 1}.dc_v"] = dc
            out[f"node{j + 1}.ripple_rms_v"] = rms(v - dc)
            out[f"node{j + 1}.ripple_pp_v"] = float(v.max() - v.min())
            out[f"node{j + 1}.max_v"] = float(v.max())
        for n, (j, _) in enumerate(self.caps):
            out[f"node{j + 1}.cap_rms_a"] = rms(y[:, self.m + n])
        if self.kind == "full-wave-doubler":
            io = y[:, -1]
            for n, (name, i) in enumerate((("upper", i1), ("lower", i2))):
                v = state[n] + self.cells[n]["esr"] * (i - io)
                out[f"{name}.dc_v"], out[f"{name}.max_v"] = mean(v), float(v.max())
                out[f"{name}.rms_a"] = rms(i - io)
        if self.kind == "half-wave-doubler":
            v = state[0] + self.cells[0]["esr"] * (i1 - i2)
            out["series.dc_v"], out["series.max_v"] = mean(v), float(v.max())
            out["series.rms_a"] = rms(i1 - i2)
        out["peak_a"] = float(max(i1.max(), i2.max()))
        if self.kind in ("full-wave", "bridge"):
            out["avg_a"] = mean(i1 + i2) / 2
            out["rms_a"] = math.sqrt(mean(i1**2 + i2**2) / 2)
        else:
            out["avg_a"], out["rms_a"] = mean(i1), max(rms(i1), rms(i2))
        out["winding_a"] = out["rms_a"] if self.kind == "full-wave" else rms(i1 - i2)
        v0 = y[:, 0]
        if self.kind == "full-wave":
            inverse = np.maximum(v0 - e, v0 + e)
        elif self.kind == "bridge":
            inverse = np.array([max(u + self.law.volts(a) / 2, u + self.law.volts(c) / 2) if a + c > 0 else u for u, a, c in zip(v0, i1, i2)])
        elif self.kind == "half-wave":
            inverse = v0 - e
        elif self.kind == "full-wave-doubler":
            io = y[:, -1]
            u = state[0] + self.cells[0]["esr"] * (i1 - io)
            l = state[1] + self.cells[1]["esr"] * (i2 - io)
            # The plate that rests sees the source less what the other one draws.
            inverse = np.maximum(u - e - self.ohm * i2, l + e - self.ohm * i1)
        else:
            s = self.cells[0]["esr"]
            x_node = e + state[0] + (s + self.ohm) * (i1 - i2)
            inverse = np.maximum(x_node, v0 - x_node)
        out["inverse_v"] = float(inverse.max())
        return out
