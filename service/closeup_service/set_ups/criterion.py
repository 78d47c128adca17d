"""What counts as sharp as a request states it, by the vocabulary's names, and what is assumed for the rest."""

from __future__ import annotations

from collections.abc import Callable, MutableMapping
from typing import TYPE_CHECKING, TypeAlias

from closeup_service.optics.arithmetic import R
from closeup_service.optics.sharpness import (
    ACUITY_ARCMIN,
    CONTRAST,
    MODELS,
    WAVELENGTH_NM,
    Criterion,
    blur_of_sensor,
    noticed_blur,
)
from closeup_service.optics.wave import Light, white_light

if TYPE_CHECKING:
    from closeup_service.records import requests

Assumed: TypeAlias = MutableMapping[str, R | str]
"""What was assumed, by its name or its JSON pointer."""
Naming = Callable[[str], str]


def criterion_of(
    members: requests.SharpnessFields[R],
    model: str | None,
    assumed: Assumed[R],
    key: Naming = str,
    model_name: str = "model",
) -> Criterion[R]:
    """Criterion that a request's members state, and what was assumed for the rest, under `key(name)`."""
    if model is None:
        model = assumed[key(model_name)] = MODELS[0]
    wavelength, light = light_of(members, assumed, key)
    contrast = members.get("contrast")
    if contrast is None:
        contrast = CONTRAST
        if model == "contrast":
            assumed[key("contrast")] = contrast
    return Criterion(
        model,
        blur_of(members, assumed, key),
        wavelength,
        light,
        members.get("sensor_detail_lp_per_mm"),
        members.get("subject_detail_lp_per_mm"),
        contrast,
        members.get("pixel_pitch_um"),
        members.get("pixel_fill", 1.0),
    )


def light_of(members: requests.LightFields[R], assumed: Assumed[R], key: Naming = str) -> tuple[R, Light]:
    """Wavelength of the single-wavelength sums [nm], and the light of the contrast sums.

    Returns
    -------
    tuple[Real, Light], nm, and the light
    """
    wavelength = members.get("wavelength_nm")
    if wavelength is None:
        wavelength = assumed[key("wavelength_nm")] = WAVELENGTH_NM
    return wavelength, white_light() if members.get("light") == "white" else Light.of((wavelength,))


def blur_of(members: requests.SharpnessFields[R], assumed: Assumed[R], key: Naming = str) -> R | None:
    """Blur accepted on the sensor, mm: as stated, from the finished print, or a share of the sensor's diagonal.

    Returns
    -------
    float or array or None, mm
    """
    stated: R | None = members.get("circle_of_confusion_mm")
    if stated is not None:
        return stated
    width: R | None = members.get("sensor_width_mm")
    height: R | None = members.get("sensor_height_mm")
    if width is None or height is None:
        return None
    if members.get("print_width_mm") is not None:
        return blur_of_print(members, width, assumed, key)
    blur = blur_of_sensor(width, height)
    assumed[key("circle_of_confusion_mm")] = blur
    return blur


def blur_of_print(members: requests.PrintFields[R], sensor_width: R, assumed: Assumed[R], key: Naming = str) -> R:
    """Blur on the sensor [mm] that a viewer of the print just notices; it is seen from as far as it is wide.

    Parameters
    ----------
    sensor_width : float or array, mm

    Returns
    -------
    float or array, mm
    """
    width: R = members["print_width_mm"]
    distance, acuity = members.get("viewing_distance_mm"), members.get("acuity_arcmin")
    if distance is None:
        distance = assumed[key("viewing_distance_mm")] = width
    if acuity is None:
        acuity = assumed[key("acuity_arcmin")] = ACUITY_ARCMIN
    return noticed_blur(distance, acuity, sensor_width, width)
