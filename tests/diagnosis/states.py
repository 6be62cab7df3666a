"""Named states of three invented sets, each followed by its twin, in which one reading or fact is different.

The made cases of simulate.py are many and noisy and are counted; these are few and clean and are read one by one.
What should be said stands beside each, reasoned from the circuit and not from what any program says. Where two
circuits leave the same readings (pairs.csv), what should be said is that they can't be told apart.

    python states.py --write      states.csv and pairs.csv
    python states.py --check      all rows worked anew against the files
"""

from __future__ import annotations

import argparse
import csv
import math
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from bench import FLOOR, Bench, Row, Table, alike, apart, case_of, dc, find, hum, job_of, solve, sound_volts
from simulate import resolution, volts_of

HERE = Path(__file__).resolve().parent
A, B, C = 0, 1, 2  # sections by position in the can, and the nodes B1, B2, B3 where they stand
OPEN = 0.05  # µF that a lifted lead still has
NEW, NEW_AC_DC = {A: 40.0, B: 20.0, C: 20.0}, {A: 50.0, B: 30.0}  # what is fitted: as stamped
ALL_OPEN = {A: "open", B: "open", C: "open"}
NOT_AGREE = "disagree|doubtful|no-change"
COLUMNS = ["state", "twin", "truth", "reading", "neighbour", "expect_first", "expect_states", "expect_service",
           "settle", "command", "expect_outcome", "job"]


def found() -> dict[str, float]:
    """Parameters that make twins alike in all but one reading."""
    second, shorted, dead, stray, weak = solve([
        Bench(uf={B: 1.2}), Bench("choke", henries=0.2), Bench(dead_plate=True), Bench(stray={1: 0.3}), Bench(drop=3.0)])
    return {
        "third": find(lambda x: Bench(uf={C: x}), hum(2), second[1][2], 0.5, 20),
        "choke reservoir": find(lambda x: Bench("choke", uf={A: x}), hum(0), shorted[1][0], 15, 30),
        "reservoir": find(lambda x: Bench(uf={A: x}), hum(0), dead[1][0], 10, 40),
        "second": find(lambda x: Bench(uf={B: x}), hum(1), stray[1][1], 2, 20),
        "line": find(lambda x: Bench(line=x), dc(0), weak[0][0], 80, 117),
        "silent third": find(lambda x: Bench("choke", uf={C: x}), hum(2), 0.025, 0.05, 5),
    }


def states() -> list[Row]:
    t, p = Table(), found()
    sound = "A=sound B=sound C=sound"
    # Where the third lug reads next to nothing for other reasons it tells nothing of its section.
    heard, heard_leave = "A=sound B=sound", "A=read leakage B=read leakage"
    leave = "A=read leakage B=read leakage C=read leakage"
    safe, stay = "A=!failed B=!failed C=!failed", "A=!replace B=!replace C=!replace"
    plain, worn, console = Bench(), Bench(uf={A: 8.0}), "nothing wrong"

    t.state("worn-reservoir", worn, "8 of 40 µF left in A", "what is stamped", "section:worn:A",
            "A=failed B=sound C=sound", "A=replace B=read leakage C=read leakage")
    t.twin("stamped-8", replace(worn, stamping="8-20-20 MFD 450 V"), "A has the 8 µF it is stamped with", "none", sound,
            "A=!replace")
    # A section behind hides or shows the hum of the one before: B2's own reading says which of the two it is.
    t.state("worn-second", Bench(uf={B: 1.2}), "1.2 of 20 µF left in B", "hum at B2", "section:worn:B",
            "A=sound B=failed C=!failed", "B=replace A=read leakage")
    t.twin("worn-third-as-loud", Bench(uf={C: p["third"]}), "C worn, as loud at B3", "section:worn:C|none",
            "A=sound B=sound C=failed|suspect", "B=read leakage")
    t.state("worn-third", Bench(uf={C: 0.9}), "0.9 of 20 µF left in C", "hum at B3", "section:worn:C|section:open:C",
            "A=sound B=sound C=failed|suspect", "A=read leakage B=read leakage")
    t.twin("sound-third", plain, console, "none", sound, leave)
    t.state("open-reservoir", Bench(uf={A: OPEN}), "A open", "how the can stood", "section:open:A",
            "A=failed B=!failed C=!failed", "A=replace")
    t.twin("reservoir-taken-out", Bench(uf={A: OPEN}, can="disconnected"), "read with A's lead off", "none", safe,
            "A=!replace")
    t.state("open-second", Bench(uf={B: OPEN}), "B open", "hum at B2", "section:open:B", "A=sound B=failed C=!failed",
            "B=replace", neighbour="C worn")
    t.twin("open-second-not-heard", Bench(uf={B: OPEN}, hum="AC"), "B open",
            "section:open:B|section:worn:B|section:worn:C|section:open:C", "A=sound B=suspect|unread C=suspect",
            "A=read leakage C=prove first", "read:B2:hum")
    # What leaks at a lug and what is drawn there is one current: only ohms, or the lead off, tell.
    t.state("leak", Bench(leak={A: 15.0}), "A leaks 15 mA", "cold ohms of A",
            "section:leaking:A|load::B1", "A=sound|suspect B=sound C=sound", "A=!may stay", "read:A:leakage|lift:A",
            neighbour="B1's load drawing 15 mA more")
    t.twin("leak-read-cold", Bench(leak={A: 15.0}, cold={A: "21 kΩ"}), "A leaks 15 mA", "section:leaking:A",
            "A=failed B=sound C=sound", "A=replace")
    # Nobody switches on with a short on the lug.
    t.state("short", Bench(dc="", hum="", frequency=False, cold={A: "200 Ω"}), "A shorted", "cold ohms of A",
            "section:shorted:A", "A=failed B=!failed C=!failed", "A=replace", "lift:A")
    t.twin("no-short", Bench(dc="", hum="", frequency=False, cold={A: "open"}), "no short; nothing else read", "none",
            safe, "A=!may stay A=!replace")
    t.state("wrong-part", Bench(uf={B: 100.0}), "100 µF where B should have 20", "hum at B2", "section:wrong-part:B",
            "A=sound", "B=!may stay")
    t.twin("right-part", plain, console, "none|section:wrong-part:C", heard, heard_leave)
    t.state("esr", Bench(tan={B: 3.0}), "B has its capacitance and three times that in resistance", "hum at B2",
            "section:worn:B", "A=sound B=failed|suspect C=sound", "B=replace|prove first")
    t.twin("no-esr", plain, console, "none", heard, heard_leave)
    t.state("two-worn", Bench(uf={A: 8.0, C: 0.9}), "A and C worn", "hum at B3",
            "section:worn:A|section:worn:C|section:open:C", "A=failed B=sound C=failed|suspect",
            "A=replace B=read leakage C=!may stay")
    t.twin("one-worn", worn, "8 of 40 µF left in A", "section:worn:A", "A=failed B=sound C=sound",
            "A=replace C=read leakage")
    t.state("sound-read-cold", Bench(cold=ALL_OPEN), "nothing wrong, and no leakage", "cold ohms", "none", sound,
            "A=may stay B=may stay C=may stay")
    t.twin("sound-not-read-cold", plain, "nothing wrong; leakage unknown", "none", sound, leave)

    # With the lugs open cold the current is the set's.
    t.state("draws-more", Bench(load={0: 1.6}, cold=ALL_OPEN), "B1's load draws 60 % too much",
            "what B1's load should draw", "load::B1", "A=!failed B=sound C=sound", stay)
    t.twin("draws-who-knows", Bench(load={0: 1.6}, cold=ALL_OPEN, loads=False),
            "no load told, so none is known to be too much", "none", "A=!failed B=sound C=sound", stay)
    t.state("draws-less", Bench(load={0: 0.4}), "B1's load draws 40 % of what it should", "what B1's load should draw",
            "load::B1", safe, "A=!replace")
    t.twin("drawn-as-told", Bench(load={0: 0.4}, told_load={0: 22.0}), "B1's load draws what it should", "none", sound,
            "A=read leakage")
    t.state("resistor-second", Bench(resistor={1: 3.3}), "1 kΩ to B2 drifted to 3.3 kΩ",
            "marking of the resistor to B2", "resistor::B2", "A=sound B=!failed C=!failed", stay)
    t.twin("resistor-second-so-marked", Bench(resistor={1: 3.3}, told_ohms={1: 3300.0}), console, "none", heard, heard_leave)
    t.state("resistor-third", Bench(resistor={2: 2.5}), "10 kΩ to B3 drifted to 25 kΩ", "DC at B3", "resistor::B3",
            "A=sound B=sound C=!failed", "C=!replace")
    t.twin("resistor-third-good", plain, console, "none", sound, leave)
    # Behind a choke hum goes with one over L C: a worn section leaves the same.
    t.state("choke", Bench("choke", henries=0.2), "turns of the choke shorted", "hum at B2",
            "choke::B2|section:worn:B", "A=sound B=suspect C=sound", "B=prove first", "bridge:B",
            neighbour="B worn; a good choke")
    t.twin("choke-good", Bench("choke", uf={A: p["choke reservoir"]}), console, "none", heard, heard_leave)
    t.state("weak-rectifier", Bench(drop=3.0), "the rectifier drops three times what it should", "the line",
            "rectifier::", safe, stay)
    t.twin("low-line-as-low", Bench(line=p["line"]), "a low line, told", "none", sound, stay, many=True)
    t.state("dead-plate", Bench(dead_plate=True), "one plate passes nothing", "hum frequency", "rectifier::", safe,
            stay)
    t.twin("reservoir-as-loud", Bench(uf={A: p["reservoir"]}), "A worn, as loud at B1", "section:worn:A",
            "A=failed|suspect B=sound C=sound", "A=!may stay", many=True)
    t.state("line-untold", Bench(line=108.0, mains=None, line_told=False), "a line of 108 V that nobody read",
            "the line", "line::", safe, stay, "read:the line")
    t.twin("line-told", Bench(line=108.0, mains=None), "a line of 108 V, told", "none", sound, leave)
    t.state("line-noted", Bench(line=108.0, mains=108.0, line_told=False), "a line of 108 V, noted for the bench",
            "the bench's line", "none", sound, leave)
    t.twin("line-noted-wrong", Bench(line=108.0, line_told=False), "a line of 108 V, noted as 117 V",
            "line::|rectifier::", safe, "A=!replace", "read:the line")
    t.state("stray", Bench(stray={1: 0.3}, counter=1), "0.3 V at 60 Hz picked up at B2", "hum frequency at B2",
            "stray::B2", "A=sound B=!failed", "B=!replace")
    t.twin("second-as-loud", Bench(uf={B: p["second"]}, counter=1), "B worn, as loud at B2", "section:worn:B|stray::B2",
            "A=sound B=failed|suspect", "B=replace|prove first", many=True)
    t.state("silent-third", Bench("choke", stray={2: 0.002}), "2 mV at B3, where any lead picks that up", "hum at B3",
            "none", "A=sound B=sound C=!failed", "C=!replace")
    t.twin("third-not-silent", Bench("choke", uf={C: p["silent third"]}), "C open, 25 mV at B3",
            "section:open:C|section:worn:C", "A=sound B=sound C=failed|suspect", "C=!may stay")
    average = Bench(meter="average 1 %", average=True)
    t.state("shows-dc", replace(average, shows_dc=1.11), "the AC range shows DC times 1.11", "hum with DC kept out",
            "misread", safe, "A=!replace", "read:the lugs again")
    t.twin("dc-kept-out", average, console, "none", sound, leave, many=True)
    # Ripple is near a triangle, which an average meter shows 4 % low: too little to turn anything.
    t.state("average-meter", average, console, "sort of meter", "none", sound, leave)
    t.twin("average-meter-told-rms", replace(average, meter="true-rms 1 %"), "nothing wrong, 4 % misread", "none",
            sound, leave)
    half = Bench(uf={A: 18.0}, dc="")
    # Without DC a load or a leak of some hundred mA would be as loud; any lug's DC shows it, and that of the first is asked for.
    t.state("reservoir-no-dc", half, "18 of 40 µF left in A", "DC at B1", "section:worn:A",
            "A=failed|suspect B=!failed C=!failed", "A=!may stay", "read:B1:DC|read:B2:DC",
            neighbour="a load or a leak of some hundred mA")
    t.twin("reservoir-with-dc", replace(half, dc="A"), "18 of 40 µF left in A", "section:worn:A",
            "A=failed B=sound C=sound", "A=replace")
    old = Bench("ac-dc", uf={A: 8.0}, can="")
    t.state("can-untold", old, "8 of 50 µF left in A", "how the can stood", "section:worn:A", "A=failed B=sound",
            "A=replace")
    t.twin("can-bridged", replace(old, can="bridged"), "read with parts clipped across the can", "none",
            "A=!failed B=!failed", "A=!replace")
    nowhere = Bench(uf={A: 9.0}, loads=False)
    t.state("no-loads-worn", nowhere, "9 of 40 µF left in A", "DC at the lugs", "section:worn:A",
            "A=failed B=sound C=sound", "A=replace")
    t.twin("no-loads-no-dc", replace(nowhere, dc=""), "9 of 40 µF left in A", "section:worn:A",
            "A=failed|suspect B=!failed C=!failed", "A=!may stay", "read:B1:DC|read:B2:DC")
    t.state("no-loads-sound", Bench(loads=False), console, "hum at B3", "none", sound, leave)
    t.twin("no-loads-third", Bench(uf={C: 0.9}, loads=False), "0.9 of 20 µF left in C", "section:worn:C|section:open:C",
            "A=sound B=sound C=failed|suspect", "C=!may stay")

    fitted = Bench(uf=NEW)
    t.state("repair", worn, "A replaced", "hum at B1 after", outcome="agree", after=fitted)
    t.twin("repair-useless", None, "A as before", outcome="no-change", after=worn, many=True)
    untold = replace(worn, loads=False, can="")
    t.state("repair-little-told", untold, "A replaced", "hum at B1 after", outcome="agree", after=fitted)
    t.twin("repair-little-told-useless", None, "A as before", outcome="no-change", after=worn, many=True)
    t.state("wrong-section", worn, "B and C replaced, A still worn", "hum at B1 after", "section:worn:A",
            outcome=NOT_AGREE, after=Bench(uf=NEW | {A: 8.0}))
    t.twin("right-section", None, "all replaced", outcome="agree", after=fitted, many=True)
    t.state("new-leak", worn, "A replaced by one that leaks 20 mA", "DC at B1 after", "section:leaking:A|load::B1",
            outcome=NOT_AGREE, after=Bench(uf=NEW, leak={A: 20.0}))
    t.twin("no-new-leak", None, "A replaced", outcome="agree", after=fitted, many=True)
    t.state("not-connected", Bench(uf={B: 1.2}), "B's new part not connected", "hum at B2 after", "section:open:B",
            outcome=NOT_AGREE, after=Bench(uf=NEW | {B: OPEN}))
    t.twin("connected", None, "B replaced", outcome="agree", after=fitted, many=True)
    # Both lugs of this set are loud enough to be heard over what leads pick up.
    t.state("healthy", Bench("ac-dc"), "sound before and after", "hum at B2 after", outcome="agree",
            after=Bench("ac-dc", uf=NEW_AC_DC))
    t.twin("made-worse", None, "sound before; B's new part not connected", "section:open:B|section:worn:B",
            outcome="disagree|doubtful", after=Bench("ac-dc", uf=NEW_AC_DC | {B: OPEN}), many=True)
    t.state("lamp", worn, "A replaced; read behind a lamp", "what feeds the set", outcome="no-proof",
            after=Bench(uf=NEW, line=98.0, line_told=False, supply="lamp 60 W"))
    t.twin("no-lamp", None, "A replaced; read on the mains", outcome="agree",
            after=Bench(uf=NEW, line_told=False, supply="mains"), many=True)
    t.state("line-95", worn, "A replaced; read at 95 V", "the line after", outcome="no-proof",
            after=Bench(uf=NEW, line=95.0))
    t.twin("line-112", None, "A replaced; read at 112 V", outcome="agree", after=Bench(uf=NEW, line=112.0),
            many=True)
    t.state("no-after", worn, "A replaced; nothing read", "any reading after", outcome="no-proof")
    t.twin("with-after", None, "A replaced", outcome="agree", after=fitted)
    gone = Bench(uf={A: OPEN})
    t.state("dc-after", gone, "A replaced; DC read alone", "DC after", outcome="agree",
            after=Bench(uf=NEW, hum="", frequency=False))
    t.twin("dc-after-useless", None, "A as before; DC read alone", outcome="no-change|disagree",
            after=replace(gone, hum="", frequency=False), many=True)
    t.state("hum-60-after", worn, "A replaced; one plate passes nothing now", "hum frequency after", "rectifier::",
            outcome="disagree|doubtful", after=Bench(uf=NEW, dead_plate=True))
    t.twin("hum-120-after", None, "A replaced", outcome="agree", after=fitted, many=True)
    return t.rows


def pairs() -> Iterator[tuple[str, str, str, Bench]]:
    """Two circuits each that give the same readings."""
    shorted, leaking, more = Bench("choke", henries=0.2), Bench(leak={A: 15.0}), Bench(load={0: 1.6}, loads=False)
    loud, stray, full, leaks, silent = solve([shorted, Bench(stray={1: 0.3}), more, leaking, Bench("choke")])
    reservoir = 22.0
    for _ in range(2):
        second = find(lambda x: Bench("choke", uf={A: reservoir, B: x}), hum(1), loud[1][1], 2, 40)
        reservoir = find(lambda x: Bench("choke", uf={A: x, B: second}), hum(0), loud[1][0], 15, 30)
    worn = Bench("choke", uf={A: reservoir, B: second})
    yield "behind-a-choke", f"B {second:g} of 40 µF, A {reservoir:g} µF", "section:worn:B", worn
    yield "behind-a-choke", "choke 1.6 of 8 H, A 22 µF", "choke::B2", shorted
    factor = find(lambda x: Bench(load={0: x}), dc(0), leaks[0][0], 1.05, 1.6)
    yield "leak-or-load", "A leaks 15 mA", "section:leaking:A", leaking
    yield "leak-or-load", f"B1 draws {55 * (factor - 1):.1f} mA more than 55 mA", "load::B1", Bench(load={0: factor})
    yield "doubler", "A (upper) 15 of 50 µF", "section:worn:A", Bench("doubler", uf={A: 15.0})
    yield "doubler", "B (lower) 15 of 50 µF", "section:worn:B", Bench("doubler", uf={B: 15.0})
    third = find(lambda x: Bench("choke", uf={C: x}), hum(2), 0.002, 0.2, 20)
    yield "under-the-floor", f"C {third:g} of 20 µF", "section:worn:C", Bench("choke", uf={C: third})
    picked_up = math.sqrt(0.002**2 - silent[1][2] ** 2)
    yield "under-the-floor", f"{1000 * picked_up:.3g} mV picked up at B3", "none", Bench("choke", stray={2: picked_up})
    # What is drawn at the volts that stand there is what the other set is meant to draw.
    at, case = sound_volts("console", ()), case_of(more)
    draws = {j: 1000 * node.load * more.load.get(j, 1.0) * (full[0][j] / at[j]) ** case.power
             for j, node in enumerate(case.nodes)}
    yield "meant-to-draw", "B1 draws 1.6 times 55 mA", "load::B1", more
    meant = "meant to draw " + ", ".join(f"{ma:.1f} mA" for ma in draws.values())
    yield "meant-to-draw", meant, "none", Bench(meant=draws, loads=False)
    uncounted = Bench(frequency=False)
    second = find(lambda x: Bench(uf={B: x}), hum(1), stray[1][1], 2, 20)
    yield "frequency-untold", f"B {second:g} of 20 µF", "section:worn:B", replace(uncounted, uf={B: second})
    yield "frequency-untold", "0.3 V at 60 Hz picked up at B2", "stray::B2", replace(uncounted, stray={1: 0.3})


def make_states() -> list[dict[str, str]]:
    rows = states()
    later = [row for row in rows if row.after is not None]
    before = dict(zip((row.name for row in rows), solve([row.bench for row in rows])))
    after = dict(zip((row.name for row in later), solve([row.after for row in later])))
    made: dict[str, dict[str, str]] = {}
    for row in rows:
        read, second = before[row.name], after.get(row.name)
        if row.twin:
            read = before[row.name] = alike(read, before[row.twin])
            if second and row.twin in after:
                second = after[row.name] = alike(second, after[row.twin])
        job = job_of(row.bench, read, (row.after, second) if second else None)
        if row.twin:
            differ = apart(job, made[row.twin]["job"])
            if len(differ) != 1 and not row.many:
                raise ValueError(f"{row.name} differs from {row.twin} in {sorted(differ) or 'nothing'}")
        values = [row.name, row.twin, row.truth, row.reading, row.neighbour, row.first, row.states, row.service,
                  row.settle, row.command, row.outcome, job]
        made[row.name] = dict(zip(COLUMNS, values))
    return list(made.values())


def make_pairs() -> list[dict[str, str]]:
    every = list(pairs())
    read = solve([bench for *_, bench in every])
    for (pair, *_), one, two in zip(every[::2], read[::2], read[1::2]):
        for mine, other, share, floor in ((one[0], two[0], 0.01, 0.0), (one[1], two[1], 0.01, FLOOR)):
            if any(abs(mine[j] - other[j]) > max(share * other[j], floor) for j in mine):
                raise ValueError(f"{pair}: {mine} is not {other}")
    return [{"pair": pair, "circuit": circuit, "parameters": parameters, "job": job_of(bench, volts)}
            for (pair, parameters, circuit, bench), volts in zip(every, read)]


FILES = {"states.csv": make_states, "pairs.csv": make_pairs}


def write() -> None:
    for name, make in FILES.items():
        rows = make()
        with (HERE / name).open("w", newline="", encoding="utf-8") as out:
            writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
        print(f"{name}: {len(rows)} rows")


def check() -> int:
    """Every row worked anew; volts may differ by the last digit shown."""
    bad = 0
    for name, make in FILES.items():
        with (HERE / name).open(newline="", encoding="utf-8") as source:
            stored = list(csv.DictReader(source))
        rows = make()
        if len(stored) != len(rows):
            print(f"{name}: {len(stored)} rows kept, {len(rows)} now")
            bad += 1
        for kept, row in zip(stored, rows):
            old, new = volts_of(kept["job"]), volts_of(row["job"])
            off = [place for place in new if place in old and abs(new[place] - old[place]) > 1.001 * resolution(new[place])]
            volts = {f"{table} {key} {lug}" for table, key, lug in new}
            told = apart(kept["job"], row["job"]) - volts
            # What is found by search may differ in its last digit, and that is in words only.
            words = [key for key in row if key not in ("job", "parameters") and row[key] != kept[key]]
            if off or told or words or old.keys() != new.keys():
                print(f"{name} {next(iter(row.values()))}: {[*off, *sorted(told), *words]} differ")
                bad += 1
        print(f"{name}: {len(rows)} rows worked anew")
    return 1 if bad else 0


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--check", action="store_true")
    options = parser.parse_args()
    if options.write:
        write()
    return check() if options.check else 0


if __name__ == "__main__":
    sys.exit(main())
