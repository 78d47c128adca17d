"""Files that are generated and committed: one command writes such files, or with --check says whether they are current."""

import argparse
import sys
from collections.abc import Mapping
from pathlib import Path


def write_or_check(command: str, text: str) -> int:
    """Write `text` to the file that the command line names; with --check only compare, and return 1 when stale."""
    given = asked(command, "the file")
    if not given.check:
        given.path.write_text(text, encoding="utf-8")
        return 0
    return 0 if text_of(given.path) == text else say_stale(command, given.path, given.path)


def write_or_check_folder(command: str, files: Mapping[str, str]) -> int:
    """Write every file to the folder that the command line names, and remove other modules there; or with --check compare."""
    given = asked(command, "the folder")
    others = [path for path in given.path.glob("*.py") if path.name not in files]
    if given.check:
        stale = [given.path / name for name, text in files.items() if text_of(given.path / name) != text]
        return say_stale(command, [*stale, *others][0], given.path) if stale or others else 0
    given.path.mkdir(exist_ok=True)
    for name, text in files.items():
        (given.path / name).write_text(text, encoding="utf-8")
    for path in others:
        path.unlink()
    return 0


def asked(command: str, what: str) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(prog=f"python -m {command}", description="Write what is generated.")
    parser.add_argument("path", type=Path, help=what)
    parser.add_argument("--check", action="store_true", help="write nothing; fail when it is stale")
    return parser.parse_args()


def text_of(path: Path) -> str | None:
    """Text of a file; None where there is none."""
    return path.read_text(encoding="utf-8") if path.exists() else None


def say_stale(command: str, stale: Path, given: Path) -> int:
    """Say what is stale and how it is written anew; return 1."""
    sys.stderr.write(f"{stale} is stale: run python -m {command} {given}\n")
    return 1
