"""What got slower between two releases: `python tests/benchmarks/compare.py OLD NEW`, two files of `history/`.

Exit codes: 0 nothing got slower than noise explains, 1 something did, 2 a file cannot be read.
"""

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from history import NOISE, Results, changes, only_in


def read(path: Path) -> Results:
    """Results of one release; ends the program where there are none."""
    try:
        results: Results = json.loads(path.read_text(encoding="utf-8"))
        if "subjects" not in results or "machine" not in results:
            raise ValueError("it holds no results of a benchmark")
    except (OSError, ValueError) as error:
        print(f"{path}: {error}", file=sys.stderr)
        sys.exit(2)
    return results


def main(arguments: Sequence[str] | None = None) -> int:
    """Print what changed; what got slower comes first."""
    parser = argparse.ArgumentParser(description="What got slower between two releases.")
    parser.add_argument("old", type=Path, metavar="OLD")
    parser.add_argument("new", type=Path, metavar="NEW")
    given = parser.parse_args(arguments)
    old, new = read(given.old), read(given.new)
    found = changes(old, new)
    if old["machine"] != new["machine"]:
        print("Not the same machine or libraries: ratios alone are compared.")
    for verdict in ("slower", "faster"):
        for change in sorted((each for each in found if each.verdict == verdict), key=lambda each: -each.worse):
            print(change.line())
    for word, missing in (("no longer measured", only_in(old, new)), ("new", only_in(new, old))):
        for name in missing:
            print(f"{word}: {name}")
    slower = sum(change.verdict == "slower" for change in found)
    print(f"{slower} of {len(found)} got slower by more than {NOISE:.0%} and the spread of both runs")
    return 1 if slower else 0


if __name__ == "__main__":
    sys.exit(main())
