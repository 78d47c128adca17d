"""So many stops down from the widest mark: always a mark that the ring has."""

import pytest

from closeup_service.optics.aperture_series import list_marks, marks_of_ring, stop_down

# Series as engraved: full and third stops as in ISO 517 (from memory); rings that begin with a mark outside their series,
# such as f/1.8 before 2, 2.8, 4: common practice, no source


@pytest.mark.parametrize(
    ("widest", "stops", "engraved"),
    [(1.8, 2, 3.5), (1.4, 2, 2.8), (2, 2, 4), (2.8, 2, 5.6), (3.5, 2, 7.1), (4, 1, 5.6), (1.8, 0, 1.8), (1.7, 2, 3.5)],
)
def test_without_marks_of_its_own_a_ring_has_the_usual_third_stops(
    widest: float, stops: float, engraved: float
) -> None:
    assert stop_down(widest, stops).nominal == engraved


@pytest.mark.parametrize(
    ("marks", "engraved"),
    [
        ([1.8, 2, 2.8, 4, 5.6, 8, 11, 16], 4),  # 3.6 lies 0.30 stops before 4 and 0.73 behind 2.8
        ([1.8, 2.5, 3.5, 5, 7.1], 3.5),
        ([1.8, 2, 2.4, 2.8, 3.3, 4, 4.8], 3.3),  # 0.25 stops before 3.6; 4 is 0.30 behind it
        ([1.8, 2.8], 2.8),
        ([1.8], 1.8),
    ],
)
def test_the_marks_of_the_lens_itself_decide(marks: list[float], engraved: float) -> None:
    assert stop_down(1.8, 2, list_marks(marks)).nominal == engraved


def test_stops_are_counted_between_the_exact_numbers_behind_the_marks() -> None:
    """Two full stops of f/11 are f/22 on every series, though 2 x 11 is engraved and 22.6 exact."""
    for series in ("full", "half", "third"):
        assert stop_down(11, 2, marks_of_ring(series, 2.8, 32)).nominal == 22


def test_of_two_marks_equally_near_the_smaller_aperture_is_taken() -> None:
    assert stop_down(2, 1, list_marks([2, 2.8284271247461903 / 2**0.25, 2.8284271247461903 * 2**0.25])).nominal > 3


def test_beyond_the_end_of_the_ring_its_last_mark_is_taken() -> None:
    assert stop_down(16, 5, marks_of_ring("full", 16, 22)).nominal == 22
    assert stop_down(256, 2).nominal == 256
    assert stop_down(0.53, 0).nominal == 0.56
