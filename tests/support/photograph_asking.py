"""Photographs of rulers as tests send them, and what comes back."""

from functools import cache
from typing import Any

from flask.testing import FlaskClient

from photograph_files import saved
from ruler_pictures import as_pixels, ruler
from uploads import sent

PHOTO, COMPARISON = "/v1/scale-reading/photo", "/v1/scale-reading/comparison"
RULER: dict[str, Any] = {"tick_pitch_mm": 0.5}


def read(api: FlaskClient, photograph: bytes, **fields: Any) -> dict[str, Any]:
    return answered(api, PHOTO, [photograph], **(RULER | fields))


def compared(api: FlaskClient, *photographs: bytes) -> dict[str, Any]:
    return answered(api, COMPARISON, list(photographs), **RULER)


def answered(api: FlaskClient, path: str, photographs: list[bytes], **fields: Any) -> dict[str, Any]:
    answer = sent(api, path, photographs, **fields)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.get_json()
    return found


def refusal(api: FlaskClient, path: str, photographs: list[bytes], **fields: Any) -> dict[str, Any]:
    answer = sent(api, path, photographs, **fields)
    assert answer.status_code == 422, answer.text
    found: dict[str, Any] = answer.get_json()
    return found


@cache
def small(**changes: float) -> bytes:
    """A smaller photograph than that of the examples, in grey."""
    settings: dict[str, Any] = {"width": 900, "height": 600, "pixels_per_mm": 60.0} | changes
    return saved(as_pixels(ruler(**settings), colour=False), "PNG")


def zone_named(answer: dict[str, Any], name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(zone for zone in answer["zones"] if zone["zone"] == name)
    return found
