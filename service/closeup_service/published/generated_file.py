"""Files that are generated and committed: one command writes such a file, or with --check says whether it is current."""

import argparse
import sys
from pathlib import Path


def write_or_check(command: str, text: str) -> int:
    """Write `text` to the file that the command line names; with --check only compare, and return 1 when stale."""
    parser = argparse.ArgumentParser(prog=f"python -m {command}", description="Write a generated file.")
    parser.add_argument("path", type=Path, help="the file")
    parser.add_argument("--check", action="store_true", help="write nothing; fail when the file is stale")
    given = parser.parse_args()
    if not given.check:
        given.path.write_text(text, encoding="utf-8")
        return 0
    if given.path.exists() and given.path.read_text(encoding="utf-8") == text:
        return 0
    sys.stderr.write(f"{given.path} is stale: run python -m {command} {given.path}\n")
    return 1
