"""From starting a command to its end, or a service to its first answer, on one core, with byte code already there.

What the commands and the import of the client take stands against the bare import of what they cannot do without. The service
has two workers each.
`the same imports` is bare Flask in a process that imports every module that the service imports but its own. The shares are
of the time that importing the service and building its application takes.
"""

import os
import re
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Mapping
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median

from processes import BIN, gunicorn, quiet_port, service, serving
from requests_asked import GET_PATH
from rows import Effort, Row, in_turns, spread_of
from running_service import clean_environment

WORKERS = 2
SHOWN = 10
STARTED = "import closeup_service.http.serve\nfrom closeup_service.http.app import create_app\ncreate_app()\n"
LISTED = f"{STARTED}import sys\nprint(*(name for name in sys.modules if not name.startswith(('closeup_', '__main'))))"
IMPORT_LINE = re.compile(r"import time:\s+(\d+) \|\s+\d+ \| +([\w.]+)")
Start = Callable[[], tuple[float, float]]
CLOSEUP, SUM = str(BIN / "closeup"), ["effective-f-number", "--f-number", "8", "--magnification", "1.5"]
ENDED = (
    ("closeup --help", [CLOSEUP, "--help"], "argparse", 2.0),
    ("closeup --version", [CLOSEUP, "--version"], "argparse", 2.0),
    ("closeup effective-f-number, in process", [CLOSEUP, *SUM], "numpy, marshmallow", 1.6),
    ("import closeup_client", [sys.executable, "-c", "import closeup_client"], "requests", 1.2),
    ("a client made", [sys.executable, "-c", "from closeup_client import Client; Client()"], "requests", 1.2),
)
"""Each against an import, with the goal."""


def rows(effort: Effort) -> list[Row]:
    """Start against both floors, and where the time of the imports goes."""
    with tempfile.TemporaryDirectory() as folder:
        listed = Path(folder) / "modules"
        listed.write_text(ended(folder, LISTED).stdout)
        own = starting(service, GET_PATH)
        bare = starting(lambda *given: gunicorn("peers.bare_flask:app", *given), "/")
        same = starting(
            lambda *given: gunicorn("peers.same_imports:app", *given), "/",
            {"IMPORTED_MODULES": str(listed), "PROMETHEUS_MULTIPROC_DIR": folder},
        )  # fmt: skip
        return [
            *compared(own, "bare gunicorn and Flask", bare, effort, None),
            *compared(own, "the same imports", same, effort, 1.6),
            *shares(folder),
            *ended_rows(effort),
        ]


def run(words: list[str]) -> Callable[[], float]:
    """CPU seconds of a process that is run to its end."""

    def once() -> float:
        before = getrusage(RUSAGE_CHILDREN)
        subprocess.run(words, env=clean_environment(), stdout=subprocess.DEVNULL, check=True)
        after = getrusage(RUSAGE_CHILDREN)
        return (after.ru_utime + after.ru_stime) - (before.ru_utime + before.ru_stime)

    return once


def ended_rows(effort: Effort) -> list[Row]:
    """CPU of commands and of the client's import, each against that of an import."""
    return [
        in_turns(
            what, run(words), f"import {modules}", run([sys.executable, "-c", f"import {modules}"]), effort, goal=goal
        )
        for what, words, modules, goal in ENDED
    ]


def starting(
    command: Callable[[int, int], list[str]], path: str, environment: Mapping[str, str] | None = None
) -> Start:
    """Start once, and end: seconds to the first answer, and CPU until then."""

    def start() -> tuple[float, float]:
        port = quiet_port()
        with serving(command(port, WORKERS), port, path, environment=environment) as served:
            return served.start_s, served.cpu_s

    return start


def compared(own: Start, against: str, floor: Start, effort: Effort, goal: float | None) -> list[Row]:
    """Starts in turns: the wall-clock, which is what one waits for, and the CPU."""
    own()
    floor()
    pairs = [(own(), floor()) for _ in range(max(3, effort.pairs // 2))]
    found = []
    for kind, index, wanted in (("wall-clock", 0, None), ("CPU", 1, goal)):
        ours, theirs = ([start[index] for start in column] for column in zip(*pairs, strict=True))
        ratios = [a / b for a, b in zip(ours, theirs, strict=True)]
        what = f"start to first answer, {kind}"
        found.append(Row(what, median(ours), "s", against, median(theirs), median(ratios), spread_of(ratios), wanted))
    return found


def ended(folder: str, code: str, *options: str) -> subprocess.CompletedProcess[str]:
    """A Python process that has run to its end."""
    environment = clean_environment(PROMETHEUS_MULTIPROC_DIR=folder) | {"PYTHONPATH": os.environ.get("PYTHONPATH", "")}
    command = [sys.executable, *options, "-c", code]
    return subprocess.run(command, env=environment, capture_output=True, text=True, check=True)


def shares(folder: str) -> list[Row]:
    """Time of the imports by package, the ten that take longest, each without what it imports from others."""
    taken: Counter[str] = Counter()
    for line in ended(folder, STARTED, "-X", "importtime").stderr.splitlines():
        if found := IMPORT_LINE.match(line):
            taken[package_of(found[2])] += int(found[1])
    total = taken.total() / 1e6
    return [
        Row(f"import of {name}", microseconds / 1e6, "s", "all imports", total)
        for name, microseconds in taken.most_common(SHOWN)
    ]


def package_of(module: str) -> str:
    """First part of a module's name; those of the standard library together."""
    first = module.partition(".")[0]
    return "the standard library" if first in sys.stdlib_module_names else first
