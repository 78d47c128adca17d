"""Several lenses together: the same draws for the same request, and each as its own ensemble says."""

import numpy as np
import pytest

from closeup_service.estimates.ensemble import estimate_lens
from closeup_service.estimates.joint import DRAWS, FEW_DRAWS, draw_together
from closeup_service.estimates.known_lens import KnownLens
from closeup_service.estimates.ranges import weighted_ranges

WIDE = KnownLens(focal_length_mm=28, register_mm=45.5)
LONG = KnownLens(focal_length_mm=135, register_mm=45.5)


def test_one_lens_gives_all_its_members_with_their_weights() -> None:
    joint = draw_together([WIDE])
    assert joint.size == estimate_lens(WIDE).size
    assert np.array_equal(joint.weights, estimate_lens(WIDE).weights)


def test_two_lenses_are_drawn_the_same_each_time_and_not_in_step() -> None:
    first, again = draw_together([WIDE, LONG]), draw_together([WIDE, LONG])
    assert first.size == DRAWS
    for lens in (WIDE, LONG):
        assert first.drawn[lens].front_plane.tobytes() == again.drawn[lens].front_plane.tobytes()
    together = np.corrcoef(first.drawn[WIDE].front_plane, first.drawn[LONG].front_plane)[0, 1]
    assert abs(together) < 0.2


def test_the_same_lens_twice_is_one_lens() -> None:
    assert len(draw_together([WIDE, WIDE]).drawn) == 1


@pytest.mark.parametrize("most", [FEW_DRAWS, DRAWS])
def test_fewer_draws_have_nearly_the_ranges_of_all(most: int) -> None:
    whole = estimate_lens(WIDE)
    drawn = draw_together([WIDE], most)
    assert drawn.size <= most
    [all_of_them] = weighted_ranges(whole.front_plane[None], whole.weights)
    [some] = weighted_ranges(drawn.drawn[WIDE].front_plane[None], drawn.weights)
    assert some.value == pytest.approx(all_of_them.value, rel=0.03)
    assert some.high - some.low == pytest.approx(all_of_them.high - all_of_them.low, rel=0.2)
