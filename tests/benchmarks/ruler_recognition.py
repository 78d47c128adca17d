"""How many rulers partly hidden are read, and how many even patterns that are no ruler are taken for one.

`python tests/benchmarks/ruler_recognition.py --seed 20`. Of the rulers, drawn with 11 or more marks
clear over 18 % of the frame's width, it counts those read to 1 %, read wrongly, and refused, with the reasons; of the
patterns, how many are read as they come, and how many where they are said to be scales.
"""

import argparse
import sys
from collections import Counter
from pathlib import Path

import numpy as np

from closeup_service.measuring.ruler.reading import read_ruler
from closeup_service.optics.errors import OpticsError

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from covered_scenes import covered, drawn_covered
from even_patterns import PATTERNS, even_pattern
from ruler_scenes import true_pixels_per_mm

RIGHT = 0.01


def rulers(seed: int, count: int) -> Counter[str]:
    """What became of rulers partly hidden."""
    found: Counter[str] = Counter()
    for number in range(count):
        scene, covers = drawn_covered(np.random.default_rng([seed, number]))
        try:
            reading = read_ruler(covered(scene, covers), scene.scale.pitch_mm)
        except OpticsError as refusal:
            found[f"refused: {refusal.code}"] += 1
            continue
        error = reading.pixels_per_mm.value / true_pixels_per_mm(scene) - 1
        found["right" if abs(error) < RIGHT else "wrong"] += 1
    return found


def patterns(seed: int, each: int) -> dict[str, Counter[str]]:
    """What became of even patterns, kind by kind."""
    found = {kind: Counter({"drawn": each}) for kind in PATTERNS}
    for kind, counted in found.items():
        for number in range(each):
            picture = even_pattern(np.random.default_rng([seed, number]), kind)
            for accepted in (False, True):
                try:
                    read_ruler(picture, 1.0, accept_plain_marks=accepted)
                except OpticsError:
                    continue
                counted["read when accepted" if accepted else "read as they come"] += 1
    return found


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seed", type=int, default=20)
    asked.add_argument("--rulers", type=int, default=120)
    asked.add_argument("--each", type=int, default=12, help="patterns of each kind")
    given = asked.parse_args()
    print("rulers", dict(rulers(given.seed, given.rulers)))
    for kind, counted in patterns(given.seed, given.each).items():
        print(kind, dict(counted))
