#!/usr/bin/env python3
"""Reference figures for the supply engine, from a general ODE solver.

Reads the job files `circuits/*/job.toml`, and `data/rectifiers.csv` for the
types that they name; writes nodal equations for each and integrates them with
scipy. Writes `reference.csv`; with `--check` works everything out again and
compares it with the committed file. Names of circuits after that work out only
those.
"""

import csv
import os
import sys
import time
from pathlib import Path

# One thread a process: the matrices are far too small to share.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from multiprocessing import Pool

import job_file
import starting
from equations import Supply

HERE = Path(__file__).parent
TARGET = HERE / "reference.csv"
# The figures are good to some 1e-6; the solver's steps differ between machines.
CHECK_TOLERANCE = 2e-4


def worked(path):
    began = time.perf_counter()
    job = job_file.read(path / "job.toml")
    figures = Supply(job).figures()
    if path.name in starting.STARTED:
        figures |= starting.figures(job, figures)
    print(f"{path.name}: {time.perf_counter() - began:.1f} s", file=sys.stderr, flush=True)
    return figures


def committed():
    with TARGET.open() as f:
        return {(row["circuit"], row["figure"]): float(row["value"]) for row in csv.DictReader(f)}


def compare(rows, known, whole):
    """How many figures differ from the committed ones, or have no fellow."""
    bad = 0
    found = {(circuit, name): value for circuit, name, value in rows}
    for at in found.keys() | (known.keys() if whole else set()):
        old, now = known.get(at), found.get(at)
        if None in (old, now) or not (old == now or abs(old - now) <= CHECK_TOLERANCE * abs(old)):
            print(*at, f": committed {old}, now {now}", file=sys.stderr)
            bad += 1
    print(f"{len(found)} figures compared, {bad} differ", file=sys.stderr)
    return bad


def main():
    only = [a for a in sys.argv[1:] if not a.startswith("-")]
    paths = [p for p in sorted((HERE / "circuits").iterdir()) if not only or p.name in only]
    with Pool() as pool:
        solved = pool.map(worked, paths, chunksize=1)
    rows = [(p.name, name, value) for p, figures in zip(paths, solved) for name, value in figures.items()]
    if "--check" in sys.argv:
        return 1 if not rows or compare(rows, committed(), not only) else 0
    rows = [(circuit, name, f"{value:.8e}") for circuit, name, value in rows]
    if only:
        for row in rows:
            print(*row)
        return 0
    with TARGET.open("w", newline="") as f:
        out = csv.writer(f, lineterminator="\n")
        out.writerow(("circuit", "figure", "value"))
        out.writerows(rows)
    return 0


if __name__ == "__main__":
    sys.exit(main())
