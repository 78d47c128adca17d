"""Many photographs drawn at random from fixed seeds: read rightly, or refused."""

import os

import numpy as np
import pytest

from closeup_service.measuring.ruler.reading import read_ruler
from closeup_service.optics.errors import OpticsError
from random_scenes import drawn, without_ruler
from ruler_scenes import marks_in_view, render, true_pixels_per_mm
from scene_backgrounds import PATTERNS
from thoroughness import FULL

SMALL, ORDINARY, LARGE = (1152, 800), (2048, 1464), (6000, 4000)
MORE = os.environ.get("RULER_SCENES") == "full"
"""Whether there are more, most of 3 megapixels and a few of 24 in every chunk; else most are of 1 megapixel."""

CHUNKS, EACH = 6 if MORE else 4 if FULL else 1, 50
"""Photographs in chunks that can be drawn side by side."""

OF_EACH_PATTERN = 6 if MORE else 4 if FULL else 1

LEAST_IN_VIEW = 6
RIGHT = 0.002
WRONG = 0.02


def sizes(chunk: int) -> list[tuple[int, int]]:
    if MORE:
        return [ORDINARY] * (EACH - 2) + [LARGE] * 2
    return [SMALL] * (EACH - 1) + [LARGE] if chunk == 1 else [SMALL] * (EACH - 2) + [ORDINARY] * 2


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_random_rulers_are_read_within_their_error_and_hardly_any_is_refused(chunk: int) -> None:
    rng = np.random.default_rng([2024, chunk])
    errors, good = [], 0
    for width, height in sizes(chunk):
        scene = drawn(rng, width, height)
        clear = marks_in_view(scene) >= LEAST_IN_VIEW
        good += clear
        try:
            reading = read_ruler(render(scene), scene.scale.pitch_mm)
        except OpticsError:
            continue
        errors.append((abs(reading.pixels_per_mm.value / true_pixels_per_mm(scene) - 1), clear))
    assert good >= 0.9 * EACH
    assert sum(clear for _, clear in errors) >= 0.9 * good
    assert max(error for error, _ in errors) < WRONG
    assert np.percentile([error for error, _ in errors], 95) < RIGHT


def test_pictures_without_a_ruler_are_all_refused() -> None:
    rng = np.random.default_rng(77)
    for pattern in PATTERNS * OF_EACH_PATTERN:
        picture = without_ruler(rng, pattern, 960, 640)
        with pytest.raises(OpticsError) as refusal:
            read_ruler(picture, 1.0)
        assert refusal.value.code in {"no-scale-found", "too-few-marks", "too-blurred"}
