"""Worked examples of textbooks, and published values, against the core.

`seen` means that the passage was read, mostly in an excerpt or a copy and not in the work as a whole; `memory` that it is
quoted from memory. Where a book prints lengths in inches or centimetres they are used as they stand: the sums do not care, or
they are turned into mm beside them.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import pytest
from scipy.special import jn_zeros

from closeup_service.operations.set_up.format_equivalence import operation as format_equivalence
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.depth import geometric_half_depth
from closeup_service.optics.matrices import Matrix, chain_matrices
from closeup_service.optics.parts import Part, spacer_part
from closeup_service.set_ups.elements import Builder
from closeup_service.set_ups.set_up import SetUp, evaluate
from real_rays import Surface, System

if TYPE_CHECKING:
    from closeup_service.records import requests


def thick_lens(f: float, front: float, rear: float, behind_last_vertex: float) -> SetUp:
    """One lens whose rim is its first vertex and whose flange is its last; planes from the vertices, along the light."""
    lens: Any = {
        "element": "lens",
        "focal_length_mm": f,
        "f_number": 8,
        "front_principal_plane_mm": front,
        "rear_principal_plane_mm": rear,
    }
    return evaluate({"camera": {"register_mm": behind_last_vertex}, "train": [lens]})


def two_components(first: float, gap: float, second: float) -> Matrix:
    """Ray matrix of two thin components in the core; the sensor stands where it happens to stand."""
    parts = [
        Part("/train/0", 1 / first, 0.0, 0.0, 0.0, needs={"stop": "/train/0/f_number"}),
        spacer_part("/train/1", gap),
        Part("/train/2", 1 / second, 0.0, 0.0, 0.0, needs={"stop": "/train/2/f_number"}),
    ]
    return chain_matrices(parts, 0, 3 * abs(first * second), POINT).matrices[-1]


# W. J. Smith, Modern Optical Engineering, 4th ed., McGraw-Hill 2008, pp. 41-45: cemented doublet of fig. 3.4. Seen: the
# traced heights and the image distance on p. 42, the focal lengths on p. 45. The figure itself was not: surfaces and object
# (300 before the first) are those that the printed steps of the trace imply.
DOUBLET = System(
    (
        Surface(0.0, 0.02, 1.0, 1.5, math.inf),
        Surface(10.0, -0.02, 1.5, 1.6, math.inf),
        Surface(12.0, 0.0, 1.6, 1.0, math.inf),
    ),
    (),
)
DOUBLET_EFL, DOUBLET_BFL, DOUBLET_FFL = 122.950820, 113.504098, 124.590164
DOUBLET_OBJECT, DOUBLET_IMAGE = 300.0, 199.6846


def test_the_ray_tracer_finds_the_printed_focal_lengths_of_the_doublet() -> None:
    turned = DOUBLET.turned()
    found = (DOUBLET.focal_length(), DOUBLET.rear_focus() - DOUBLET.last, turned.rear_focus() - turned.last)
    assert found == pytest.approx((DOUBLET_EFL, DOUBLET_BFL, DOUBLET_FFL), rel=1e-8)


def test_the_ray_tracer_finds_the_printed_image_of_the_doublet() -> None:
    assert DOUBLET.conjugate(-DOUBLET_OBJECT) - DOUBLET.last == pytest.approx(DOUBLET_IMAGE, abs=5e-5)


def test_the_core_finds_the_doublets_object_from_its_printed_image() -> None:
    front, rear = DOUBLET_EFL - DOUBLET_FFL, DOUBLET_BFL - DOUBLET_EFL
    answer = thick_lens(DOUBLET_EFL, front, rear, DOUBLET_IMAGE)
    assert answer.working_distance_mm == pytest.approx(DOUBLET_OBJECT, rel=1e-6)


# E. Hecht, Optics, section 6.1, the worked thick lens (memory): radii 20 and 40 cm, 1.0 cm thick, index 1.5, object 30 cm
# before the first vertex. Printed: f = 26.8 cm, H1 0.22 cm behind the first vertex, H2 0.44 cm before the second, image
# 238 cm behind H2.
HECHT = System((Surface(0.0, 1 / 200, 1.0, 1.5, math.inf), Surface(10.0, -1 / 400, 1.5, 1.0, math.inf)), ())


def test_the_ray_tracer_finds_hechts_thick_lens() -> None:
    f, turned = HECHT.focal_length(), HECHT.turned()
    front = HECHT.last - (turned.rear_focus() - turned.focal_length())
    rear = HECHT.rear_focus() - f - HECHT.last
    assert f == pytest.approx(268, abs=0.5)
    assert front == pytest.approx(2.2, abs=0.05)
    assert rear == pytest.approx(-4.4, abs=0.07)


def test_the_core_finds_hechts_object_from_the_printed_image() -> None:
    assert thick_lens(268, 2.2, -4.4, 2380 - 4.4).working_distance_mm == pytest.approx(300, abs=0.5)


@pytest.mark.parametrize(
    ("first", "gap", "second", "focal_length", "front_plane", "rear_plane"),
    [
        # Smith, as above, p. 69, exercises 2 and 3 (seen): efl 20, back focus 10, front focus 30 before the first component.
        pytest.param(10.0, 5.0, -10.0, 20.0, 20.0 - 30.0, 10.0 - 20.0, id="Smith, p. 69"),
        # Hecht, section 6.1, compound lens of two thin lenses (memory): f = 30, planes f d/f2 and -f d/f1 from the lenses.
        pytest.param(-30.0, 10.0, 20.0, 30.0, 15.0, 10.0, id="Hecht, section 6.1"),
    ],
)
def test_two_components_combine_as_printed(
    first: float, gap: float, second: float, focal_length: float, front_plane: float, rear_plane: float
) -> None:
    matrix = two_components(first, gap, second)
    f = -1 / matrix.c
    found = (f, f + matrix.d / matrix.c, -matrix.a / matrix.c - f)
    assert found == pytest.approx((focal_length, front_plane, rear_plane), rel=1e-12)


def with_extension(magnification: float, f_number: float = 8.0) -> float:
    """Effective f-number of a symmetrical lens."""
    return float(formulas.effective_f_number(f_number, magnification, 1.0))


def factor(magnification: float) -> float:
    """Exposure factor of a symmetrical lens."""
    return float(formulas.exposure_factor(with_extension(magnification), 8.0))


def image_distance(focal_length: float, subject_distance: float) -> float:
    """Second principal plane to image."""
    m = formulas.magnification_by_subject_distance(focal_length, subject_distance)
    return float(focal_length + formulas.image_extension(focal_length, m))


def lens(focal_length: float, **more: Any) -> Any:
    """A lens whose planes lie in its faces, at infinity."""
    return {
        "element": "lens",
        "focal_length_mm": focal_length,
        "f_number": 8,
        "front_principal_plane_mm": 0,
        "register_mm": focal_length,
        **more,
    }


def on_camera(register: float, *train: Any) -> SetUp:
    """Evaluate a train before a camera."""
    return evaluate({"camera": {"register_mm": register}, "train": list(train)})


def close_up_lens() -> SetUp:
    """A close-up lens of 10 dpt on a lens of 100 mm at infinity."""
    return on_camera(100, {"element": "close-up-lens", "power_dpt": 10}, lens(100))


def coupled() -> SetUp:
    """A lens of 50 mm reversed on another."""
    return on_camera(50, lens(50, reversed=True), lens(50))


def objective_focal_length(magnification: float, tube_lens: float) -> float:
    """Focal length of an infinity-corrected objective."""
    element: Any = {
        "element": "objective",
        "magnification": magnification,
        "numerical_aperture": 0.9,
        "tube_lens_focal_length_mm": tube_lens,
    }
    return float(1 / Builder(0.0, POINT, {}).part(element, "/train/0").power)


@dataclass(frozen=True)
class Published:
    """One published value; `computed` asks the core for it."""

    topic: str
    computed: Callable[[], float | None]
    value: float
    tolerance: float
    source: str
    status: Literal["seen", "memory"]


EXACT = 1e-9
SUBCOURSE = "US Army correspondence subcourse SS0512, Still photography, page on bellows extension"
MOE = "W. J. Smith, Modern Optical Engineering, 4th ed."
BLOG = "copy in a data set of a blog of 2007 on dioptres"

PUBLISHED = [
    Published(
        "exposure factor, 12 in lens 18 in from the film", lambda: factor(18 / 12 - 1), 2.25, EXACT, SUBCOURSE, "seen"
    ),
    Published(
        "exposure factor, 300 mm lens 450 mm from the film",
        lambda: factor(450 / 300 - 1),
        2.25,
        EXACT,
        SUBCOURSE,
        "seen",
    ),
    Published("exposure time of 8 s with that factor", lambda: 8 * factor(0.5), 18, EXACT, SUBCOURSE, "seen"),
    Published(
        "exposure factor, subject 10 cm, image 5 cm",
        lambda: factor(5 / 10),
        2.25,
        EXACT,
        "M. Langford, Basic Photography, appendix on close-up exposure (publisher's abstract)",
        "seen",
    ),
    Published(
        "lens to film at life size, 8 in lens",
        lambda: 8 + float(formulas.image_extension(8, 1)),
        16,
        EXACT,
        "thread of a large-format forum on close-up photography",
        "seen",
    ),
    Published(
        "exposure factor at life size", lambda: factor(1), 4, EXACT, "photography question-and-answer archive", "seen"
    ),
    Published(
        "stops lost at life size",
        lambda: float(formulas.light_loss_stops(with_extension(1), 8.0, POINT)),
        2,
        EXACT,
        "the same",
        "seen",
    ),
    Published(
        "effective f-number, f/4 at life size",
        lambda: with_extension(1, 4),
        8,
        EXACT,
        "post in a film photographers' forum, crediting E. Bigler's derivation",
        "seen",
    ),
    Published(
        "effective f-number, f/4.5 at 0.01",
        lambda: with_extension(0.01, 4.5),
        4.545,
        EXACT,
        "thread of a photomacrography forum",
        "seen",
    ),
    Published(
        "image distance, f 10 in, object 200 ft away",
        lambda: image_distance(10, 2400),
        10.041841,
        1e-7,
        f"{MOE}, p. 32, exercise 1",
        "seen",
    ),
    Published(
        "image size, the same, object 50 ft high",
        lambda: 50 * 12 * float(formulas.magnification_by_subject_distance(10, 2400)),
        2.510460,
        1e-6,
        f"{MOE}, p. 32, exercise 2",
        "seen",
    ),
    Published(
        "image beyond the focus, f 10 in, object 40 in before the focus",
        lambda: image_distance(10, 50) - 10,
        2.5,
        EXACT,
        f"{MOE}, p. 27, example 2.1",
        "seen",
    ),
    Published(
        "Rayleigh resolution, um, NA 0.1, 500 nm",
        lambda: float(formulas.subject_resolution_um(0.1, 500)),
        3.05,
        1e-3,
        "homework archive (0.61 lambda / NA)",
        "seen",
    ),
    Published(
        "first zero of J1",
        lambda: formulas.AIRY_DIAMETER * math.pi / 2,
        3.8317,
        1e-5,
        "MathWorld, zeros of Bessel functions",
        "seen",
    ),
    Published(
        "first zero of J1",
        lambda: formulas.AIRY_DIAMETER * math.pi / 2,
        3.83171,
        1.4e-6,
        "Abramowitz and Stegun, table 9.5; DLMF 10.21",
        "memory",
    ),
    Published(
        "focal length of a 100x objective for a 180 mm tube lens",
        lambda: objective_focal_length(100, 180),
        1.8,
        EXACT,
        "message 27723 of a microscopy mailing list",
        "seen",
    ),
    Published("magnification, 10 dpt on 100 mm", lambda: close_up_lens().magnification, 1, EXACT, BLOG, "seen"),
    Published(
        "subject distance, 50 mm reversed on 50 mm", lambda: coupled().working_distance_mm, 50, EXACT, BLOG, "seen"
    ),
]


@pytest.mark.parametrize("check", PUBLISHED, ids=lambda check: check.topic)
def test_published_values_come_out(check: Published) -> None:
    assert check.computed() == pytest.approx(check.value, rel=check.tolerance)


def test_the_airy_diameter_holds_the_first_zero_of_the_bessel_function() -> None:
    (zero,) = jn_zeros(1, 1)
    assert pytest.approx(2 * zero / math.pi, rel=3e-8) == formulas.AIRY_DIAMETER


@pytest.mark.parametrize(("magnification", "numerical_aperture"), [(4, 0.1), (10, 0.25), (20, 0.4)])
def test_an_objective_on_its_own_tube_lens_works_at_m_over_twice_its_aperture(
    magnification: float, numerical_aperture: float
) -> None:
    objective = {
        "element": "objective",
        "magnification": magnification,
        "numerical_aperture": numerical_aperture,
        "tube_lens_focal_length_mm": 200,
    }
    answer = on_camera(200, objective, lens(200, f_number=2.8))
    assert answer.magnification == pytest.approx(magnification, rel=EXACT)
    assert answer.effective_f_number == pytest.approx(magnification / (2 * numerical_aperture), rel=EXACT)


# L. Stroebel, View Camera Technique (1976), p. 139, as quoted in an excerpt of a forum thread: on a format four times the size
# a 300 mm lens has the field of a 75 mm lens, and at the same f-number the small picture has four times the depth.
DISTANT: "requests.FormatEquivalenceRequest" = {
    "magnification": 1e-4,
    "f_number": 16,
    "focal_length_mm": 75,
    "circle_of_confusion_mm": 0.025,
    "sensor_width_mm": 30,
    "sensor_height_mm": 24,
    "other_sensor_width_mm": 120,
    "other_sensor_height_mm": 96,
}


def test_a_format_four_times_the_size_takes_four_times_focal_length_and_f_number() -> None:
    answer = format_equivalence.answer(DISTANT)
    assert answer["same_perspective_focal_length_mm"] == pytest.approx(300, rel=1e-3)
    assert answer["other_f_number"] == pytest.approx(4 * 16, rel=1e-3)
    at_the_same_mark = 2 * geometric_half_depth(
        16, answer["other_magnification"], answer["other_circle_of_confusion_mm"]
    )
    assert 2 * geometric_half_depth(16, 1e-4, 0.025) == pytest.approx(4 * at_the_same_mark)


# A teaching page on formats, as quoted in excerpts: whatever the format, an entrance pupil of the same diameter at the same
# distance gives the same picture.
@pytest.mark.parametrize("magnification", [1e-4, 0.1, 1.0, 5.0])
def test_the_same_picture_has_the_same_entrance_pupil(magnification: float) -> None:
    picture: requests.FormatEquivalenceRequest = {
        **DISTANT,
        "pupil_magnification": 1.4,
        "magnification": magnification,
    }
    focal_length = format_equivalence.answer(picture)["same_perspective_focal_length_mm"]
    assert focal_length is not None
    kept = format_equivalence.answer({**picture, "other_focal_length_mm": focal_length})
    assert focal_length / kept["other_f_number"] == pytest.approx(75 / 16)
