"""Frames that were right, to ask `/v1/exposure` about: by daylight and by flash."""

from typing import Any

PATH = "/v1/exposure"
LIFE_SIZE: dict[str, Any] = {"f_number": 8, "magnification": 1, "pupil_magnification": 1, "mounting": "normal"}
DIAL: dict[str, Any] = {"kind": "dial", "least": 2, "greatest": 8, "unit_stops": 1, "step_stops": 0.1}


def daylight(**more: Any) -> dict[str, Any]:
    return {"reference": LIFE_SIZE | {"iso": 100, "exposure_time_s": 0.5}, "unknown": "exposure_time_s"} | more


def by_flash(power: float = 0.25, **more: Any) -> dict[str, Any]:
    return {"reference": LIFE_SIZE | {"iso": 100, "flash_power": power}, "unknown": "flash_power"} | more
