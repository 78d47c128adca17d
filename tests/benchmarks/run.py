"""What everything costs, as ratios: `python tests/benchmarks/run.py [--json FILE] [--only NAME …] [--quick]`.

Needs `tests/benchmarks/requirements.txt`. Two ways are measured in turns (A B A B …), each pair gives a ratio, and
their median counts. CPU is counted, of this process or of all processes of a server, wherever nothing is said of wall-clock;
the server has one core, the client another. A goal that is missed is marked as missed, and no failure; a subject that cannot
be measured is one.
"""

import argparse
import json
import sys
import time
from collections.abc import Sequence
from dataclasses import asdict
from importlib import import_module
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

import machine
from rows import FULL, QUICK, TITLES, Effort, NotHere, Row

SUBJECTS = {
    "in-process": "in_process",
    "sockets": "over_sockets",
    "tables": "tables",
    "core": "core",
    "search": "searching",
    "estimates": "estimating",
    "photographs": "photographs",
    "client": "client_calls",
    "start": "starting",
    "memory": "memory",
    "proxy": "proxied",
    "tails": "tails",
    "refusals": "refusals",
}

EXTRA = ("fastapi", "pydantic", "uvicorn")


def arguments() -> argparse.Namespace:
    """What was asked for."""
    parser = argparse.ArgumentParser(description="What everything costs, as ratios.")
    parser.add_argument("--json", metavar="FILE", type=Path, help="write the figures there too")
    parser.add_argument(
        "--only", metavar="NAME", nargs="+", choices=SUBJECTS, default=list(SUBJECTS), help=", ".join(SUBJECTS)
    )
    parser.add_argument("--quick", action="store_true", help="fewer and shorter turns, for a first look")
    return parser.parse_args()


def measured(name: str, effort: Effort) -> list[Row] | None:
    """Measure one subject and print it; nothing where something that it needs is missing, None where it failed."""
    started = time.monotonic()
    try:
        rows: list[Row] = import_module(f"subjects.{SUBJECTS[name]}").rows(effort)
    except ModuleNotFoundError as missing:
        if missing.name not in EXTRA:
            raise
        print(f"\n{name}: left out: {missing} (install tests/benchmarks/requirements.txt)")
        return []
    except (RuntimeError, OSError) as failed:
        print(f"\n{name}: FAILED: {failed}")
        return None
    except NotHere as missing:
        print(f"\n{name}: left out: {missing}")
        return []
    print(f"\n{name} ({time.monotonic() - started:.0f} s)")
    for row in rows:
        print(row.line())
    sys.stdout.flush()
    return rows


def told_at_the_end(rows: Sequence[Row]) -> str:
    """How many goals are reached, and which are not."""
    judged = [row for row in rows if row.reached is not None]
    missed = [row for row in judged if not row.reached]
    lines = [f"  {row.what}: {row.ratio:.3g} ({row.told_goal()})" for row in missed]
    return "\n".join([f"{len(judged) - len(missed)} of {len(judged)} goals reached", *lines])


def main() -> None:
    """Measure what was asked for, print the table, and write it as JSON where wanted."""
    given = arguments()
    described = machine.described()
    print(f"{machine.told(described)}\n{TITLES}")
    machine.pin(machine.cores()[1])
    effort = QUICK if given.quick else FULL
    found = {name: measured(name, effort) for name in given.only}
    print(f"\n{told_at_the_end([row for rows in found.values() for row in rows or ()])}")
    if given.json:
        subjects = {name: [asdict(row) for row in rows] for name, rows in found.items() if rows}
        whole = {"machine": described, "date": time.strftime("%Y-%m-%d"), "quick": given.quick, "subjects": subjects}
        given.json.parent.mkdir(parents=True, exist_ok=True)
        given.json.write_text(json.dumps(whole, indent=1) + "\n")
    sys.exit(any(rows is None for rows in found.values()))


if __name__ == "__main__":
    main()
