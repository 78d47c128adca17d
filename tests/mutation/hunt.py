"""Mutation testing of the physics, by hand: `python tests/mutation/hunt.py`, with `tests/mutation/requirements.txt` installed.

Draws small faults over the modules of `optics`, puts one at a time into the running code and runs the quick tests that reach
its line, in a process of its own, until one fails. Prints the faults that no test notices; no file is changed.
"""

import argparse
import os
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "service"), str(ROOT / "client"), str(Path(__file__).parent)]

from mutants import sample  # noqa: E402
from session import MutationSession  # noqa: E402

TESTS = ("tests/unit", "tests/property", "tests/reference", "tests/api")
ELSEWHERE = "benchmarks photographs calibration scale ruler search kit pages embedding ring_chains strict_json lesson"
"""Words in the names of tests of other subjects, or slow ones."""
OPTIONS = ("-n0", "-q", "-p", "no:cacheprovider")


def main() -> int:
    """Draw the faults and hunt them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sample", type=int, default=700, help="how many places to change")
    parser.add_argument("--seed", type=int, default=1, help="of the drawing")
    parser.add_argument("--only", nargs="*", default=[""], help="faults as printed, or how they begin")
    parser.add_argument(
        "--seconds", type=float, default=8.0, help="of tests for each fault, those quickest to run first"
    )
    parser.add_argument("--reach", type=Path, help="file that keeps, from run to run, which tests reach which lines")
    asked = parser.parse_args()
    os.environ["CI"] = "1"  # the same examples every time
    os.chdir(ROOT)
    modules = sorted((ROOT / "service/closeup_service/optics").glob("*.py"))
    drawn = [
        mutant for mutant in sample(modules, asked.sample, asked.seed) if str(mutant).startswith(tuple(asked.only))
    ]
    return int(pytest.main([*OPTIONS, *chosen_tests()], plugins=[MutationSession(drawn, asked.seconds, asked.reach)]))


def chosen_tests() -> list[str]:
    """Files of the quick tests of the physics."""
    paths = (path for folder in TESTS for path in sorted((ROOT / folder).rglob("test_*.py")))
    return [str(path) for path in paths if not any(word in str(path.relative_to(ROOT)) for word in ELSEWHERE.split())]


if __name__ == "__main__":
    sys.exit(main())
