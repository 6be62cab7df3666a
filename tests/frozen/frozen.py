#!/usr/bin/env python3
"""Holds the answers of every command on some 200 jobs to what they were.

    python3 tests/frozen/frozen.py target/debug/recan               compare; exit 1 on any difference not listed
    python3 tests/frozen/frozen.py target/debug/recan --summary     the differences in groups, with counts
    python3 tests/frozen/frozen.py target/debug/recan --intended    which listed changes were met; exit 1 on one that was not
    python3 tests/frozen/frozen.py target/debug/recan --write       freeze anew; with --command only that one
    ... --job 'job1*' --command check                               only these (not with --intended)

Jobs stand in `jobs.txt`, all invented; its head says how it is written. Stampings stand in
`stampings.csv`. Frozen answers stand in `answers/`, a file a command, one document a line.

Each difference is a line `job command path: was -> is`. Numbers may differ by one unit in the
sixth digit, all else is equal or differs. Lists are met by what an entry is named for, not by its
place: a set by its parts, a finding by rule and section (`/sets/2 C40-525/findings/cold-start@1/
verdict`), a sentence by itself; `/` in such a name is written `~`. Where an order is an answer the
entry has a `rank` or an `order`. Sentences and sources of findings, method and how-to texts, versions
and dates are left out; so is of a record what `sets` shows.

A change that is meant goes into `intended.csv` with its reason. `job`, `command` and each step of
`path` are shell patterns; `**` as a step stands for any steps. `+` before a path allows only what was
not there before. No entry may take a whole document, or half of one. Solved figures (`supply`) and
readings of stampings (`read`) are listed one by one, without patterns, but for what is new (`+`).
A document of another kind (an error that was an answer) is one difference at `/schema`, by job.

What ran over 10 s when it was frozen is frozen as `timeout` and not compared until it is frozen anew.
"""

import argparse
import collections
import concurrent.futures
import csv
import fnmatch
import json
import math
import os
import pathlib
import re
import shlex
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
ANSWERS = HERE / "answers"
FREEZE_SECONDS, COMPARE_SECONDS, AT_ONCE = 10, 60, 2
LIMIT_BYTES = 5_000_000
WITH_JOB = {"sets", "check", "supply", "prove", "fault", "record"}
ONE_BY_ONE = {"supply", "read"}
FINDING = ["verdict", "value", "limit_low", "limit_high", "unit"]
# Names of what stands in a list, the first that an entry has; where its order is an answer it gets one.
NAMED = ["rule", "key", "reading", "place", "name", "node", "cause", "item", "what", "section", "part", "text", "asks",
         "line", "series", "job", "loads", "says"]
RANKED = {"nearest_misses", "next_readings", "causes", "settle", "explanations", "bridges"}
# What has nothing but a sentence to be named for, and figures below it, goes by its place.
BY_PLACE = {"questions", "errors", "suspects", "contradictions"}
IN_ORDER = {"before", "bodies", "steps", "after", "ends", "line_v", "line"}
LEFT_OUT = {"version", "date", "method", "left_out", "how", "how_to_read", "how_to_bridge"}


# --- what is run ---

class Run:
    def __init__(self, job, command, arguments):
        self.job, self.command, self.arguments = job, command, arguments


def read_jobs():
    """Blocks of `jobs.txt`: name, files, runs."""
    jobs, block, target = {}, None, None
    for number, line in enumerate((HERE / "jobs.txt").read_text("utf-8").split("\n"), 1):
        where = f"jobs.txt:{number}"
        if line.startswith("=== "):
            name, _, base = (part.strip() for part in line[4:].partition(" < "))
            if name in jobs:
                sys.exit(f"{where}: {name} stands twice")
            start = jobs[base] if base else {"files": {}, "runs": []}
            block = {"files": dict(start["files"]), "runs": list(start["runs"]), "own": False, "child": bool(base)}
            jobs[name], target = block, "job.toml"
        elif block is None:
            continue
        elif line.startswith("--- file "):
            target = line[9:].strip()
            block["files"][target] = ""
        elif line.startswith("--- run "):
            if not block["own"]:
                block["runs"], block["own"] = [], True
            block["runs"].append(shlex.split(line[8:]))
        elif block["child"] and target == "job.toml":
            text = block["files"]["job.toml"]
            if line.startswith("- "):
                if line[2:] not in text.split("\n"):
                    sys.exit(f"{where}: the job has no line {line[2:]!r}")
                block["files"]["job.toml"] = replaced(text, line[2:], None)
                block["gap"] = text.split("\n").index(line[2:])
            elif line.startswith("+ "):
                lines = text.split("\n")
                lines.insert(block.get("gap", len(lines)), line[2:])
                block["gap"] = block.get("gap", len(lines)) + 1
                block["files"]["job.toml"] = "\n".join(lines)
            elif line.startswith("> "):
                block["files"]["job.toml"] = text.rstrip("\n") + "\n" + line[2:] + "\n"
            elif line.strip():
                sys.exit(f"{where}: expected a line that begins with -, + or >")
        else:
            block["files"][target] = block["files"].get(target, "") + line + "\n"
    return jobs


def replaced(text, line, by):
    lines = text.split("\n")
    at = lines.index(line)
    lines[at:at + 1] = [] if by is None else [by]
    return "\n".join(lines)


def read_stampings():
    with open(HERE / "stampings.csv", encoding="utf-8", newline="") as file:
        return [(row["id"], row["text"]) for row in csv.DictReader(file)]


def all_work(only_job, only_command):
    """A list of (job, files, runs); the runs of one job share a folder, in order."""
    work = []
    for name, job in read_jobs().items():
        files = {file: text for file, text in job["files"].items() if text.strip()}
        runs, seen = [], collections.Counter()
        for arguments in job["runs"]:
            command = arguments[0]
            seen[command] += 1
            label = command if seen[command] == 1 else f"{command}:{seen[command]}"
            arguments = list(arguments)
            if command in WITH_JOB and "job.toml" in files and "--job" not in arguments:
                arguments += ["--job", "."]
            runs.append(Run(name, label, arguments))
        work.append((name, files, runs))
    for name, text in read_stampings():
        work.append((name, {}, [Run(name, "read", ["read", "--no-ask", "--", text])]))
    wanted = lambda run: fnmatch.fnmatchcase(run.job, only_job) and fnmatch.fnmatchcase(run.command, only_command)
    return [(name, files, runs) for name, files, runs in work if any(map(wanted, runs))]


def run_job(binary, work, seconds, skip):
    name, files, runs = work
    answers = {}
    with tempfile.TemporaryDirectory(prefix="frozen") as folder:
        folder = pathlib.Path(folder)
        for file, text in files.items():
            (folder / file).parent.mkdir(parents=True, exist_ok=True)
            (folder / file).write_text(text, "utf-8")
        for run in runs:
            if (run.job, run.command) in skip:
                continue
            answers[run.job, run.command] = run_one(binary, folder, run, seconds)
    return answers


def run_one(binary, folder, run, seconds):
    at = run.arguments.index("--") if "--" in run.arguments else len(run.arguments)
    arguments = run.arguments[:at] + ["--format", "json"] + run.arguments[at:]
    environment = {**os.environ, "NO_COLOR": "1", "LC_ALL": "C.UTF-8", "COLUMNS": "80"}
    try:
        done = subprocess.run([binary, *arguments], cwd=folder, env=environment, capture_output=True,
                              stdin=subprocess.DEVNULL, timeout=seconds, encoding="utf-8", errors="replace")
    except subprocess.TimeoutExpired:
        return "timeout"
    try:
        answer = json.loads(done.stdout)
    except ValueError:
        answer = {"schema": None, "stdout": done.stdout.splitlines(), "stderr": done.stderr.splitlines()}
    if run.command.startswith("record") and answer.get("schema", "").startswith("recan.written"):
        written = folder / "records" / f"{answer['number']:04}"
        answer = json.loads((written / "record.json").read_text("utf-8"))
        answer["parts.csv"] = (written / "parts.csv").read_text("utf-8").splitlines()
    answer["exit"] = done.returncode
    return canonical(answer, folder)


# --- one form for all documents ---

def step(text):
    return " ".join(str(text).split()).replace("/", "~") or "-"


def canonical(answer, folder):
    if str(answer.get("schema", "")).startswith("recan.record/"):
        for key in ("inputs", "findings", "nearest_misses"):
            answer.pop(key, None)
        answer["sets"] = [{key: of[key] for key in ("rank", "verdict", "parts", "price")} for of in answer["sets"]]
    names = section_names(answer)
    return tidy(answer, None, names, str(folder))


def section_names(answer):
    can = answer.get("can") or answer.get("original") or {}
    sections = can.get("sections", []) if isinstance(can, dict) else []
    return {of["section"]: of.get("mark") or str(of["section"]) for of in sections if isinstance(of, dict) and "section" in of}


def tidy(value, key, names, folder):
    if isinstance(value, dict):
        return {step(k): tidy(v, k, names, folder) for k, v in value.items() if k not in LEFT_OUT}
    if isinstance(value, list):
        return tidy_list(value, key, names, folder)
    if isinstance(value, float):
        return figure(value)
    if isinstance(value, str):
        return value.replace(folder, "FOLDER")
    return value


def tidy_list(values, key, names, folder):
    dicts = bool(values) and all(isinstance(v, dict) for v in values)
    texts = bool(values) and all(isinstance(v, str) for v in values) and key not in IN_ORDER
    if not dicts and not texts:
        return [tidy(v, None, names, folder) for v in values]
    made = []
    for place, value in enumerate(values, 1):
        unnamed = key in BY_PLACE or (key == "readings" and "can" in value)
        name, by = (value, ()) if texts else (None, ()) if unnamed else name_of(value, names)
        # What the name says is not said again.
        inner = True if texts else tidy({k: v for k, v in value.items() if k not in by}, None, names, folder)
        if key in RANKED:
            inner = {**inner, "order": place}
        made.append((step(name if name is not None else place), inner))
    by_name = collections.defaultdict(list)
    for name, inner in made:
        by_name[name].append(inner)
    # Of the same name: in the order of what they hold, sets of what their sections are made of.
    return {name if at == 1 else f"{name} #{at}": inner
            for name, alike in by_name.items()
            for at, inner in enumerate(sorted(alike, key=holds), 1)}


def holds(value):
    of = value.get("set", value) if isinstance(value, dict) else {}
    sections = of.get("sections") if isinstance(of, dict) else None
    made_of = [of.get("made_of") for of in sections.values() if isinstance(of, dict)] if isinstance(sections, dict) else []
    return json.dumps([made_of, value], sort_keys=True)


def name_of(value, names):
    """What an entry of a list is named for, and the keys that its name says."""
    if isinstance(value.get("set"), dict) and "parts" in value["set"]:
        return name_of(value["set"], names)[0], ()
    if "parts" in value and "verdict" in value:
        return ", ".join(sorted(f"{p['quantity']} {p['part']}" for p in value["parts"])), ("parts",)
    if "rule" in value:
        section = value.get("section")
        name = value["rule"] if section is None else f"{value['rule']}@{names.get(section, section)}"
        return name, ("rule", "section", "says", "source") if "verdict" in value else ()
    if isinstance(value.get("failed"), list):
        return ", ".join(value["failed"]) or "nothing failed", ("failed",)
    if "section" in value and not set(value) <= {"says", "section"} and not {"what", "name", "place"} & set(value):
        return str(names.get(value["section"], value["section"])), ()
    for key in NAMED:
        if isinstance(value.get(key), (str, int)):
            name, by = str(value[key]), (key,)
            for more in ("what", "part_section"):
                if more != key and isinstance(value.get(more), (str, int)):
                    name, by = f"{name} {value[more]}", (*by, more)
            if key == "what" and value.get("section") is not None:
                name = f"{name}@{names.get(value['section'], value['section'])}"
            return name, by
    return None, ()


def figure(value):
    if not math.isfinite(value):
        return str(value)
    rounded = float(f"{value:.7g}")
    return int(rounded) if rounded == int(rounded) and abs(rounded) < 1e15 else rounded


def packed(value):
    """A finding as a line of its figures; less to read, less to store."""
    if isinstance(value, dict):
        if set(value) == set(FINDING) and is_plain(value):
            figures = ["" if value[key] is None else json.dumps(value[key]) for key in FINDING[1:-1]]
            return ";".join(["=" + str(value["verdict"]), *figures, str(value["unit"])])
        return {key: packed(inner) for key, inner in value.items()}
    return [packed(inner) for inner in value] if isinstance(value, list) else value


def is_plain(finding):
    words = all(isinstance(finding[key], str) and ";" not in finding[key] for key in ("verdict", "unit"))
    return words and all(finding[key] is None or isinstance(finding[key], (int, float)) for key in FINDING[1:-1])


def unpacked(value):
    if isinstance(value, dict):
        return {key: unpacked(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [unpacked(inner) for inner in value]
    if isinstance(value, str) and value.startswith("=") and value.count(";") == len(FINDING) - 1:
        verdict, *figures, unit = value[1:].split(";")
        return dict(zip(FINDING, [verdict, *(json.loads(f) if f else None for f in figures), unit]))
    return value


# --- differences ---

def same(was, now):
    number = lambda v: isinstance(v, (int, float)) and not isinstance(v, bool)
    if number(was) and number(now):
        largest = max(abs(was), abs(now))
        unit = 10.0 ** (math.floor(math.log10(largest)) - 5) if largest > 0 else 0.0
        return abs(was - now) <= max(unit * 1.000001, 1e-12)
    return type(was) is type(now) and was == now


def differences(was, now, path=""):
    """(path, was, now); `...` stands for nothing there."""
    if isinstance(was, dict) and isinstance(now, dict):
        for key in sorted(set(was) | set(now)):
            if key not in now:
                yield f"{path}/{key}", was[key], ...
            elif key not in was:
                yield f"{path}/{key}", ..., now[key]
            else:
                yield from differences(was[key], now[key], f"{path}/{key}")
    elif isinstance(was, list) and isinstance(now, list) and len(was) == len(now):
        for at, (one, other) in enumerate(zip(was, now)):
            yield from differences(one, other, f"{path}/{at}")
    elif not was and not now and isinstance(was, (dict, list)) and isinstance(now, (dict, list)):
        return
    elif isinstance(was, list) and not was and isinstance(now, dict):
        yield from differences({}, now, path)
    elif isinstance(now, list) and not now and isinstance(was, dict):
        yield from differences(was, {}, path)
    elif not same(was, now):
        yield path, was, now


def leaves(value, path=""):
    if isinstance(value, (dict, list)) and value:
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from leaves(inner, f"{path}/{key}")
    else:
        yield path


def shown(value):
    if value is ...:
        return "(nothing)"
    text = json.dumps(value, ensure_ascii=False, sort_keys=True)
    return text if len(text) <= 120 else text[:117] + "..."


# --- intended changes ---

class Entry:
    def __init__(self, number, row):
        self.where = f"intended.csv:{number}"
        self.job, self.command, self.path, self.reason = (row[key] or "" for key in ("job", "command", "path", "reason"))
        self.added = self.path.startswith("+")
        self.path = self.path.removeprefix("+")
        self.used = 0

    def refused(self, frozen):
        if not all((self.job, self.command, self.path.startswith("/"), self.reason.strip())):
            return "job, command, path (from /) and reason are all needed"
        if not re.search(r"[^*?/\[\]!.-]", self.path):
            return "its path would take a whole document"
        figures = {command for _, command in frozen if command.split(":")[0] in ONE_BY_ONE}
        one_by_one = any(fnmatch.fnmatchcase(command, self.command) for command in figures)
        if one_by_one and not self.added and not self.literal(frozen):
            return "figures of `supply` and readings of `read` are listed one by one, by job and path"
        if same_steps(self.path, "/schema") and (self.path != "/schema" or any(c in self.job for c in "*?[")):
            return "a document of another kind is listed by its job, with the path /schema"
        if not self.added:
            for (job, command), answer in frozen.items():
                if answer == "timeout" or not self.meets_document(job, command):
                    continue
                paths = list(leaves(answer))
                taken = sum(same_steps(self.path, path) for path in paths)
                if len(paths) >= 10 and 2 * taken > len(paths):
                    return f"it would take {taken} of the {len(paths)} figures of {job} {command}"
        return None

    def literal(self, frozen):
        """Whether it is one path of one job, though names in it may hold what patterns do."""
        if not any(c in self.job + self.command + self.path for c in "*?["):
            return True
        return (self.job, self.command) in frozen and self.path in set(leaves(frozen[self.job, self.command]))

    def meets_document(self, job, command):
        return (self.job == job or fnmatch.fnmatchcase(job, self.job)) and (self.command == command or fnmatch.fnmatchcase(command, self.command))

    def meets(self, job, command, path, was):
        return (not self.added or was is ...) and self.meets_document(job, command) and same_steps(self.path, path)


def same_steps(pattern, path):
    if pattern == path:
        return True
    patterns, steps = pattern.split("/")[1:], path.split("/")[1:]

    def meet(p, s):
        if p == len(patterns):
            return s == len(steps)
        if patterns[p] == "**":
            return any(meet(p + 1, at) for at in range(s, len(steps) + 1))
        return s < len(steps) and (patterns[p] == steps[s] or fnmatch.fnmatchcase(steps[s], patterns[p])) and meet(p + 1, s + 1)

    return meet(0, 0)


def read_intended(frozen):
    with open(HERE / "intended.csv", encoding="utf-8", newline="") as file:
        entries = [Entry(number, row) for number, row in enumerate(csv.DictReader(file), 2)]
    bad = [f"{entry.where}: {why}" for entry in entries if (why := entry.refused(frozen))]
    if bad:
        sys.exit("\n".join(bad))
    return entries


# --- files of answers ---

def file_of(command):
    return ANSWERS / f"{command.split(':')[0]}.jsonl"


def read_answers():
    frozen = {}
    for file in sorted(ANSWERS.glob("*.jsonl")):
        for line in file.read_text("utf-8").splitlines():
            entry = json.loads(line)
            frozen[entry["job"], entry["command"]] = unpacked(entry["answer"])
    return frozen


def write_answers(answers, command):
    ANSWERS.mkdir(exist_ok=True)
    # With --command only that command's answers are frozen anew.
    files = collections.defaultdict(list)
    for (job, of), answer in answers.items():
        if not fnmatch.fnmatchcase(of.split(":")[0], command):
            continue
        head = f'{{"job":{json.dumps(job)},"command":{json.dumps(of)},"answer":'
        body = json.dumps(packed(answer), ensure_ascii=False, sort_keys=True, separators=(",", ":"))
        files[file_of(of)].append(head + body + "}\n")
    for file, lines in files.items():
        file.write_text("".join(lines), "utf-8")
    size = sum(file.stat().st_size for file in HERE.rglob("*") if file.is_file() and "__pycache__" not in file.parts)
    print(f"{len(answers)} answers frozen, {size / 1e6:.2f} MB in all")
    for (job, command), answer in answers.items():
        if answer == "timeout":
            print(f"  {job} {command} ran over {FREEZE_SECONDS} s: not compared")
    if size > LIMIT_BYTES:
        sys.exit(f"over {LIMIT_BYTES / 1e6:.0f} MB")


def summary(found):
    groups = collections.defaultdict(list)
    for job, command, path, was, now in found:
        steps = path.split("/")[1:]
        general = []
        for at, name in enumerate(steps):
            before = steps[at - 1] if at else ""
            if before in ("sets", "nearest_misses"):
                general.append("<parts>")
            elif before == "findings":
                general.append(name.split("@")[0].split(" #")[0])
            elif before in ("sections", "nodes", "discharge", "loads", "lugs", "parts", "made_of", "capacitors", "tubes_cold"):
                general.append(f"<{before}>")
            elif " " in name and name:
                general.append("<text>")
            else:
                general.append(re.sub(r"^\d+$", "<n>", name))
        kind = " added" if was is ... else " gone" if now is ... else ""
        if isinstance(was, str) and isinstance(now, str) and len(was) < 16 and len(now) < 16:
            kind = f" {was} -> {now}"
        groups[command.split(":")[0], "/" + "/".join(general) + kind].append((job, command, path, was, now))
    for (command, path), of in sorted(groups.items(), key=lambda item: (item[0][0], -len(item[1]))):
        print(f"{len(of):5} {command} {path}")
        for job, label, whole, was, now in of[:: max(1, len(of) - 1)][:2]:
            print(f"        {job} {label} {whole}: {shown(was)} -> {shown(now)}")


def main():
    flags = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    flags.add_argument("binary")
    flags.add_argument("--write", action="store_true")
    flags.add_argument("--intended", action="store_true")
    flags.add_argument("--summary", action="store_true")
    flags.add_argument("--job", default="*")
    flags.add_argument("--command", default="*")
    given = flags.parse_args()
    binary = str(pathlib.Path(given.binary).resolve())
    partly = (given.job, given.command) != ("*", "*")
    if given.job != "*" and given.write or partly and given.intended:
        sys.exit("--write takes all jobs, --intended all jobs and commands")
    work = all_work(given.job, given.command)
    frozen = {} if given.write else read_answers()
    entries = [] if given.write else read_intended(frozen)
    skip = {key for key, answer in frozen.items() if answer == "timeout"}
    seconds = FREEZE_SECONDS if given.write else COMPARE_SECONDS
    answers = {}
    with concurrent.futures.ThreadPoolExecutor(AT_ONCE) as pool:
        for of in pool.map(lambda one: run_job(binary, one, seconds, skip), work):
            answers.update(of)
    if given.write:
        return write_answers(answers, given.command)

    found, listed = [], 0
    wanted = lambda job, command: fnmatch.fnmatchcase(job, given.job) and fnmatch.fnmatchcase(command, given.command)
    for key in sorted({*frozen, *answers} - skip):
        if not wanted(*key) or (partly and key not in answers):
            continue
        was, now = frozen.get(key, ...), answers.get(key, ...)
        if was is ... or now is ... or now == "timeout":
            every = [("/", "an answer" if was is not ... else ..., "timeout" if now == "timeout" else "an answer" if now is not ... else ...)]
        elif was.get("schema") != now.get("schema"):
            every = [("/schema", was.get("schema"), now.get("schema"))]
        else:
            every = list(differences(was, now))
        for path, one, other in every:
            met = [entry for entry in entries if entry.meets(*key, path, one)]
            for entry in met:
                entry.used += 1
            listed += bool(met)
            if not met:
                found.append((*key, path, one, other))
    if given.summary:
        summary(found)
    else:
        for job, command, path, was, now in found:
            print(f"{job} {command} {path}: {shown(was)} -> {shown(now)}")
    unused = []
    if given.intended:
        for entry in entries:
            print(f"{entry.used:5} {entry.where}: {entry.job} {entry.command} {'+' * entry.added}{entry.path}: {entry.reason}")
        unused = [entry for entry in entries if not entry.used]
        for entry in unused:
            print(f"{entry.where}: never met, take it out")
    of = f"{len(answers)} answers" + (f", {len(skip)} not compared (over {FREEZE_SECONDS} s when frozen)" if skip else "")
    print(f"{of}: {len(found)} differences, {listed} more as listed", file=sys.stderr)
    sys.exit(1 if found or unused else 0)


if __name__ == "__main__":
    main()
