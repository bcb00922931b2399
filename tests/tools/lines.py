#!/usr/bin/env python3
"""Counts the lines of Rust in src that are neither test, comment nor blank, per room: python3 tests/tools/lines.py [SRC]

Each file is cut at its first `#[cfg(test)]`; files and folders named tests, and modules that only tests declare, are
left out."""

import collections
import pathlib
import re
import sys

SRC = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else "src")


def test_modules():
    """Files that a `#[cfg(test)] mod name;` declares."""
    for path in SRC.rglob("*.rs"):
        for name in re.findall(r"#\[cfg\(test\)\]\s*(?:pub\(crate\) )?mod (\w+);", path.read_text()):
            folder = path.parent if path.name in ("mod.rs", "lib.rs") else path.with_suffix("")
            yield folder / f"{name}.rs"
            yield folder / name


def counted(path):
    lines = path.read_text().split("#[cfg(test)]")[0].splitlines()
    return sum(1 for line in lines if line.strip() and not line.strip().startswith("//"))


left_out = set(test_modules())
rooms = collections.Counter()
for path in SRC.rglob("*.rs"):
    if path.stem != "tests" and not left_out & {path, *path.parents}:
        rooms[path.relative_to(SRC).parts[0].removesuffix(".rs")] += counted(path)
for room, lines in sorted(rooms.items()):
    print(f"{room:12}{lines:7}")
print(f"{'all':12}{sum(rooms.values()):7}")
