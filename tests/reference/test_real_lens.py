"""The core's thick lens against exact rays through published lenses.

A lens is measured once, as it stands normally, by rays (`described`). The core is given those few data and must foretell
what other rays do at finite distances, with the lens mounted either way, and with one lens reversed before another.
"""

import math
from dataclasses import dataclass
from functools import cache
from typing import Any

import pytest

from closeup_service.optics import formulas
from closeup_service.optics.depth import Depth
from closeup_service.optics.errors import SubjectInsideLens
from closeup_service.optics.lens import ThickLens
from closeup_service.optics.parts import lens_part
from closeup_service.set_ups.set_up import SetUp, evaluate
from prescriptions import DOUBLE_GAUSS, RETROFOCUS, Prescription
from real_rays import System, system_of

LENSES = (RETROFOCUS, DOUBLE_GAUSS)
MAGNIFICATIONS = (0.2, 0.5, 1.0, 2.0, 4.0)
RIM = 4.0
"""The front rim stands this far before the first vertex, mm."""
FLANGE = 7.0
"""The mount flange stands this far behind the last vertex, mm."""
CAMERA_REGISTER = 18.0
SMALL_STOP = 400.0
"""An f-number at which aberrations vanish: what is left is Gaussian optics."""
GAUSSIAN = 1e-6
"""Relative agreement asked of what rays near the axis show."""
TINY_CONE = 1e-5
"""Relative agreement asked of cones at the small stop."""


@dataclass(frozen=True)
class Described:
    """What rays tell of a lens as it stands normally; lengths in mm, z from the first vertex."""

    focal_length: float
    front_plane: float
    rear_plane: float
    entrance_pupil: float
    exit_pupil: float
    entrance_pupil_per_iris: float
    exit_pupil_per_iris: float
    register: float

    @property
    def pupil_magnification(self) -> float:
        """Exit over entrance pupil."""
        return self.exit_pupil_per_iris / self.entrance_pupil_per_iris

    def stop_radius(self, f_number: float) -> float:
        """Radius of the iris at a marked f-number."""
        return self.focal_length / (2 * f_number * self.entrance_pupil_per_iris)

    def element(self, f_number: float, reversed_: bool) -> Any:
        """Describe the lens to the core."""
        return {
            "element": "lens",
            "reversed": reversed_,
            "focal_length_mm": self.focal_length,
            "f_number": f_number,
            "pupil_magnification": self.pupil_magnification,
            "front_principal_plane_mm": self.front_plane + RIM,
            "register_mm": self.register,
            "principal_plane_separation_mm": self.rear_plane - self.front_plane,
        }


@cache
def described(prescription: Prescription) -> Described:
    """Measure a lens by rays near the axis: from infinity in both directions, and from the middle of its iris."""
    lens = system_of(prescription)
    turned = lens.turned()
    (iris,) = lens.irises
    focal_length = lens.focal_length()
    return Described(
        focal_length=focal_length,
        front_plane=lens.last - (turned.rear_focus() - turned.focal_length()),
        rear_plane=lens.rear_focus() - focal_length,
        entrance_pupil=lens.entrance_pupil(iris),
        exit_pupil=lens.exit_pupil(iris),
        entrance_pupil_per_iris=lens.pupil_per_iris(),
        exit_pupil_per_iris=turned.pupil_per_iris(),
        register=lens.rear_focus() - lens.last - FLANGE,
    )


def mounted(prescription: Prescription, f_number: float, reversed_: bool) -> System:
    """Mount the lens, its iris set to the marked f-number, its first vertex at z = 0."""
    lens = system_of(prescription).stopped_down(described(prescription).stop_radius(f_number))
    return lens.turned() if reversed_ else lens


@dataclass(frozen=True)
class Rig:
    """A lens as mounted, with the sensor where the size ratio will be m, and the subject where a ray puts it."""

    prescription: Prescription
    reversed_: bool
    m: float
    f_number: float

    @property
    def lens(self) -> System:
        """The glass."""
        return mounted(self.prescription, self.f_number, self.reversed_)

    @property
    def sensor(self) -> float:
        """Where the sensor stands."""
        return self.lens.rear_focus() + self.m * described(self.prescription).focal_length

    @property
    def subject(self) -> float:
        """Where the subject must lie."""
        return self.lens.subject_of(self.sensor)

    @property
    def working_distance(self) -> float:
        """First joining face to subject."""
        return self.lens.first - (FLANGE if self.reversed_ else RIM) - self.subject

    @property
    def pupil_distance(self) -> float:
        """Subject to entrance pupil, by a ray from the middle of the iris."""
        return self.lens.entrance_pupil(self.lens.irises[0]) - self.subject

    @property
    def lopsided_blur(self) -> float:
        """A blur at which the depth behind the subject is half as long again as the depth before it."""
        return 0.2 * self.pupil_distance * self.m * self.m / self.lens.effective_f_number(self.subject)

    def foretold(self, blur: float = 0.03) -> SetUp:
        """What the core says of this rig."""
        last_face = self.lens.last + (RIM if self.reversed_ else FLANGE)
        tube = self.sensor - last_face - CAMERA_REGISTER
        lens = described(self.prescription).element(self.f_number, self.reversed_)
        camera: Any = {"register_mm": CAMERA_REGISTER, "circle_of_confusion_mm": blur}
        train = [lens, {"element": "spacer", "length_mm": tube}]
        return evaluate({"camera": camera, "train": train, "depth_of_field_model": "geometric"})

    def __str__(self) -> str:
        """Name the case."""
        mounting = "reversed" if self.reversed_ else "normal"
        return f"{self.prescription.name}, {mounting}, m {self.m:g}, f/{self.f_number:g}"


def rigs(f_numbers: tuple[float, ...], magnifications: tuple[float, ...]) -> list[Rig]:
    """Every lens, mounted both ways."""
    return [
        Rig(lens, reversed_, m, f_number)
        for lens in LENSES
        for reversed_ in (False, True)
        for m in magnifications
        for f_number in f_numbers
    ]


SMALL_STOP_RIGS = rigs((SMALL_STOP,), MAGNIFICATIONS)
POSSIBLE = [rig for rig in SMALL_STOP_RIGS if rig.working_distance > 0]
SUBJECT_INSIDE = [rig for rig in SMALL_STOP_RIGS if rig.working_distance <= 0]
WORKING_APERTURES = [rig for rig in rigs((8.0, 16.0), (0.5, 1.0, 2.0)) if rig.working_distance > 0]

by_lens = pytest.mark.parametrize("prescription", LENSES, ids=lambda lens: lens.name)
by_mounting = pytest.mark.parametrize("reversed_", [False, True], ids=["normal", "reversed"])
by_rig = pytest.mark.parametrize("rig", POSSIBLE, ids=str)


def depth_of(answer: SetUp) -> Depth:
    """Depth of field of an answer that has one."""
    assert answer.depth is not None
    return answer.depth


@by_lens
def test_the_traced_focal_length_is_as_printed(prescription: Prescription) -> None:
    printed = prescription.published_focal_length
    assert system_of(prescription).focal_length() == pytest.approx(printed, rel=6e-4)


@by_lens
def test_the_traced_back_focus_is_as_printed(prescription: Prescription) -> None:
    lens = system_of(prescription)
    printed, tolerance = prescription.published_back_focus, prescription.back_focus_tolerance
    assert lens.rear_focus() - lens.last == pytest.approx(printed, rel=tolerance)


@by_lens
def test_the_gaps_add_up_to_the_printed_length(prescription: Prescription) -> None:
    assert sum(row.gap for row in prescription.rows) == pytest.approx(prescription.published_length, rel=1e-4)


@by_lens
def test_the_printed_iris_gives_the_printed_f_number(prescription: Prescription) -> None:
    lens = system_of(prescription)
    entering = lens.rim_ray_from_infinity(lens.irises[0]).y
    assert lens.focal_length() / (2 * entering) == pytest.approx(prescription.published_f_number, rel=0.025)


@by_lens
def test_the_focal_length_is_the_same_from_both_sides(prescription: Prescription) -> None:
    lens = system_of(prescription)
    assert lens.turned().focal_length() == pytest.approx(lens.focal_length(), rel=1e-9)


def test_the_lenses_cover_crossed_planes_and_pupils_far_from_equal() -> None:
    retrofocus, double_gauss = described(RETROFOCUS), described(DOUBLE_GAUSS)
    assert retrofocus.pupil_magnification > 2
    assert double_gauss.rear_plane < double_gauss.front_plane


@by_lens
@by_mounting
def test_pupils_stand_where_the_core_infers_them_from_planes_and_pupil_ratio(
    prescription: Prescription, reversed_: bool
) -> None:
    data = described(prescription)
    lens = ThickLens.from_marks(data.focal_length, 8.0, data.pupil_magnification, 1.0, 2.0, 3.0)
    if reversed_:
        lens = lens.reverse()
    (exit_pupil,) = lens_part(lens, "/train/0", 8.0).stops
    before_first_plane = lens.focal_length * (1 - 1 / lens.pupil_magnification)
    traced = (data.front_plane - data.entrance_pupil, data.exit_pupil - data.rear_plane)
    expected = traced[::-1] if reversed_ else traced
    assert (before_first_plane, exit_pupil.offset) == pytest.approx(expected, rel=GAUSSIAN)


@by_rig
def test_the_core_foretells_magnification_and_distances(rig: Rig) -> None:
    answer = rig.foretold()
    assert answer.magnification == pytest.approx(-rig.lens.magnification(rig.subject, rig.sensor), rel=GAUSSIAN)
    assert not answer.erect
    assert answer.working_distance_mm == pytest.approx(rig.working_distance, rel=GAUSSIAN)
    assert answer.subject_to_sensor_mm == pytest.approx(rig.sensor - rig.subject, rel=GAUSSIAN)


@pytest.mark.parametrize("rig", SUBJECT_INSIDE, ids=str)
def test_the_core_refuses_where_rays_put_the_subject_inside_the_lens(rig: Rig) -> None:
    with pytest.raises(SubjectInsideLens):
        rig.foretold()


@by_rig
def test_the_core_foretells_the_cones_on_both_sides(rig: Rig) -> None:
    answer = rig.foretold()
    assert answer.effective_f_number == pytest.approx(rig.lens.effective_f_number(rig.subject), rel=TINY_CONE)
    assert answer.numerical_aperture == pytest.approx(rig.lens.numerical_aperture(rig.subject), rel=TINY_CONE)


@by_rig
def test_the_core_foretells_where_the_entrance_pupil_stands(rig: Rig) -> None:
    assert rig.foretold().inverse_pupil_distance == pytest.approx(1 / rig.pupil_distance, rel=GAUSSIAN)


@by_rig
def test_the_core_foretells_where_the_blur_reaches_the_criterion(rig: Rig) -> None:
    blur = rig.lopsided_blur
    depth = depth_of(rig.foretold(blur))
    near = rig.lens.depth(rig.subject, rig.sensor, blur, +1)
    far = rig.lens.depth(rig.subject, rig.sensor, blur, -1)
    assert (depth.front, depth.rear) == pytest.approx((near, far), rel=1e-4)
    assert far > 1.4 * near


@by_lens
@by_mounting
def test_depth_is_unlimited_exactly_when_infinity_stays_within_the_blur(
    prescription: Prescription, reversed_: bool
) -> None:
    rig = Rig(prescription, reversed_, 0.2, SMALL_STOP)
    blur_of_infinity = rig.lens.blur_of_infinity(rig.lens.irises[0], rig.sensor)
    limited = depth_of(rig.foretold(0.999 * blur_of_infinity)).rear
    assert 100 * rig.working_distance < limited < math.inf
    assert depth_of(rig.foretold(1.001 * blur_of_infinity)).rear == math.inf


@by_rig
def test_the_closed_formulas_agree_with_the_rays(rig: Rig) -> None:
    data, lens, subject = described(rig.prescription), rig.lens, rig.subject
    f, separation = data.focal_length, data.rear_plane - data.front_plane
    n, p = formulas.marked_as_mounted(rig.f_number, data.pupil_magnification, rig.reversed_)
    effective = formulas.effective_f_number(n, rig.m, p)
    to_sensor = formulas.subject_to_sensor(f, rig.m, separation)
    inverse_pupil_distance = formulas.inverse_entrance_pupil_distance(f, rig.m, p)
    assert effective == pytest.approx(lens.effective_f_number(subject), rel=TINY_CONE)
    assert to_sensor == pytest.approx(rig.sensor - subject, rel=GAUSSIAN)
    assert inverse_pupil_distance == pytest.approx(1 / rig.pupil_distance, rel=GAUSSIAN)


@pytest.mark.parametrize("rig", [rig for rig in POSSIBLE if rig.reversed_], ids=str)
def test_the_formulas_for_a_reversed_lens_agree_with_the_rays(rig: Rig) -> None:
    data = described(rig.prescription)
    sensor_to_plane = rig.sensor - (rig.lens.last - data.front_plane)
    magnification = formulas.magnification_reversed(data.focal_length, sensor_to_plane)
    working_distance = formulas.working_distance_reversed(data.focal_length, rig.m, data.register)
    assert magnification == pytest.approx(rig.m, rel=GAUSSIAN)
    assert working_distance == pytest.approx(rig.working_distance, rel=GAUSSIAN)


@pytest.mark.parametrize("rig", WORKING_APERTURES, ids=str)
def test_at_working_apertures_the_effective_f_number_keeps_within_half_a_per_cent(rig: Rig) -> None:
    traced = rig.lens.effective_f_number(rig.subject)
    assert rig.foretold().effective_f_number == pytest.approx(traced, rel=0.005)


@pytest.mark.parametrize("rig", WORKING_APERTURES, ids=str)
def test_at_working_apertures_depth_about_the_rim_rays_focus_keeps_within_one_per_cent(rig: Rig) -> None:
    blur = 0.03
    depth = depth_of(rig.foretold(blur))
    focus_shift = rig.lens.marginal_subject(rig.subject, rig.sensor) - rig.subject
    near = rig.lens.depth(rig.subject, rig.sensor, blur, +1) - focus_shift
    far = rig.lens.depth(rig.subject, rig.sensor, blur, -1) + focus_shift
    assert (depth.front, depth.rear) == pytest.approx((near, far), rel=0.01)


@dataclass(frozen=True)
class Coupled:
    """The retrofocus lens, reversed, before the double Gauss; its focal length is the shorter one."""

    front_f_number: float
    rear_f_number: float
    rim_gap: float
    extension: float

    @property
    def glass(self) -> System:
        """Both lenses, front rim to front rim."""
        front = mounted(RETROFOCUS, self.front_f_number, reversed_=True)
        return front.followed_by(mounted(DOUBLE_GAUSS, self.rear_f_number, reversed_=False), RIM + self.rim_gap + RIM)

    @property
    def sensor(self) -> float:
        """Sensor behind the second lens's infinity focus by its extension."""
        data = described(DOUBLE_GAUSS)
        return self.glass.last + FLANGE + data.register + self.extension

    def foretold(self) -> SetUp:
        """What the core says of the coupled lenses on a camera of the second lens's register."""
        register = described(DOUBLE_GAUSS).register
        train = [
            described(RETROFOCUS).element(self.front_f_number, reversed_=True),
            {"element": "spacer", "length_mm": self.rim_gap},
            described(DOUBLE_GAUSS).element(self.rear_f_number, reversed_=False),
            {"element": "spacer", "length_mm": self.extension},
        ]
        camera: Any = {"register_mm": register, "circle_of_confusion_mm": 0.03}
        return evaluate({"camera": camera, "train": train, "depth_of_field_model": "geometric"})


@pytest.mark.parametrize("extension", [0.0, 40.0])
@pytest.mark.parametrize(("f_numbers", "governing"), [((150.0, 100.0), 0), ((40.0, 500.0), 2)])
def test_the_core_foretells_a_lens_reversed_before_another(
    extension: float, f_numbers: tuple[float, float], governing: int
) -> None:
    coupled = Coupled(*f_numbers, rim_gap=3.0, extension=extension)
    glass, sensor, answer = coupled.glass, coupled.sensor, coupled.foretold()
    subject = glass.subject_of(sensor)
    iris = glass.governing_iris(subject)
    assert answer.magnification == pytest.approx(-glass.magnification(subject, sensor), rel=GAUSSIAN)
    assert answer.working_distance_mm == pytest.approx(glass.first - FLANGE - subject, rel=GAUSSIAN)
    assert answer.subject_to_sensor_mm == pytest.approx(sensor - subject, rel=GAUSSIAN)
    assert answer.aperture_stop == 2 * glass.irises.index(iris) == governing
    assert answer.effective_f_number == pytest.approx(glass.effective_f_number(subject), rel=1e-4)
    traced_pupil = glass.entrance_pupil(iris) - subject
    assert answer.inverse_pupil_distance == pytest.approx(1 / traced_pupil, rel=GAUSSIAN)
    near, far = (glass.depth(subject, sensor, 0.03, side) for side in (+1, -1))
    depth = depth_of(answer)
    assert (depth.front, depth.rear) == pytest.approx((near, far), rel=1e-3)


def test_a_governing_stop_in_the_rear_lens_makes_nearer_things_look_smaller() -> None:
    coupled = Coupled(40.0, 500.0, rim_gap=3.0, extension=0.0)
    glass, sensor = coupled.glass, coupled.sensor
    subject = glass.subject_of(sensor)
    near, far = (glass.depth(subject, sensor, 0.03, side) for side in (+1, -1))
    answer = coupled.foretold()
    assert near > far
    assert depth_of(answer).front > depth_of(answer).rear
    assert answer.inverse_pupil_distance is not None
    assert answer.inverse_pupil_distance < 0


def test_a_subject_between_the_front_principal_plane_and_the_glass_is_real() -> None:
    coupled = Coupled(40.0, 500.0, rim_gap=3.0, extension=400.0)
    glass, sensor = coupled.glass, coupled.sensor
    subject = glass.subject_of(sensor)
    before_flange = glass.first - FLANGE - subject
    assert 5 < before_flange < 10
    answer = coupled.foretold()
    assert answer.working_distance_mm == pytest.approx(before_flange, rel=GAUSSIAN)
    assert answer.magnification == pytest.approx(-glass.magnification(subject, sensor), rel=GAUSSIAN)
