"""What estimates cost: a set-up of which only the engravings are known against one of which all is, and quantities alike."""

from collections.abc import Callable
from typing import Any

from closeup_service.estimates.ensemble import estimate_lens
from closeup_service.estimates.joint import draw
from closeup_service.operations.asking.ask import answer_to, loaded
from closeup_service.operations.registry import operation_at
from closeup_service.schemas.kit import demo_kit
from rows import Effort, Row, cpu, in_turns

CALLS = 40
MOST_OF_PLAIN = 8.0
"""A set-up with estimates may take so many times what it takes where all is known."""

CAMERA = {"register_mm": 44.0, "sensor": "36x24"}
ENGRAVED: dict[str, Any] = {
    "element": "lens",
    "reversed": True,
    "focal_length_mm": 28.0,
    "f_number": 8.0,
    "register_mm": 45.5,
}
KNOWN = ENGRAVED | {
    "front_principal_plane_mm": 37.0,
    "principal_plane_separation_mm": 26.0,
    "pupil_magnification": 1.8,
}
FRAME = {"mounting": "reversed", "extension_mm": 7.0, "camera_register_mm": 44.0, "magnification": 2.1}
MEASURED = ENGRAVED | {"measured": [FRAME]}
TUBE = {"element": "spacer", "length_mm": 7.0}
OPEN: dict[str, Any] = {"unknown": "/train/1/length_mm", "target": {"magnification": 3.0}}
ONE_LENS: dict[str, Any] = {"mounting": "reversed", "focal_length_mm": 28.0, "lens_register_mm": 45.5}
LIGHT = ONE_LENS | {"f_number": 8.0, "magnification": 2.0}
SHARP = LIGHT | {"sensor": "36x24"}
EVALUATE = "/v1/set-ups/evaluate"


def rows(effort: Effort) -> list[Row]:
    """Whole requests of the operations, with estimates and without."""
    return [
        compared("set-up, one lens estimated", EVALUATE, set_up(ENGRAVED), set_up(KNOWN), effort),
        compared("the same, its subject 1 mm deep", EVALUATE, deep(ENGRAVED), deep(KNOWN), effort),
        compared("the same, measured by one frame", EVALUATE, set_up(MEASURED), set_up(KNOWN), effort),
        compared("the same, its length solved", EVALUATE, solved(ENGRAVED), solved(KNOWN), effort),
        forgotten("the same, its ensemble made anew", EVALUATE, set_up(ENGRAVED), set_up(KNOWN), effort),
        alike("magnification, estimated", "/v1/magnification", ONE_LENS | {"camera_register_mm": 44.0, "extension_mm": 7.0},
              {"front_principal_plane_mm": 37.0}, effort),
        alike("effective f-number, estimated", "/v1/effective-f-number", LIGHT, {"pupil_magnification": 1.8}, effort),
        alike("depth of field, estimated", "/v1/depth-of-field", SHARP, {"pupil_magnification": 1.8}, effort),
    ]  # fmt: skip


def set_up(lens: dict[str, Any]) -> dict[str, Any]:
    """Lens on a tube."""
    return {"camera": CAMERA, "train": [lens, TUBE], "estimate_unknown": True}


def deep(lens: dict[str, Any]) -> dict[str, Any]:
    """The same before a subject that stands out."""
    return set_up(lens) | {"subject_depth_mm": 1.0}


def solved(lens: dict[str, Any]) -> dict[str, Any]:
    """The same with its tube left open."""
    return {"camera": CAMERA, "train": [lens, {"element": "spacer"}], "solve": OPEN, "estimate_unknown": True}


def asking(path: str, request: dict[str, Any]) -> Callable[[], object]:
    """Ask an operation as a request does."""
    operation = operation_at(path)
    return lambda: answer_to(operation, loaded(operation, request), demo_kit)


def compared(what: str, path: str, estimated: dict[str, Any], known: dict[str, Any], effort: Effort) -> Row:
    """One request with estimates against the same of which all is known."""
    calls = effort.calls(CALLS)
    own, plain = cpu(asking(path, estimated), calls), cpu(asking(path, known), calls)
    return in_turns(what, own, "all known", plain, effort, goal=MOST_OF_PLAIN)


def forgotten(what: str, path: str, estimated: dict[str, Any], known: dict[str, Any], effort: Effort) -> Row:
    """The same, as if the lens were asked about for the first time."""
    ask = asking(path, estimated)

    def afresh() -> object:
        estimate_lens.cache_clear()
        draw.cache_clear()
        return ask()

    calls = effort.calls(CALLS)
    return in_turns(what, cpu(afresh, calls), "all known", cpu(asking(path, known), calls), effort)


def alike(what: str, path: str, request: dict[str, Any], data: dict[str, Any], effort: Effort) -> Row:
    """A quantity, asked for every possible lens, against once; what it costs is told, without a goal."""
    calls = effort.calls(CALLS)
    own, plain = (
        cpu(asking(path, request | {"estimate_unknown": True}), calls),
        cpu(asking(path, request | data), calls),
    )
    return in_turns(what, own, "all known", plain, effort)
