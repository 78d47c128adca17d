"""How a person finds a datum that no barrel carries. One text per member."""

from functools import lru_cache

from closeup_service.language import mark, tr

HOW_TO_FIND = {
    "front_principal_plane_mm": (
        mark(
            "It runs from the front rim to the front principal plane. Mount the lens reversed on a known "
            "extension, photograph a ruler, read the magnification m, and take focal length x (m + 1) - camera "
            "register - extension.",
        )
    ),
    "register_mm": (
        mark(
            "It is the register (flange focal distance) of the mount the lens was made for. A lens without a "
            "mount of its own (enlarger, copy, bellows lens): measure how far behind its flange a distant object "
            "is sharp, and give that.",
        )
    ),
    "rear_principal_plane_mm": (
        mark(
            "It runs from the mount flange to the rear principal plane, positive towards the camera: the "
            "distance behind the flange where a distant object is sharp, less the focal length.",
        )
    ),
    "principal_plane_separation_mm": (
        mark(
            "It is the signed distance between the two principal planes (hiatus). Measure the distance from "
            "subject to sensor at a known magnification m and take it less focal length x (2 + m + 1/m).",
        )
    ),
    "f_number": mark("It is the f-number as marked and set on the lens."),
    "lens_register_mm": mark("It is the register (flange focal distance) of the mount that the lens was made for."),
    "focal_length_mm": mark("It is engraved on the lens, or found from ruler frames at two known extensions."),
    "parfocal_distance_mm": mark(
        "It runs from the subject to the shoulder of the objective's thread; its maker states it.",
    ),
    "working_distance_mm": mark("It runs from the objective's front glass to the subject; its maker states it."),
    "clearance_mm": mark(
        "It runs from the subject's nearest point, in focus, to what stands out in front; measure it, or take it from "
        "/v1/set-ups/evaluate.",
    ),
    "circle_of_confusion_mm": mark("Give the blur you accept on the sensor, or the sensor's format."),
    "sensor": mark("Give a format of /v1/catalogue/sensors, or sensor_width_mm and sensor_height_mm."),
    "train": mark(
        "No part states a stop: give a lens with f_number, an objective, or a tube with clear_diameter_mm.",
    ),
}


def how_to_find(member: str) -> str:
    """Return the text for a member, or for that in which its label ends, of either camera; empty where its name says all."""
    return tr(english_text(member))


@lru_cache(maxsize=1024)
def english_text(member: str) -> str:
    """Return the text in English, as the catalogue has it."""
    return HOW_TO_FIND.get(member.rsplit("/", 1)[-1].removeprefix("other_"), "")
