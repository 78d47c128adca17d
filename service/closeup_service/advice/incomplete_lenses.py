"""What to measure first of lenses of a kit that lack data, and what is not told of them."""

from collections.abc import Sequence

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import Remark, remark
from closeup_service.advice.search_remarks import list_names
from closeup_service.language import tr


def describe_what_is_left(low: float, high: float) -> str:
    """Say what a measurement leaves of the range; of lenses that show nothing without more extension, what it tells."""
    if low <= 0:
        return tr("how much extension the lens takes is then known.")
    return tr("the magnification is then known to about {low} to {high}.", low=decimal(low), high=decimal(high))


def measure_ruler(camera: str, extension: float, is_reversed: bool, low: float, high: float) -> str:
    """Say how to photograph a ruler, and what that leaves."""
    mounting = tr("reversed") if is_reversed else tr("on its mount")
    rings = tr("without rings") if extension == 0 else tr("on {extension} mm of rings", extension=decimal(extension, 4))
    return tr(
        "Photograph a ruler once with the lens {mounting} on the camera {camera} {rings}, read the "
        "magnification, and give it as measured: {left}",
        mounting=mounting,
        camera=camera,
        rings=rings,
        left=describe_what_is_left(low, high),
    )


def measure_pupils(low: float, high: float) -> str:
    """Say how to measure the pupils, and what that leaves."""
    return tr(
        "Measure with a rule how deep the iris seems to lie behind the front rim, and how wide it looks from "
        "either end, and give entrance_pupil_depth_mm, entrance_pupil_diameter_mm and "
        "exit_pupil_diameter_mm: {left}",
        left=describe_what_is_left(low, high),
    )


def measure_barrel(low: float, high: float) -> str:
    """Say how to measure the barrel, and what that leaves."""
    return tr(
        "Measure the barrel from front rim to mount flange, focused on infinity, and give barrel_length_mm: {left}",
        left=describe_what_is_left(low, high),
    )


def measure_missing(missing: Sequence[str]) -> str:
    """Say what is left to measure where the magnification hardly depends on what is missing."""
    if "pupil_magnification" in missing:
        return tr(
            "The magnification hardly depends on what is missing: for f-numbers, light and depth of field "
            "measure with a rule how wide the iris looks from either end, and give entrance_pupil_diameter_mm "
            "and exit_pupil_diameter_mm.",
        )
    return tr(
        "The magnification hardly depends on what is missing: for distances measure the barrel from front "
        "rim to mount flange, focused on infinity, and give barrel_length_mm.",
    )


def measure_without_statistics(words: str) -> str:
    """Say what to do with a lens of which there are no statistics."""
    return tr(
        "There are no statistics of {words} at this focal length: photograph a ruler at two known extensions "
        "and have the lens calibrated by them.",
        words=tr(words),
    )


def measure_rear_plane() -> str:
    """Say what to do with a lens without a mount that is to stand the usual way round."""
    return tr(
        "It has no mount, so that nothing says where it stands on rings the usual way round: photograph a "
        "ruler at two known extensions, and have the lens calibrated by them; or give "
        "rear_principal_plane_mm.",
    )


def measure_by_calibration() -> str:
    """Say what is left where everything quick is measured already."""
    return tr(
        "Photograph a ruler at two or more known extensions, and have the lens calibrated by them.",
    )


def measure_with_camera() -> str:
    """Say what to do where the kit has no camera."""
    return tr(
        "List a camera in the kit to see what this costs; photograph a ruler once, and give the "
        "magnification as measured.",
    )


def untold_magnifications_remark(lenses: Sequence[str]) -> list[Remark]:
    """Say of which lenses the magnification is not told."""
    if not lenses:
        return []
    text = tr(
        "Measure first: the magnification of these lenses in this set-up is not told, since it could be "
        "almost any: {lenses}. What to measure stands beside each.",
        lenses=list_names(lenses),
    )
    return [remark("measure-first", text)]


def cut_listing(most: int) -> Remark:
    """Say that more lenses lack data than are told."""
    return remark("more-incomplete-lenses", tr("More lenses lack data: the first {most} are told.", most=most))
