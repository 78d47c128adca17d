"""`/v1/magnification`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from closeup_service.advice import cautions, lens_remarks
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.language import tr
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.plan.magnification.schemas import MagnificationAnswer, MagnificationRequest
from closeup_service.optics import formulas
from closeup_service.optics.errors import FocusedAtInfinity, NoRealSubject, SubjectInsideLens
from closeup_service.set_ups.criterion import Naming
from closeup_service.worked.lens import magnification_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def answer(asked: requests.MagnificationRequest) -> answers.MagnificationAnswer:
    """Find the magnification by the route that is given, and the rest from it."""
    mounting = asked.get("mounting", "normal")
    assumed: dict[str, float | str] = {} if "mounting" in asked else {"mounting": mounting}
    m, notes = by_route(asked, mounting, assumed)
    extension, extension_notes, needs = extension_for(asked, mounting, m)
    width = formulas.subject_size(asked["sensor_width_mm"], m) if "sensor_width_mm" in asked else None
    height = formulas.subject_size(asked["sensor_height_mm"], m) if "sensor_height_mm" in asked else None
    if width is None:
        needs |= {"subject_width_mm": ("/sensor",), "subject_height_mm": ("/sensor",)}
    return {
        "magnification": m,
        "extension_mm": extension,
        "subject_width_mm": width,
        "subject_height_mm": height,
        "assumed": assumed,
        "remarks": notes + extension_notes + undetermined_results(needs),
        "cautions": cautions.sort_cautions(cautions.mounting_cautions(mounting)),
    }


def by_route(
    asked: requests.MagnificationRequest, mounting: str, assumed: dict[str, float | str]
) -> tuple[float, list[Remark]]:
    """Magnification by whichever route is given, with the remarks of that route."""
    if "subject_width_mm" in asked:
        return formulas.magnification_by_framing(asked["sensor_width_mm"], asked["subject_width_mm"]), []
    if "subject_height_mm" in asked:
        return formulas.magnification_by_framing(asked["sensor_height_mm"], asked["subject_height_mm"]), []
    if "working_distance_mm" in asked:
        return by_working_distance(asked, mounting), []
    if mounting == "reversed":
        return by_extension_reversed(asked)
    return by_extension_normal(asked, assumed)


def by_working_distance(asked: requests.MagnificationRequest, mounting: str) -> float:
    """From the free distance before the lens."""
    f = asked["focal_length_mm"]
    distance = asked["working_distance_mm"]
    if mounting == "reversed":
        focusing = asked.get("focusing_extension_mm", 0.0)
        to_plane = formulas.subject_distance_of_reversed_lens(distance, asked["lens_register_mm"], focusing, f)
    else:
        to_plane = formulas.subject_distance_by_front(distance, asked["front_principal_plane_mm"])
    beyond = to_plane - f
    if beyond <= 0:
        raise SubjectInsideLens(
            tr(
                "No real image: the subject would stand {beyond:z.4g} mm inside the lens's front focal point. Give a "
                "longer working distance.",
                beyond=-beyond,
            ),
            "/working_distance_mm",
        )
    return float(formulas.magnification_by_subject_distance(f, to_plane))


def by_extension_normal(
    asked: requests.MagnificationRequest, assumed: dict[str, float | str]
) -> tuple[float, list[Remark]]:
    """From the extension behind a lens on its mount."""
    focusing = asked.get("focusing_extension_mm")
    if focusing is None:
        focusing = assumed["focusing_extension_mm"] = 0.0
    extension = formulas.whole_extension(asked["extension_mm"], focusing, register_difference(asked))
    refuse_without_extension(extension)
    notes = [] if "lens_register_mm" in asked else [lens_remarks.assumed_register()]
    return formulas.magnification_by_extension(asked["focal_length_mm"], extension), notes


def refuse_without_extension(extension: float) -> None:
    """Refuse focus on infinity and beyond it."""
    if extension == 0:
        raise FocusedAtInfinity(
            tr("Without extension the lens is focused at infinity: the magnification is zero."), "/extension_mm"
        )
    if extension < 0:
        raise NoRealSubject(
            tr(
                "The lens stands {extension:.4g} mm too near the sensor to focus even at infinity: add more than that.",
                extension=-extension,
            ),
            "/extension_mm",
            "/camera_register_mm",
            "/lens_register_mm",
        )


def by_extension_reversed(asked: requests.MagnificationRequest) -> tuple[float, list[Remark]]:
    """From the extension behind a lens that stands back to front."""
    f = asked["focal_length_mm"]
    register, extension = asked["camera_register_mm"], asked["extension_mm"]
    to_plane = formulas.sensor_to_plane(register, extension, asked["front_principal_plane_mm"])
    m = formulas.magnification_reversed(f, to_plane)
    if m <= 0:
        raise NoRealSubject(
            tr(
                "No real subject plane: the principal plane stands {m:z.4g} mm short of the focal length from the "
                "sensor. Add more extension than that.",
                m=-m * f,
            ),
            "/extension_mm",
            "/front_principal_plane_mm",
        )
    return m, lens_remarks.reversed_register(formulas.magnification_reversed(f, register + extension), m)


def register_difference(asked: Mapping[str, Any]) -> float:
    """Extension by a camera whose register is longer than the lens's own, mm."""
    difference: float = asked.get("camera_register_mm", 0.0) - asked.get("lens_register_mm", 0.0)
    return difference


def extension_for(
    asked: Mapping[str, Any], mounting: str, m: float, key: Naming = str
) -> tuple[float | None, list[Remark], dict[str, tuple[str, ...]]]:
    """Extension that gives the magnification, mm; with remarks, or with what it needs, named by `key`."""
    if "extension_mm" in asked:
        return asked["extension_mm"], [], {}
    needed = ["focal_length_mm"]
    if mounting == "reversed":
        needed += ["camera_register_mm", "front_principal_plane_mm"]
    missing = tuple(f"/{key(name)}" for name in needed if name not in asked)
    if missing:
        return None, [], {key("extension_mm"): missing}
    f: float = asked["focal_length_mm"]
    notes: list[Remark] = []
    if mounting == "reversed":
        register, plane = asked["camera_register_mm"], asked["front_principal_plane_mm"]
        extension = formulas.extension_of_reversed_lens(f, m, register, plane)
    else:
        focusing = asked.get("focusing_extension_mm", 0.0)
        extension = formulas.extension_for_magnification(f, m, focusing, register_difference(asked))
        if "lens_register_mm" not in asked:
            notes = [lens_remarks.assumed_register(key("lens_register_mm"), key("camera_register_mm"))]
    if extension < 0:
        return None, [lens_remarks.impossible_extension(extension)], {}
    return extension, notes, {}


OPERATION = Operation(
    operation_id="findMagnification",
    path="/v1/magnification",
    tag="plan",
    summary="Magnification by framing, by extension or by working distance",
    description=(
        "Give exactly one of subject_width_mm, subject_height_mm (with the sensor), extension_mm or working_distance_mm, "
        "with the lens data that route needs. One lens, mounted normal or reversed."
    ),
    answer=answer,
    answer_type=MagnificationAnswer,
    request_type=MagnificationRequest,
    steps=magnification_steps,
    examples=(
        Example(
            "fill-the-frame",
            "A lichen thallus 15 mm wide fills a sensor 23.5 mm wide (invented kit)",
            {"subject_width_mm": 15, "sensor": "23.5x15.6"},
        ),
        Example(
            "reversed-on-rings",
            "A reversed 35 mm lens on 31 mm of rings (invented kit)",
            {
                "mounting": "reversed",
                "focal_length_mm": 35,
                "camera_register_mm": 18,
                "front_principal_plane_mm": 21,
                "extension_mm": 31,
                "sensor": "23.5x15.6",
            },
        ),
    ),
)
