"""Close-up lenses, converters, coupled lenses and objectives in the train, against their closed forms.

The closed forms: W. J. Smith, *Modern Optical Engineering*, ch. 2 (from memory); proved on real elements by ray tracing.
"""

from typing import Any

import pytest
from hypothesis import assume, given

from closeup_service.optics.errors import OpticsError
from closeup_service.set_ups.set_up import SetUp, evaluate
from set_ups import lengths


def tube(length: float) -> Any:
    return {"element": "spacer", "length_mm": length}


def prime(f: float, n: float, p: float = 1.0, **more: Any) -> Any:
    lens = {"element": "lens", "focal_length_mm": f, "f_number": n, "pupil_magnification": p, "register_mm": 44.0}
    return lens | {"front_principal_plane_mm": 30.0} | more


def before_camera(*train: Any) -> Any:
    try:
        set_up: SetUp = evaluate({"camera": {"register_mm": 44.0}, "train": list(train)})
    except OpticsError:
        assume(False)
        raise
    return set_up


focal_lengths, f_numbers, pupils = lengths(20, 300), lengths(1.4, 22), lengths(0.4, 3)


@given(focal_lengths, f_numbers, pupils, lengths(50, 2000), lengths(0, 40))
def test_a_close_up_lens_before_a_lens_at_infinity_gives_the_ratio_of_focal_lengths_and_costs_no_light(
    f: float, n: float, p: float, fc: float, gap: float
) -> None:
    set_up = before_camera({"element": "close-up-lens", "focal_length_mm": fc}, tube(gap), prime(f, n, p))
    assert set_up.magnification == pytest.approx(f / fc)
    assert set_up.working_distance_mm == pytest.approx(fc)
    assert set_up.effective_f_number == pytest.approx(n)
    assert set_up.light_loss_stops == pytest.approx(0, abs=1e-9)


@given(focal_lengths, f_numbers, pupils, lengths(50, 2000), lengths(0, 40), lengths(0.05, 2))
def test_a_close_up_lens_adds_to_the_magnification_of_its_lens_and_costs_no_further_light(
    f: float, n: float, p: float, fc: float, gap: float, m0: float
) -> None:
    set_up = before_camera(
        {"element": "close-up-lens", "power_dpt": 1000 / fc}, tube(gap), prime(f, n, p), tube(f * m0)
    )
    g = gap + 30.0
    beyond = f * (1 + 1 / m0) - g
    assume(beyond > 1)
    assert set_up.magnification == pytest.approx(m0 * (1 + beyond / fc))
    assert set_up.working_distance_mm == pytest.approx(fc * beyond / (fc + beyond))
    assert set_up.effective_f_number == pytest.approx(n * (1 + m0 / p))


def test_two_thin_close_up_lenses_in_contact_add_their_powers() -> None:
    one = before_camera({"element": "close-up-lens", "power_dpt": 5.0}, prime(100, 8))
    two = before_camera(*[{"element": "close-up-lens", "power_dpt": 2.5}] * 2, prime(100, 8))
    assert two.magnification == pytest.approx(one.magnification)


@given(focal_lengths, focal_lengths, f_numbers, f_numbers, pupils, pupils, lengths(0, 60))
def test_coupled_lenses_at_infinity_give_the_ratio_of_focal_lengths_and_the_larger_aperture_loss(
    fa: float, fb: float, na: float, nb: float, pa: float, pb: float, gap: float
) -> None:
    front = prime(fa, na, pa, reversed=True, register_mm=46.5)
    set_up = before_camera(front, tube(gap), prime(fb, nb, pb))
    m = fb / fa
    assert set_up.magnification == pytest.approx(m)
    assert set_up.working_distance_mm == pytest.approx(46.5)
    assert set_up.effective_f_number == pytest.approx(max(nb, m * na))
    if abs(nb - m * na) > 1e-6:
        assert set_up.aperture_stop == (2 if nb > m * na else 0)


@given(focal_lengths, focal_lengths, f_numbers, f_numbers, pupils, pupils, lengths(0.05, 1))
def test_coupled_lenses_focused_nearer_follow_the_two_stop_formulas(
    fa: float, fb: float, na: float, nb: float, pa: float, pb: float, m0: float
) -> None:
    front = prime(fa, na, pa, reversed=True, front_principal_plane_mm=12.0)
    set_up = before_camera(front, prime(fb, nb, pb), tube(fb * m0))
    g = 12.0 + 30.0
    s0 = fb * (1 + 1 / m0)
    assume(s0 - g > 1)
    by_b = nb * (1 + m0 / pb)
    by_a = m0 * abs(s0 - g + fa * (1 - 1 / pa)) / (fa / na)
    assert set_up.effective_f_number == pytest.approx(max(by_a, by_b))


@given(focal_lengths, f_numbers, pupils, lengths(1.2, 3), lengths(10, 60), lengths(0.05, 2))
def test_a_converter_behind_the_tube_multiplies_the_magnification_and_the_f_number(
    f: float, n: float, p: float, k: float, added: float, m: float
) -> None:
    converter = {"element": "teleconverter", "factor": k, "added_length_mm": added}
    set_up = before_camera(prime(f, n, p), tube(f * m), converter)
    assert set_up.magnification == pytest.approx(k * m)
    assert set_up.effective_f_number == pytest.approx(k * n * (1 + m / p))


@given(focal_lengths, f_numbers, pupils, lengths(1.2, 3), lengths(10, 60), lengths(1, 60))
def test_a_converter_by_its_focal_length_is_that_by_the_length_it_adds(
    f: float, n: float, p: float, k: float, added: float, e: float
) -> None:
    """A thin negative lens that makes k of 1 adds (k - 1)^2 |ft|/k (any textbook of optics, from memory)."""
    converter = {"element": "teleconverter", "factor": k}
    by_length, by_focal_length = (
        before_camera(prime(f, n, p), tube(e), converter | known)
        for known in ({"added_length_mm": added}, {"focal_length_mm": -k * added / (k - 1) ** 2})
    )
    assert by_focal_length.magnification == pytest.approx(by_length.magnification)
    assert by_focal_length.working_distance_mm == pytest.approx(by_length.working_distance_mm)
    assert by_focal_length.effective_f_number == pytest.approx(by_length.effective_f_number)


@given(focal_lengths, f_numbers, pupils, lengths(1.2, 3), lengths(10, 60), lengths(1, 60))
def test_a_tube_behind_the_converter_gives_less_by_the_square_of_its_factor(
    f: float, n: float, p: float, k: float, added: float, e: float
) -> None:
    converter = {"element": "teleconverter", "factor": k, "added_length_mm": added}
    behind = before_camera(prime(f, n, p), converter, tube(e))
    ft = -k * added / (k - 1) ** 2
    k_there = k - e / ft
    assert behind.magnification == pytest.approx(e / (k * f))
    assert behind.effective_f_number == pytest.approx(k_there * n * (1 + e / (k * k_there * f) / p))


@given(lengths(2, 20), lengths(0.05, 0.45), lengths(50, 400), lengths(0, 50))
def test_an_infinity_objective_gives_its_magnification_by_the_ratio_of_tube_lenses(
    engraved: float, na: float, f_tube: float, gap: float
) -> None:
    objective = {
        "element": "objective",
        "magnification": engraved,
        "numerical_aperture": na,
        "tube_lens_focal_length_mm": 200.0,
        "working_distance_mm": 15.0,
    }
    set_up = before_camera(objective, tube(gap), prime(f_tube, 2.0))
    m = engraved * f_tube / 200.0
    assert set_up.magnification == pytest.approx(m)
    assert set_up.working_distance_mm == pytest.approx(15.0)
    assert set_up.effective_f_number == pytest.approx(max(m / (2 * na), 2.0))
    assert set_up.focus_error_mm == pytest.approx(0, abs=1e-9)


def finite_objective(**more: float) -> Any:
    members = {"magnification": 4.0, "numerical_aperture": 0.1, "tube_length_mm": 160.0, "working_distance_mm": 17.0}
    return {"element": "objective"} | members | more


def test_a_finite_objective_at_its_design_length_gives_what_is_engraved() -> None:
    set_up = before_camera(finite_objective(), tube(150.0 - 44.0))
    assert set_up.magnification == pytest.approx(4.0)
    assert set_up.working_distance_mm == pytest.approx(17.0)
    assert set_up.effective_f_number == pytest.approx(20.0)
    assert set_up.assumed["/train/0/image_distance_mm"] == 150.0


@given(lengths(100, 300))
def test_a_finite_objective_off_its_design_length_follows_its_focal_length_at_the_same_aperture(length: float) -> None:
    set_up = before_camera(finite_objective(focal_length_mm=30.0), tube(length))
    m = 4.0 + (length + 44.0 - 150.0) / 30.0
    assert set_up.magnification == pytest.approx(m)
    assert set_up.numerical_aperture == pytest.approx(0.1)


def test_a_finite_objective_of_unknown_focal_length_is_refused_off_its_design_length() -> None:
    with pytest.raises(OpticsError, match="Give focal_length_mm"):
        evaluate({"camera": {"register_mm": 44.0}, "train": [finite_objective(), tube(120.0)]})


@given(lengths(20, 100), lengths(1, 4), lengths(5, 30), lengths(0.3, 3))
def test_a_narrow_ring_takes_over_as_stop(f: float, n: float, clear: float, m: float) -> None:
    wide = before_camera(prime(f, n), tube(f * m))
    narrow = before_camera(prime(f, n), {**tube(f * m), "clear_diameter_mm": clear})
    at_front_face = 44.0 + f * m
    assume(at_front_face > 0)
    by_ring = at_front_face / clear
    assert narrow.effective_f_number == pytest.approx(max(wide.effective_f_number, by_ring, 44.0 / clear))
    assert narrow.aperture_stop == (1 if by_ring > wide.effective_f_number else 0)
