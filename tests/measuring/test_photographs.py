"""Many photographs drawn at random from fixed seeds: read rightly, or refused."""

import numpy as np
import pytest

from closeup_service.measuring.ruler_reading import read_ruler
from closeup_service.optics.errors import OpticsError
from ruler_scenes import PATTERNS, drawn, marks_in_view, render, true_pixels_per_mm, without_ruler

SIZES = [(1344, 896)] * 270 + [(2048, 1464)] * 28 + [(6000, 4000)] * 2
LEAST_IN_VIEW = 6
RIGHT = 0.002
WRONG = 0.02


def test_random_rulers_are_read_within_their_error_and_hardly_any_is_refused() -> None:
    rng = np.random.default_rng(2024)
    errors, good = [], 0
    for width, height in SIZES:
        scene = drawn(rng, width, height)
        clear = marks_in_view(scene) >= LEAST_IN_VIEW
        good += clear
        try:
            reading = read_ruler(render(scene), scene.scale.pitch_mm)
        except OpticsError:
            continue
        errors.append((abs(reading.pixels_per_mm.value / true_pixels_per_mm(scene) - 1), clear))
    assert good >= 0.9 * len(SIZES)
    assert sum(clear for _, clear in errors) >= 0.9 * good
    assert max(error for error, _ in errors) < WRONG
    assert np.percentile([error for error, _ in errors], 95) < RIGHT


def test_sixty_pictures_without_a_ruler_are_all_refused() -> None:
    rng = np.random.default_rng(77)
    for i in range(60):
        picture = without_ruler(rng, PATTERNS[i % len(PATTERNS)], 1344, 896)
        with pytest.raises(OpticsError) as refusal:
            read_ruler(picture, 1.0)
        assert refusal.value.code in {"no-scale-found", "too-few-marks", "too-blurred"}
