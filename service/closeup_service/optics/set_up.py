"""Everything about one set-up, from its parts in order.

`evaluate` takes the set-up document of the API as plain mappings; its numbers are floats, or columns of equal length
with a `Columns` arithmetic. Results are None where the document does not determine them; `needs` then names the members
that would.
"""

import math
from collections.abc import Mapping, MutableMapping, Sequence
from dataclasses import dataclass
from typing import Any

from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import POINT, Arithmetic, Real
from closeup_service.optics.depth import Depth, geometric_depth
from closeup_service.optics.elements import Builder, refuse_off_design
from closeup_service.optics.errors import ApertureImpossible, SubjectInsideLens
from closeup_service.optics.matrices import chain, first_powered, matrix_to_sensor
from closeup_service.optics.parts import Part
from closeup_service.optics.train import Trace, trace

WAVELENGTH_NM = 550.0
BLUR_PER_DIAGONAL = 1 / 1500
"""Blur accepted when none is stated, over the sensor's diagonal (common practice, no source)."""

LEAST_EFFECTIVE_F_NUMBER = 0.5
"""sin u' = 1/(2 N_eff) cannot exceed 1 in air."""


@dataclass(frozen=True, slots=True)
class SetUp:
    """What a set-up does; the names are the vocabulary's. Lengths in mm."""

    magnification: Real
    erect: Real
    subject_width_mm: Real | None
    subject_height_mm: Real | None
    working_distance_mm: Real | None
    clearance_mm: Real | None
    subject_to_sensor_mm: Real | None
    rig_length_mm: Real | None
    effective_f_number: Real | None
    numerical_aperture: Real | None
    light_loss_stops: Real | None
    aperture_stop: Real | None
    inverse_pupil_distance: Real | None
    circle_of_confusion_mm: Real | None
    depth: Depth | None
    wavelength_nm: Real
    airy_diameter_um: Real | None
    subject_resolution_um: Real | None
    focus_error_mm: Real | None
    assumed: Mapping[str, Any]
    needs: Mapping[str, tuple[str, ...]]


def evaluate(document: Mapping[str, Any], arithmetic: Arithmetic = POINT) -> SetUp:
    """Evaluate a set-up document (DESIGN vocabulary, lengths in mm).

    Raises
    ------
    OpticsError
        With the point arithmetic, for what cannot be or is not determined.
    """
    assumed: dict[str, Any] = {}
    camera, train = document["camera"], document["train"]
    parts = build_parts(document, arithmetic, assumed)
    register = camera["register_mm"]
    refuse_objectives_off_design(train, parts, register, arithmetic)
    traced = trace(parts, register, arithmetic)
    m = abs(traced.signed_magnification)
    working_distance = working_distance_of(traced, arithmetic)
    to_sensor = None if traced.planes_to_sensor is None else traced.subject_distance + traced.planes_to_sensor
    na = None if traced.aperture is None else traced.aperture.numerical_aperture
    effective = None if na is None else m / (2 * na)
    refuse_wide_image_cone(effective, parts, arithmetic)
    blur = blur_criterion(camera, assumed)
    wavelength = document.get("wavelength_nm")
    if wavelength is None:
        wavelength = assumed["/wavelength_nm"] = WAVELENGTH_NM
    return SetUp(
        magnification=m,
        erect=traced.signed_magnification < 0,
        subject_width_mm=over(camera.get("sensor_width_mm"), m),
        subject_height_mm=over(camera.get("sensor_height_mm"), m),
        working_distance_mm=working_distance,
        clearance_mm=clearance_of(working_distance, train[0], assumed),
        subject_to_sensor_mm=to_sensor,
        rig_length_mm=None if to_sensor is None or working_distance is None else to_sensor - working_distance,
        effective_f_number=effective,
        numerical_aperture=na,
        light_loss_stops=light_loss_of(parts, traced, effective, arithmetic),
        aperture_stop=None if traced.aperture is None else traced.aperture.part,
        inverse_pupil_distance=inverse_pupil_distance_of(traced),
        circle_of_confusion_mm=blur,
        depth=depth_of(traced, m, effective, blur, arithmetic),
        wavelength_nm=wavelength,
        airy_diameter_um=None if effective is None else formulas.airy_diameter_um(effective, wavelength),
        subject_resolution_um=None if na is None else formulas.subject_resolution_um(na, wavelength),
        focus_error_mm=focus_error_of(train, parts, register, arithmetic),
        assumed=assumed,
        needs=needs_of(document, traced, blur),
    )


def build_parts(document: Mapping[str, Any], arithmetic: Arithmetic, assumed: MutableMapping[str, Any]) -> list[Part]:
    """Build the parts of the document's train, subject first."""
    builder = Builder(document["camera"]["register_mm"], arithmetic, assumed)
    return [builder.part(element, f"/train/{index}") for index, element in enumerate(document["train"])]


def refuse_objectives_off_design(
    train: Sequence[Mapping[str, Any]], parts: Sequence[Part], register: Real, arithmetic: Arithmetic
) -> None:
    """Refuse finite-conjugate objectives of unknown focal length that do not stand at their design length."""
    for index, element in enumerate(train):
        if element["element"] == "objective":
            behind = register + sum(part.length or 0.0 for part in parts[index + 1 :] if not part.powered)
            refuse_off_design(element, f"/train/{index}", behind, arithmetic)


def working_distance_of(traced: Trace, arithmetic: Arithmetic) -> Real | None:
    """Front face to subject, mm; refused when the subject would lie inside."""
    if traced.front_to_plane is None:
        return None
    distance = traced.subject_distance - traced.front_to_plane
    arithmetic.refuse(
        distance <= 0,
        SubjectInsideLens,
        "The subject would have to lie {inside:.4g} mm behind the front of the set-up. "
        "Use less magnification, a longer focal length, or turn the lens round.",
        "/train/0",
        inside=-distance,
    )
    return distance


def clearance_of(
    working_distance: Real | None, front: Mapping[str, Any], assumed: MutableMapping[str, Any]
) -> Real | None:
    """Room left in front of what stands out beyond the front joining face, mm; negative when it reaches too far."""
    if working_distance is None:
        return None
    protrusion = front.get("front_protrusion_mm")
    if protrusion is None:
        if front["element"] != "lens":
            return working_distance
        protrusion = assumed["/train/0/front_protrusion_mm"] = 0.0
    return working_distance - protrusion


def refuse_wide_image_cone(effective: Real | None, parts: Sequence[Part], arithmetic: Arithmetic) -> None:
    """Refuse an effective f-number that air does not admit on the sensor's side."""
    if effective is not None:
        arithmetic.refuse(
            effective < LEAST_EFFECTIVE_F_NUMBER,
            ApertureImpossible,
            "The effective f-number would be {effective:.3g}; air admits none below 0.5. "
            "Use a larger f-number, or check the pupil magnification.",
            *(part.pointer for part in parts if part.stops),
            effective=effective,
        )


def light_loss_of(parts: Sequence[Part], traced: Trace, effective: Real | None, arithmetic: Arithmetic) -> Real | None:
    """Stops lost against the number marked on the part whose stop governs; None, in a column NaN, where it bears none."""
    if traced.aperture is None or effective is None:
        return None
    marked: Real = math.nan
    for index, part in enumerate(parts):
        if part.marked_f_number is not None:
            marked = arithmetic.where(traced.aperture.part == index, part.marked_f_number, marked)
    if isinstance(marked, float) and math.isnan(marked):
        return None
    return formulas.light_loss_stops(effective, marked, arithmetic)


def depth_of(traced: Trace, m: Real, effective: Real | None, blur: Real | None, arithmetic: Arithmetic) -> Depth | None:
    """Geometric depth of field, where aperture and blur criterion are known."""
    if traced.aperture is None or effective is None or blur is None:
        return None
    return geometric_depth(effective, m, blur, traced.aperture.inverse_pupil_distance, arithmetic)


def inverse_pupil_distance_of(traced: Trace) -> Real | None:
    """1/z to the entrance pupil; None, in a column NaN, where it is not determined."""
    if traced.aperture is None:
        return None
    inverse = traced.aperture.inverse_pupil_distance
    return None if isinstance(inverse, float) and math.isnan(inverse) else inverse


def blur_criterion(camera: Mapping[str, Any], assumed: MutableMapping[str, Any]) -> Real | None:
    """Blur accepted on the sensor, mm: as stated, or a share of the sensor's diagonal."""
    stated = camera.get("circle_of_confusion_mm")
    if stated is not None:
        return stated
    width, height = camera.get("sensor_width_mm"), camera.get("sensor_height_mm")
    if width is None or height is None:
        return None
    blur = default_blur(width, height)
    assumed["/camera/circle_of_confusion_mm"] = blur
    return blur


def default_blur(width: Real, height: Real) -> Real:
    """Blur accepted when none is stated, mm: the sensor's diagonal over 1500."""
    return (width * width + height * height) ** 0.5 * BLUR_PER_DIAGONAL


def focus_error_of(
    train: Sequence[Mapping[str, Any]], parts: Sequence[Part], register: Real, arithmetic: Arithmetic
) -> Real | None:
    """How far the sensor stands behind the infinity focus of what follows an infinity-corrected objective, mm."""
    for index, element in enumerate(train):
        if element["element"] != "objective" or element.get("tube_lens_focal_length_mm") is None:
            continue
        behind = parts[index + 1 :]
        if not any(part.powered for part in behind):
            return None
        last = chain(behind, first_powered(behind), register, arithmetic).matrices[-1]
        return matrix_to_sensor(behind, last, register).a / last.c
    return None


def over(size: Real | None, magnification: Real) -> Real | None:
    """Size on the subject of a size on the sensor, mm."""
    return None if size is None else size / magnification


def needs_of(document: Mapping[str, Any], traced: Trace, blur: Real | None) -> dict[str, tuple[str, ...]]:
    """Which members would determine each result that is left open."""
    camera = document["camera"]
    front, length, stop = (traced.needs.get(kind, ()) for kind in ("front_gap", "length", "stop"))
    sensor = () if camera.get("sensor_width_mm") is not None else ("/camera/sensor",)
    criterion = () if blur is not None else ("/camera/circle_of_confusion_mm",)
    pupil = traced.needs.get("pupil", ()) if inverse_pupil_distance_of(traced) is None else ()
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
        "depth_of_field": (*stop, *pupil, *criterion),
        "diffraction": stop,
    }
    return {name: members for name, members in needs.items() if members}
