"""How often the 95 % intervals of a lens calibration hold the truth, and how often clean frames are called outliers.

    python tests/benchmarks/calibration_coverage.py [--sessions 2000] [--seed 17] [--sigma 0.002] [--play 0.2] [--only TEXT]

Every line is a way to take a session, simulated so many times; it shows the least and the greatest share that any quantity
has, those outside 93 to 97 % by name, and the share of sessions with a false outlier (at most 7 %). The last lines say
whether all kept to that, and end with status 1 where not. Two thousand sessions each take about ten minutes.
"""

import argparse
import sys
from collections.abc import Iterator
from itertools import product
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from calibration_sessions import Case, Coverage, coverage

LOW, HIGH, MOST_OUTLIERS = 0.93, 0.97, 0.07


def cases(sigma: float, play: float, residual: float | None) -> Iterator[tuple[str, Case]]:
    """Every way to take a session, with its name."""
    for turned, known, register, distances, frames in product(
        (False, True), (True, False), (False, True), (False, True), (3, 4, 5, 6)
    ):
        name = (
            f"{'reversed' if turned else 'normal':8} scatter {'known' if known else 'estimated':9} "
            f"{'register' if register else 'no register':11} {'distances' if distances else 'no distances':12} {frames} frames"
        )
        yield name, Case(frames, turned, register, known, distances, sigma=sigma, play=play, residual=residual)
    for known, frames in product((True, False), (3, 4, 5, 6)):
        name = f"normal   scatter {'known' if known else 'estimated':9} register, no camera's    {frames} frames"
        yield name, Case(frames, False, True, known, camera_register=False, sigma=sigma, play=play, residual=residual)


def line(told: Coverage) -> tuple[str, bool]:
    """One case in words, and whether it keeps within the limits."""
    beyond = {name: share for name, share in told.held.items() if not LOW <= share <= HIGH}
    good = not beyond and told.outliers <= MOST_OUTLIERS
    shares = told.held.values()
    named = "".join(f"; {name} {share:.1%}" for name, share in beyond.items())
    rare = f"outliers {told.outliers:.1%}, distances disagree {told.disagreeing:.1%}"
    return f"{min(shares):.1%} to {max(shares):.1%}, {rare}{named}", good


def main() -> int:
    """Simulate every case."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sessions", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=17)
    parser.add_argument("--sigma", type=float, default=0.002, help="standard error of a magnification")
    parser.add_argument("--play", type=float, default=0.2, help="stated standard uncertainty of the infinity stop, mm")
    parser.add_argument("--residual", type=float, help="true play of the stop in every session, mm; else drawn")
    parser.add_argument("--only", default="", help="cases whose name holds this")
    asked = parser.parse_args()
    kept = True
    for place, (name, case) in enumerate(cases(asked.sigma, asked.play, asked.residual)):
        if asked.only in name:
            text, good = line(coverage(case, asked.sessions, np.random.default_rng([asked.seed, place])))
            kept &= good
            print(f"{'  ' if good else '! '}{name}: {text}", flush=True)
    print("all within the limits" if kept else "some beyond the limits, marked !")
    return 0 if kept else 1


if __name__ == "__main__":
    sys.exit(main())
