#!/usr/bin/env python3
"""Makes one-token changes in the pure rooms and in intake, and says which of them no test notices.

    python3 tests/tools/mutants.py WORK_FOLDER [NUMBER ...]

All changes are built at once into a copy of the project in WORK_FOLDER, each behind a switch that an environment
variable turns on; then the suites of the pure rooms run once for each change, and once with none. A change is written
in mutants.txt, beside this file, as three lines: the file, what stands there (once in the file), and what stands there
instead. Where [[ ]] marks a part of the second line, the third one stands for that part. Lines that begin with # are
comments."""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
SWITCH = """
/// Whether a change under test is switched on.
pub(crate) fn changed(number: u32) -> bool {
    static ON: std::sync::OnceLock<u32> = std::sync::OnceLock::new();
    *ON.get_or_init(|| std::env::var("CHANGED").ok().and_then(|text| text.parse().ok()).unwrap_or(0)) == number
}
"""
ROOMS = ["standing::", "stats::", "resemblance::", "catalogue::", "records::", "contact::", "lubricant::", "intake::", "units::"]
SUITES = [("lib", ROOMS), ("kernel", []), ("evidence", []), ("contacts", [])]


def changes():
    lines = (pathlib.Path(__file__).with_suffix(".txt")).read_text().splitlines()
    lines = [line for line in lines if line.strip() and not line.startswith("#")]
    return [tuple(line.strip() for line in lines[at : at + 3]) for at in range(0, len(lines), 3)]


def copied(work):
    work.mkdir(parents=True, exist_ok=True)
    for path in subprocess.check_output(["git", "ls-files"], cwd=ROOT, text=True).splitlines():
        (work / path).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(ROOT / path, work / path)


def pattern(text):
    return re.escape(text).replace(r"\ ", r"\s+")


def switched(work, all_changes):
    for number, (name, before, after) in enumerate(all_changes, 1):
        lead, found, rest = before.partition("[[")
        inner, _, tail = rest.partition("]]")
        if not found:
            lead, inner, tail = "", before, ""
        path = work / name
        text = path.read_text()
        places = re.findall(pattern(lead + inner + tail), text)
        if len(places) != 1:
            sys.exit(f"{number}: '{before}' stands {len(places)} times in {name}")
        switch = f"{lead}(if crate::changed({number}) {{ {after} }} else {{ {inner} }}){tail}"
        path.write_text(text.replace(places[0], switch))
    with open(work / "src/lib.rs", "a") as lib:
        lib.write(SWITCH)


def built(work):
    command = ["cargo", "test", "--no-run", "--lib", "--test", "kernel", "--test", "evidence", "--test", "contacts"]
    made = subprocess.run(command, cwd=work, text=True, capture_output=True)
    if made.returncode:
        sys.exit(made.stderr[-6000:])
    found = re.findall(r"Executable (?:unittests )?(\S+) \((\S+)\)", made.stderr)
    return {"lib" if name == "src/lib.rs" else name.split("/")[1]: work / path for name, path in found}


def noticed_by(work, binaries, number):
    for suite, filters in SUITES:
        environment = {**os.environ, "CHANGED": str(number)}
        command = [binaries[suite], "-q", *filters]
        try:
            ran = subprocess.run(command, cwd=work, env=environment, capture_output=True, text=True, timeout=900)
        except subprocess.TimeoutExpired:
            return f"{suite}: does not end"
        if ran.returncode:
            failed = re.findall(r"^    (\S+)$", ran.stdout, re.M)
            return f"{suite}: {failed[0] if failed else 'fails'}"
    return None


def main():
    work = pathlib.Path(sys.argv[1]).resolve()
    all_changes = changes()
    copied(work)
    switched(work, all_changes)
    binaries = built(work)
    asked = [int(text) for text in sys.argv[2:]] or [0, *range(1, len(all_changes) + 1)]
    living = 0
    for number in asked:
        start = time.monotonic()
        found = noticed_by(work, binaries, number)
        name, before, after = all_changes[number - 1] if number else ("nothing", "", "")
        verdict = found or "LIVES"
        living += bool(number) and not found
        print(f"{number:3} {time.monotonic() - start:5.0f} s  {verdict}  [{name}: {before} -> {after}]", flush=True)
        if not number and found:
            sys.exit("the suites fail without any change")
    print(f"{len(asked)} runs, {living} changes live")


main()
