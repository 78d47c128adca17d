"""Asking the application in process."""

from collections.abc import Iterable, Mapping
from typing import Any

from flask.testing import FlaskClient

SET_UPS = "/v1/set-ups/evaluate"


def answered(api: FlaskClient, path: str, members: dict[str, Any]) -> dict[str, Any]:
    response = api.post(path, json=members)
    assert response.status_code == 200, response.text
    answer: dict[str, Any] = response.get_json()
    return answer


def refused(api: FlaskClient, path: str, members: dict[str, Any]) -> dict[str, Any]:
    response = api.post(path, json=members)
    assert response.status_code == 422, response.text
    problem: dict[str, Any] = response.get_json()
    return problem


def codes(notes: Iterable[Mapping[str, Any]]) -> set[str]:
    return {note["code"] for note in notes}


def text_of(answer: dict[str, Any], code: str) -> str:
    """Texts of the answer's remarks of one code, or nothing."""
    return " ".join(note["text"] for note in answer["remarks"] if note["code"] == code)


def pointers(problem: dict[str, Any]) -> set[str]:
    return {error["pointer"] for error in problem["errors"]}


LENS: dict[str, Any] = {
    "element": "lens",
    "reversed": True,
    "focal_length_mm": 35,
    "f_number": 8,
    "pupil_magnification": 1.3,
    "front_principal_plane_mm": 21.0,
    "principal_plane_separation_mm": 9.0,
    "register_mm": 45.46,
}
CAMERA: dict[str, Any] = {"register_mm": 18.0, "sensor": "23.5x15.6"}


def without(members: dict[str, Any], *names: str) -> dict[str, Any]:
    return {name: value for name, value in members.items() if name not in names}


def set_up(*train: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"camera": CAMERA, "train": list(train), **more}


def spacer(length: float) -> dict[str, Any]:
    return {"element": "spacer", "length_mm": length}
