"""Everything about one set-up, from its parts in order.

`evaluate` takes the set-up document of the API as plain mappings; its numbers are floats, or columns of equal length
with a `Columns` arithmetic. Results are None where the document does not determine them; `needs` then names the members
that would.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Generic, cast

from msgspec import Struct

from closeup_service.language import mark
from closeup_service.optics import formulas
from closeup_service.optics.aperture import Aperture
from closeup_service.optics.arithmetic import USUAL, Arithmetic, Condition, R, absolute, is_true
from closeup_service.optics.depth import Depth, depth_limits
from closeup_service.optics.diffraction import optimum_effective_f_number
from closeup_service.optics.errors import ApertureImpossible
from closeup_service.optics.formulas import LEAST_EFFECTIVE_F_NUMBER
from closeup_service.optics.matrices import (
    INFINITY_FOCUS,
    chain_matrices,
    first_powered_part,
    matrix_to_sensor,
    require_gap,
    sensor_matrix,
)
from closeup_service.optics.parts import Part
from closeup_service.optics.sharpness import Criterion
from closeup_service.optics.train import Trace, trace
from closeup_service.set_ups.clearance import clearance_of, working_distance_of
from closeup_service.set_ups.criterion import Assumed, criterion_of
from closeup_service.set_ups.elements import Builder, refuse_off_design
from closeup_service.set_ups.pointers import as_pointer

if TYPE_CHECKING:
    from closeup_service.records import requests


class SetUp(Struct, Generic[R], frozen=True):
    """What a set-up does; the names are the vocabulary's. Lengths in mm."""

    magnification: R
    erect: Condition
    subject_width_mm: R | None
    subject_height_mm: R | None
    working_distance_mm: R | None
    clearance_mm: R | None
    subject_to_sensor_mm: R | None
    rig_length_mm: R | None
    effective_f_number: R | None
    numerical_aperture: R | None
    light_loss_stops: R | None
    aperture_stop: R | None
    inverse_pupil_distance: R | None
    criterion: Criterion[R]
    depth: Depth[R] | None
    optimum_effective_f_number: R | None
    optimum_f_number: R | None
    focus_error_mm: R | None
    assumed: Mapping[str, R | str]
    needs: Mapping[str, tuple[str, ...]]


def evaluate(document: requests.FrameSetUp[R], arithmetic: Arithmetic[R] = USUAL) -> SetUp[R]:
    """Evaluate a set-up document, its members named as in the vocabulary.

    Raises
    ------
    OpticsError
        With the point arithmetic, for what cannot be or is not determined.
    """
    assumed: dict[str, R | str] = {}
    camera, train = document["camera"], document["train"]
    parts = build_parts(document, arithmetic, assumed)
    register = camera["register_mm"]
    refuse_objectives_off_design(train, parts, register, arithmetic)
    traced = trace(parts, register, arithmetic)
    m = absolute(traced.signed_magnification)
    working_distance = working_distance_of(traced, train[0], arithmetic)
    to_sensor = None if traced.planes_to_sensor is None else traced.subject_distance + traced.planes_to_sensor
    na = None if traced.aperture is None else traced.aperture.numerical_aperture
    effective = None if na is None else formulas.effective_by_numerical_aperture(m, na)
    refuse_wide_image_cone(effective, parts, arithmetic)
    criterion = criterion_of_set_up(document, assumed)
    marked = None if traced.aperture is None else marked_f_number(parts, traced.aperture, arithmetic)
    optimum = optimum_f_number(document, m, criterion, arithmetic)
    return SetUp(
        magnification=m,
        erect=traced.signed_magnification < 0,
        subject_width_mm=size_on_subject(camera.get("sensor_width_mm"), m),
        subject_height_mm=size_on_subject(camera.get("sensor_height_mm"), m),
        working_distance_mm=working_distance,
        clearance_mm=clearance_of(working_distance, train, parts, assumed, arithmetic),
        subject_to_sensor_mm=to_sensor,
        rig_length_mm=None if to_sensor is None or working_distance is None else to_sensor - working_distance,
        effective_f_number=effective,
        numerical_aperture=na,
        light_loss_stops=light_loss_of(marked, effective, arithmetic),
        aperture_stop=None if traced.aperture is None else traced.aperture.part,
        inverse_pupil_distance=inverse_pupil_distance_of(traced),
        criterion=criterion,
        depth=depth_of(traced, m, effective, criterion, arithmetic),
        optimum_effective_f_number=optimum,
        optimum_f_number=None
        if optimum is None or marked is None or effective is None
        else formulas.mark_in_proportion(optimum, marked, effective),
        focus_error_mm=focus_error_of(train, parts, register, arithmetic),
        assumed=assumed,
        needs=needs_of(document, traced, criterion),
    )


def set_mark(
    document: requests.FrameSetUp[R], stop: R, mark: R, arithmetic: Arithmetic[R] = USUAL
) -> requests.FrameSetUp[R]:
    """Document with another mark on the part of this index in its train."""
    train: list[requests.Element[R]] = [
        {**element, "f_number": arithmetic.where(stop == index, mark, element["f_number"])}
        if element["element"] == "lens" and "f_number" in element
        else element
        for index, element in enumerate(document["train"])
    ]
    return {**document, "train": train}


def put_member(element: requests.Element[R], name: str, value: R) -> requests.Element[R]:
    """Element with one of its numbers put in place of what it had."""
    return cast("requests.Element[R]", {**element, name: value})


def build_parts(document: requests.FrameSetUp[R], arithmetic: Arithmetic[R], assumed: Assumed[R]) -> list[Part[R]]:
    """Build the parts of the document's train, subject first."""
    builder = Builder(document["camera"]["register_mm"], arithmetic, assumed)
    return [builder.part(element, f"/train/{index}") for index, element in enumerate(document["train"])]


def refuse_objectives_off_design(
    train: Sequence[requests.Element[R]], parts: Sequence[Part[R]], register: R, arithmetic: Arithmetic[R]
) -> None:
    """Refuse finite-conjugate objectives of unknown focal length that do not stand at their design length.

    Parameters
    ----------
    register : float or array, flange to sensor, mm
    """
    for index, element in enumerate(train):
        if element["element"] != "objective":
            continue
        if element.get("tube_length_mm") is not None and "focal_length_mm" not in element:
            behind = image_distance_behind(parts[index + 1 :], register, arithmetic)
            refuse_off_design(element, f"/train/{index}", behind, arithmetic)


def image_distance_behind(behind: Sequence[Part[R]], register: R, arithmetic: Arithmetic[R]) -> R:
    """How far behind the face before these parts the image must lie that they put on the sensor, mm; infinite at infinity.

    Parameters
    ----------
    register : float or array, flange to sensor, mm

    Returns
    -------
    float or array, mm
    """
    if not any(part.powered for part in behind):
        return register + sum(require_gap(part, "rear_gap") for part in behind)
    first = first_powered_part(behind)
    to_plane = sum(require_gap(part, "rear_gap") for part in behind[:first]) + require_gap(behind[first], "front_gap")
    sensor = sensor_matrix(behind, register, arithmetic)
    at_infinity = absolute(sensor.a) < INFINITY_FOCUS
    before_plane = -sensor.b / arithmetic.where(at_infinity, 1.0, sensor.a)
    return arithmetic.where(at_infinity, math.inf, to_plane - before_plane)


def refuse_wide_image_cone(effective: R | None, parts: Sequence[Part[R]], arithmetic: Arithmetic[R]) -> None:
    """Refuse an effective f-number that air does not admit on the sensor's side.

    Parameters
    ----------
    effective : float or array or None, effective f-number

    Raises
    ------
    ApertureImpossible
        Where the cone is half a turn or more.
    """
    if effective is not None:
        arithmetic.refuse(
            effective < LEAST_EFFECTIVE_F_NUMBER,
            ApertureImpossible,
            mark(
                "The effective f-number would be {effective:.3g}; air admits none below 0.5. Use a larger f-number, "
                "or check the pupil magnification.",
            ),
            *(part.label for part in parts if part.stops),
            effective=effective,
        )


def marked_f_number(parts: Sequence[Part[R]], aperture: Aperture[R], arithmetic: Arithmetic[R]) -> R | None:
    """Number marked on the part whose stop governs; None, in a column NaN, where it bears none.

    Returns
    -------
    float or array or None, marked f-number
    """
    marked: R = math.nan
    for index, part in enumerate(parts):
        if part.marked_f_number is not None:
            marked = arithmetic.where(aperture.part == index, part.marked_f_number, marked)
    return None if isinstance(marked, float) and math.isnan(marked) else marked


def light_loss_of(marked: R | None, effective: R | None, arithmetic: Arithmetic[R]) -> R | None:
    """Stops lost against the marked number.

    Parameters
    ----------
    marked : float or array or None, marked f-number
    effective : float or array or None, effective f-number

    Returns
    -------
    float or array or None, stops
    """
    if marked is None or effective is None:
        return None
    return formulas.light_loss_stops(effective, marked, arithmetic)


def optimum_f_number(
    document: requests.FrameSetUp[R], m: R, criterion: Criterion[R], arithmetic: Arithmetic[R]
) -> R | None:
    """Effective f-number that is best for the subject's depth, where one is stated; NaN in the rows of flat subjects.

    Parameters
    ----------
    m : float or array, magnification, sensor/subject

    Returns
    -------
    float or array or None, effective f-number
    """
    depth = document.get("subject_depth_mm")
    if depth is None or is_true(depth == 0):
        return None
    depth = arithmetic.where(depth == 0, math.nan, depth)
    return optimum_effective_f_number(depth, m, criterion.wavelength_nm, arithmetic)


CAMERA_MEMBERS = frozenset(("circle_of_confusion_mm", "pixel_pitch_um"))


def criterion_of_set_up(document: requests.FrameSetUp[R], assumed: Assumed[R]) -> Criterion[R]:
    """Criterion of sharpness that the document states, or that is assumed."""
    members = {**cast("dict[str, object]", document), **document["camera"]}
    return criterion_of(
        cast("requests.SharpnessFields[R]", members),
        document.get("depth_of_field_model"),
        assumed,
        lambda name: f"/camera/{name}" if name in CAMERA_MEMBERS else f"/{name}",
        "depth_of_field_model",
    )


def depth_of(
    traced: Trace[R], m: R, effective: R | None, criterion: Criterion[R], arithmetic: Arithmetic[R]
) -> Depth[R] | None:
    """Depth of field by the criterion's model, where aperture and criterion are known.

    Parameters
    ----------
    m : float or array, magnification, sensor/subject
    effective : float or array or None, effective f-number

    Returns
    -------
    Depth or None, mm
    """
    if traced.aperture is None or effective is None:
        return None
    half_depth = criterion.half_depth(effective, m, arithmetic)
    if half_depth is None:
        return None
    return depth_limits(half_depth, m, traced.aperture.inverse_pupil_distance, arithmetic)


def inverse_pupil_distance_of(traced: Trace[R]) -> R | None:
    """1/z to the entrance pupil; None, in a column NaN, where it is not determined.

    Returns
    -------
    float or array or None, 1/mm
    """
    if traced.aperture is None:
        return None
    inverse = traced.aperture.inverse_pupil_distance
    return None if isinstance(inverse, float) and math.isnan(inverse) else inverse


def focus_error_of(
    train: Sequence[requests.Element[R]], parts: Sequence[Part[R]], register: R, arithmetic: Arithmetic[R]
) -> R | None:
    """How far the sensor stands behind the infinity focus of what follows an infinity-corrected objective, mm.

    Parameters
    ----------
    register : float or array, flange to sensor, mm

    Returns
    -------
    float or array or None, mm
    """
    for index, element in enumerate(train):
        if element["element"] != "objective" or element.get("tube_lens_focal_length_mm") is None:
            continue
        behind = parts[index + 1 :]
        if not any(part.powered for part in behind):
            return None
        last = chain_matrices(behind, first_powered_part(behind), register, arithmetic).matrices[-1]
        if isinstance(last.c, float) and last.c == 0:
            return None
        return matrix_to_sensor(behind, last, register).a / last.c
    return None


def size_on_subject(size: R | None, magnification: R) -> R | None:
    """Size on the subject of a size on the sensor, mm.

    Parameters
    ----------
    size : float or array or None, on the sensor, mm
    magnification : float or array, sensor/subject

    Returns
    -------
    float or array or None, mm
    """
    return None if size is None else formulas.subject_size(size, magnification)


def needs_of(document: requests.FrameSetUp[R], traced: Trace[R], criterion: Criterion[R]) -> dict[str, tuple[str, ...]]:
    """Which members would determine each result that is left open."""
    camera = document["camera"]
    front: tuple[str, ...]
    length: tuple[str, ...]
    stop: tuple[str, ...]
    front, length, stop = (
        tuple(map(as_pointer, traced.needs.get(kind, ()))) for kind in ("front_gap", "length", "stop")
    )
    sensor: tuple[str, ...] = () if camera.get("sensor_width_mm") is not None else ("/camera/sensor",)
    measure: tuple[str, ...] = () if criterion.blur_mm is not None else ("/camera/circle_of_confusion_mm",)
    if criterion.model == "wave":
        measure = ()
    if criterion.model == "contrast":
        measure = () if criterion.frequency(1.0) is not None else ("/sensor_detail_lp_per_mm",)
    pupil: tuple[str, ...] = traced.needs.get("pupil", ()) if inverse_pupil_distance_of(traced) is None else ()
    needs = {
        "subject_width_mm": sensor,
        "subject_height_mm": sensor,
        "working_distance_mm": front,
        "clearance_mm": front,
        "subject_to_sensor_mm": length,
        "rig_length_mm": (*front, *length),
        "effective_f_number": stop,
        "numerical_aperture": stop,
        "light_loss_stops": stop,
        "aperture_stop": stop,
        "depth_of_field": (*stop, *pupil, *measure),
        "diffraction": stop,
        "optimum_f_number": stop if document.get("subject_depth_mm") is not None else (),
    }
    return {name: members for name, members in needs.items() if members}
