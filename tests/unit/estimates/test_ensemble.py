"""The ensemble of a lens: what stands on the barrel, what was measured, and what cannot be of one lens."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from closeup_service.estimates.ensemble import estimate_lens
from closeup_service.estimates.known_lens import Frame, KnownLens
from closeup_service.estimates.ranges import Range, weighted_ranges
from closeup_service.optics.arithmetic import FloatArray
from closeup_service.optics.errors import Contradiction

WIDE = KnownLens(focal_length_mm=28, register_mm=45.5, widest_f_number=2.8)
BODY_MM = 44.0


def reversed_magnification(lens: KnownLens, extension: float) -> FloatArray:
    members = estimate_lens(lens)
    return (BODY_MM + extension + members.front_plane) / members.focal_length - 1


def range_at(lens: KnownLens, extension: float) -> Range:
    [found] = weighted_ranges(reversed_magnification(lens, extension)[None], estimate_lens(lens).weights)
    return found


def frame(magnification: float, extension: float = 0.0) -> Frame:
    return Frame(magnification, reversed=True, extension_mm=extension, camera_register_mm=BODY_MM)


def test_the_same_lens_always_gives_the_same_members() -> None:
    first = estimate_lens(replace(WIDE, frames=(frame(1.9),)))
    estimate_lens.cache_clear()
    again = estimate_lens(replace(WIDE, frames=(frame(1.9),)))
    assert first.front_plane.tobytes() == again.front_plane.tobytes()


def test_weights_add_up_to_one_and_every_member_is_a_lens() -> None:
    members = estimate_lens(KnownLens(focal_length_mm=40, register_mm=45.5))
    assert members.weights.sum() == pytest.approx(1)
    assert (members.pupil_magnification > 0).all()
    assert (members.front_plane + members.separation + members.focal_length - 45.5 > 3).all()


@pytest.mark.parametrize("border", [38, 43, 58, 70])
def test_a_class_border_makes_no_jump(border: float) -> None:
    below, above = (
        range_at(KnownLens(focal_length_mm=border * share, register_mm=45.5, widest_f_number=2.8), 50)
        for share in (0.9999, 1.0001)
    )
    assert (below.low, below.value, below.high) == pytest.approx((above.low, above.value, above.high), rel=0.01)


def test_one_photograph_of_a_ruler_leaves_about_a_tenth_of_the_range() -> None:
    """Documentation of the statistics: one reversed reading narrows the width of m to about a tenth."""
    before = range_at(WIDE, 0)
    after = range_at(replace(WIDE, frames=(frame(before.value),)), 0)
    assert (after.high - after.low) / (before.high - before.low) < 0.25
    assert after.value == pytest.approx(before.value, rel=0.02)


@pytest.mark.parametrize("focal_length", [20, 24, 28, 35])
def test_one_frame_tells_other_extensions_of_a_wide_lens_to_five_per_cent(focal_length: float) -> None:
    lens = KnownLens(focal_length_mm=focal_length, register_mm=45.5, widest_f_number=2.8)
    known = replace(lens, frames=(frame(range_at(lens, 7).value, 7),))
    for extension in (0, 25, 50, 100):
        found = range_at(known, extension)
        assert (found.high - found.low) / 2 <= 0.05 * found.value


@given(st.integers(0, 200), st.sampled_from([24.0, 28.0, 35.0]))
def test_a_frame_of_any_lens_of_the_class_finds_that_lens_again(member: int, focal_length: float) -> None:
    """The truth is one of the members; the range after a frame at 7 mm holds its magnification at 50 mm, or nearly."""
    lens = KnownLens(focal_length_mm=focal_length, register_mm=45.5, widest_f_number=2.8)
    at = member % estimate_lens(lens).size
    truth = reversed_magnification(lens, 7)[at], reversed_magnification(lens, 50)[at]
    found = range_at(replace(lens, frames=(frame(float(truth[0]), 7),)), 50)
    assert found.low - 0.03 * truth[1] <= truth[1] <= found.high + 0.03 * truth[1]


def measurable(lens: KnownLens) -> dict[str, FloatArray]:
    """What each lens of an ensemble would measure."""
    members = estimate_lens(lens)
    return {
        "barrel_length_mm": members.front_plane + members.separation + members.focal_length - lens.flange_mm,
        "entrance_pupil_depth_mm": members.member.pupil_depth,
        "pupil_ratio": members.pupil_magnification,
    }


def shares_left(name: str) -> list[float]:
    """Width of the range of m after a reading over that before: focal lengths from 20 to 60 mm, readings as the class gives."""
    shares = []
    for focal_length in (20, 24, 28, 35, 45, 50, 60):
        lens = KnownLens(focal_length_mm=focal_length, register_mm=45.5, widest_f_number=2.8)
        before = range_at(lens, 50)
        for reading in np.quantile(measurable(lens)[name], [0.2, 0.5, 0.8]):
            after = range_at(replace(lens, **{name: float(reading)}), 50)
            shares.append((after.high - after.low) / (before.high - before.low))
    return shares


def test_more_knowledge_does_not_widen_the_range_on_average() -> None:
    """A reading that tells little of the plane alone, such as the pupils' ratio, may leave a few per cent more."""
    left = {name: float(np.mean(shares_left(name))) for name in measurable(WIDE)}
    assert np.mean(list(left.values())) <= 1.0
    assert max(left.values()) <= 1.06


def test_what_a_lens_states_itself_is_not_estimated() -> None:
    lens = replace(WIDE, front_plane_mm=37.0, separation_mm=26.0, pupil_magnification=1.8)
    members = estimate_lens(lens)
    assert lens.is_complete
    for column, stated in (
        (members.front_plane, 37.0),
        (members.separation, 26.0),
        (members.pupil_magnification, 1.8),
        (members.focal_length, 28.0),
    ):
        assert np.allclose(column, stated)


def test_two_frames_that_cannot_be_of_one_lens_are_refused_with_both_figures() -> None:
    with pytest.raises(Contradiction, match=r"2\.5 was given|1\.5 was given") as caught:
        estimate_lens(replace(WIDE, frames=(frame(1.5), frame(2.5))))
    assert set(caught.value.members) == {"measured/0", "measured/1"}


def test_a_barrel_no_lens_of_the_class_has_is_questioned_and_still_used() -> None:
    members = estimate_lens(replace(WIDE, barrel_length_mm=200.0))
    [unexpected] = members.unexpected
    assert (unexpected.name, unexpected.value) == ("barrel_length_mm", 200.0)
    assert unexpected.usual.low < unexpected.usual.high < 120


@given(st.floats(-200, 300), st.floats(5, 400))
def test_data_unlike_any_class_still_give_members(front_plane: float, focal_length: float) -> None:
    members = estimate_lens(KnownLens(focal_length_mm=focal_length, register_mm=45.5, front_plane_mm=front_plane))
    assert members.size
    assert np.isfinite(members.separation).all()
    assert (members.pupil_magnification > 0).all()
