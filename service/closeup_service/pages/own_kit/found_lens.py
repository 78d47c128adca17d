"""The lens of a result, as a part that can be kept in one's own kit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypedDict, cast

from closeup_service.pages.asking import Members
from closeup_service.pages.own_kit.kit_text import write
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.kit_lens import KitLensSchema

OF_A_LENS = frozenset(declared_fields(KitLensSchema)) - {"id", "name", "settings", "element", "reversed", "f_number"}
IN_THE_FORM: Mapping[str, str] = {"lens_register_mm": "register_mm"}
"""Members of a request about one lens, and what a kit calls them."""
CALIBRATED, KNOWN, BUILT = "calibrateLens", "estimateLens", "evaluateSetUp"
LENS = "lens"
ByOperation = Mapping[str, Members]


class Element(TypedDict, total=False):
    """Element of a train."""

    element: str


class Found(TypedDict, total=False):
    """What a request or an answer holds of lenses."""

    known_lens: Members
    lens: Members
    train: list[Element]


def lens_to_keep(asked: ByOperation, answers: ByOperation) -> str:
    """Lens of a result as the form of `/kit` takes it; empty where there is none, or more than one."""
    found = list(lenses(asked, answers))
    parts = [{IN_THE_FORM.get(name, name): value for name, value in each.items()} for each in found]
    kept = [{name: value for name, value in each.items() if name in OF_A_LENS} for each in parts]
    return write(kept[0]) if len(kept) == 1 and "focal_length_mm" in kept[0] else ""


def lenses(asked: ByOperation, answers: ByOperation) -> Iterator[Members]:
    """Lenses that were measured, told, or typed into a set-up."""
    if CALIBRATED in answers:
        told: Found = cast("Found", answers[CALIBRATED])
        if "known_lens" in told or "lens" in told:
            yield told["known_lens"] if "known_lens" in told else told["lens"]
    if KNOWN in asked:
        yield asked[KNOWN]
    if BUILT in asked:
        built: Found = cast("Found", asked[BUILT])
        yield from (cast("Members", each) for each in built["train"] if each["element"] == LENS)
