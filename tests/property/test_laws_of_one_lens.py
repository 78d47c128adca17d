"""Laws of Gaussian optics that every lens obeys, normal and reversed."""

from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.depth import depth_limits, geometric_half_depth
from closeup_service.optics.errors import OpticsError
from closeup_service.optics.lens import ThickLens
from closeup_service.optics.parts import lens_part
from closeup_service.optics.train import trace
from closeup_service.set_ups.set_up import evaluate
from set_ups import Document, lengths, lenses, one_lens_set_ups, scaled


def evaluated(document: Document) -> Any:
    try:
        return evaluate(document)
    except OpticsError:
        assume(False)
        raise


@given(st.lists(lengths(0.1, 200), min_size=6, max_size=6))
def test_reversing_twice_is_the_identity(values: list[float]) -> None:
    lens = ThickLens(*values)
    assert lens.reverse().reverse() == lens


@given(lengths(5, 300), lengths(1, 32), lengths(0.2, 5))
def test_reversing_inverts_the_pupil_magnification_and_divides_the_f_number(f: float, n: float, p: float) -> None:
    turned = ThickLens.from_marks(f, n, p).reverse()
    assert turned.pupil_magnification == pytest.approx(1 / p)
    assert turned.f_number == pytest.approx(n / p)


@given(lengths(0.5, 64), lengths(0.2, 5))
def test_at_life_size_both_mountings_have_the_same_effective_f_number(n: float, p: float) -> None:
    normal = formulas.effective_f_number(*swap(formulas.marked_as_mounted(n, p, False)))
    turned = formulas.effective_f_number(*swap(formulas.marked_as_mounted(n, p, True)))
    assert normal == pytest.approx(turned, rel=1e-14)


@given(lengths(0.5, 64), lengths(0.05, 20), lengths(0.2, 5), st.booleans())
def test_a_reversed_lens_is_another_lens_with_its_pupils_swapped(n: float, m: float, p: float, turned: bool) -> None:
    as_it_stands, pupils = formulas.marked_as_mounted(n, p, turned)
    expected = formulas.effective_f_number(as_it_stands, m, pupils)
    assert formulas.effective_as_mounted(n, m, p, turned) == pytest.approx(expected, rel=1e-14)


def swap(marked: tuple[float, float]) -> tuple[float, float, float]:
    return marked[0], 1.0, marked[1]


@given(lengths(10, 200), lengths(1.4, 32), lengths(0.3, 4), lengths(0.05, 10))
def test_swapping_subject_and_sensor_inverts_the_magnification_and_divides_the_f_number(
    f: float, n: float, p: float, m: float
) -> None:
    effective_f_number = n * (1 + m / p)
    assume(m / (2 * effective_f_number) < 0.9)  # air admits no aperture of 1 or more, on either side
    assume(1 / (2 * effective_f_number) < 0.9)
    lens = ThickLens.from_marks(f, n, p, 0.0, 0.0, 0.0)
    there = trace([lens_part(lens, "/train/0", n)], f * (1 + m), POINT)
    back = trace([lens_part(lens.reverse(), "/train/0", n)], there.subject_distance, POINT)
    assert back.signed_magnification == pytest.approx(1 / m)
    assert back.subject_distance == pytest.approx(f * (1 + m))
    assert there.aperture is not None
    assert back.aperture is not None
    effective, swapped = (m / (2 * there.aperture.numerical_aperture), 1 / m / (2 * back.aperture.numerical_aperture))
    assert swapped == pytest.approx(effective / m)


@given(one_lens_set_ups(reversed_=True))
def test_a_reversed_lens_at_its_infinity_stop_never_works_nearer_than_its_own_register(
    drawn: tuple[Document, float],
) -> None:
    document, _ = drawn
    working_distance = evaluated(document).working_distance_mm
    assert working_distance is not None
    assert working_distance >= document["train"][0]["register_mm"]


@given(one_lens_set_ups(), lengths(0.1, 10))
def test_scaling_every_length_leaves_magnification_and_f_number(drawn: tuple[Document, float], factor: float) -> None:
    document, _ = drawn
    one, other = evaluated(document), evaluated(scaled(document, factor))
    assert other.magnification == pytest.approx(one.magnification, rel=1e-9)
    assert other.effective_f_number == pytest.approx(one.effective_f_number, rel=1e-9)
    assert other.working_distance_mm == pytest.approx(factor * one.working_distance_mm, rel=1e-7, abs=1e-7)


@given(lengths(1, 64), lengths(0.05, 10), lengths(0.001, 0.05), lengths(-0.05, 0.05))
def test_the_depths_differ_by_the_pupil_alone(effective: float, m: float, blur: float, inverse: float) -> None:
    depth = depth_limits(geometric_half_depth(effective, m, blur), m, inverse, POINT)
    assume(depth.front < float("inf") and depth.rear < float("inf"))
    assert 1 / depth.front - 1 / depth.rear == pytest.approx(2 * inverse, rel=1e-6, abs=1e-9)


@given(lengths(1, 64), lengths(0.05, 10), lengths(0.001, 0.05))
def test_without_pupil_the_depths_are_equal_and_sum_to_the_textbook_total(effective: float, m: float, c: float) -> None:
    depth = depth_limits(geometric_half_depth(effective, m, c), m, 0.0, POINT)
    assert depth.front == depth.rear
    assert depth.front + depth.rear == pytest.approx(2 * c * effective / (m * m))


@given(one_lens_set_ups())
def test_subject_to_sensor_is_working_distance_and_rig(drawn: tuple[Document, float]) -> None:
    set_up = evaluated(drawn[0])
    assert set_up.subject_to_sensor_mm == pytest.approx(set_up.working_distance_mm + set_up.rig_length_mm)


@given(one_lens_set_ups())
def test_the_rig_is_as_long_as_its_parts(drawn: tuple[Document, float]) -> None:
    document, _ = drawn
    lens, spacer = document["train"]
    mechanical = (
        lens["front_principal_plane_mm"]
        + lens["principal_plane_separation_mm"]
        - (lens["register_mm"] - lens["focal_length_mm"])
    )
    expected = mechanical + spacer["length_mm"] + document["camera"]["register_mm"]
    assert evaluated(document).rig_length_mm == pytest.approx(expected)


@given(lenses(reversed_=False), lengths(0, 30))
def test_focusing_a_normal_lens_is_the_same_as_a_ring_of_that_length(lens: Document, carried: float) -> None:
    camera = {"register_mm": lens["register_mm"]}
    by_ring = {"camera": camera, "train": [lens, {"element": "spacer", "length_mm": 5.0 + carried}]}
    focused = {
        "camera": camera,
        "train": [{**lens, "focusing_extension_mm": carried}, {"element": "spacer", "length_mm": 5.0}],
    }
    assert evaluated(focused).magnification == pytest.approx(evaluated(by_ring).magnification)


@given(one_lens_set_ups(reversed_=True), lengths(0, 20))
def test_focusing_a_reversed_lens_only_brings_its_flange_nearer_the_subject(
    drawn: tuple[Document, float], carried: float
) -> None:
    document, _ = drawn
    lens, spacer = document["train"]
    at_infinity_stop = evaluated(document)
    focused = evaluated({**document, "train": [{**lens, "focusing_extension_mm": carried}, spacer]})
    assert focused.magnification == at_infinity_stop.magnification
    assert focused.working_distance_mm == pytest.approx(at_infinity_stop.working_distance_mm - carried)
