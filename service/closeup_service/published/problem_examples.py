"""Examples of problems: those that depend on the request are asked for, the others are what is always said of their kind."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from closeup_service.operations.asking.ask import answer_to, loaded
from closeup_service.operations.asking.problem_types import PROBLEM_TYPES
from closeup_service.operations.asking.refusals import Refusal, refusal_of, refuse_as_usual
from closeup_service.operations.registry import operation_named
from closeup_service.schemas.kit import demo_kit

REQUEST_ID = "0af7651916cd43dd8448eb211c80319c"
OF_PHOTOGRAPHS = ("no-sure-reading",)
SHOWN = (
    *("not-json", "invalid-fields", "impossible", *OF_PHOTOGRAPHS, "not-found", "method-not-allowed", "not-acceptable"),
    *(
        "unsupported-media-type",
        "content-too-large",
        "too-many-requests",
        "busy",
        "misdirected-request",
        "uri-too-long",
    ),
    "internal-error",
)
"""Kinds that are shown: one of each status, and more where the request decides."""

ASKED: Mapping[str, tuple[str, Mapping[str, Any]]] = {
    "invalid-fields": ("findEffectiveFNumber", {"f_number": "eight", "magnifcation": 1.57}),
    "impossible": (
        "findMagnification",
        {
            "mounting": "reversed",
            "focal_length_mm": 35,
            "camera_register_mm": 18,
            "extension_mm": 5,
            "front_principal_plane_mm": 3,
        },
    ),
}
"""Operation and request that are refused with each of these kinds."""


def examples_of(status: int, photographs: bool = False) -> dict[str, object]:
    """Return an example for every kind of problem that an operation answers with this status."""
    kinds = [
        kind
        for kind in PROBLEM_TYPES.values()
        if kind.status == status and kind.slug in SHOWN and (photographs or kind.slug not in OF_PHOTOGRAPHS)
    ]
    return {kind.slug: {"summary": kind.title, "value": example_of(kind.slug)} for kind in kinds}


def example_of(slug: str) -> dict[str, object]:
    """Return the members of a problem of a kind."""
    return {**refusal_of_kind(slug).members(), "request_id": REQUEST_ID}


def refusal_of_kind(slug: str) -> Refusal:
    """Refuse as an operation does."""
    if slug not in ASKED:
        return refuse_as_usual(slug)
    operation_id, request = ASKED[slug]
    operation = operation_named(operation_id)
    try:
        answer_to(operation, loaded(operation, request), demo_kit)
    except Exception as error:
        refusal = refusal_of(error)
        assert refusal is not None
        return refusal
    raise AssertionError(slug)
