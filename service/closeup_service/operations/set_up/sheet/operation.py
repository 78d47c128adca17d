"""`/v1/set-ups/sheet`."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, TypedDict
from urllib.parse import quote

from closeup_service.advice import estimate_remarks
from closeup_service.drawing.sheet import DRAWING_HEIGHT, DRAWING_WIDTH, NARROW_WIDTH, Estimates, sheet_page
from closeup_service.drawing.side_view import lay_out
from closeup_service.drawing.side_view_svg import side_view_svg
from closeup_service.language import tr, tr_each
from closeup_service.operations.asking.media_types import HTML
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.drawing.operation import DrawnMembers, in_words
from closeup_service.operations.set_up.drawn_set_up import (
    SIZES,
    DrawnSetUp,
    assumed_in_drawing,
    drawn_set_up,
    extras_of,
    magnification_in_words,
    places,
    remarks_on_middle_lens,
)
from closeup_service.operations.set_up.evaluate.operation import CAMERA, REVERSED_35
from closeup_service.operations.set_up.sheet.schemas import LONGEST_LINK, SheetAnswer, SheetRequest

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

PATH = "/v1/set-ups/sheet"


ON_THE_SHEET = (
    *SIZES,
    "effective_f_number",
    "light_loss_stops",
    "optimum_f_number",
    "depth_of_field",
    "stack_frames",
    "stack_step_mm",
    "exposure",
)
"""Members that the sheet tells of a set-up's answer."""


class SheetMembers(DrawnMembers):
    """An answer, with what is needed to draw and to print it."""

    def __init__(self, members: answers.SheetAnswer, drawn: DrawnSetUp) -> None:
        scene = drawn.scene
        layout = lay_out(scene, DRAWING_WIDTH, with_legend=False, most_height=DRAWING_HEIGHT)
        super().__init__(members, scene, layout)
        self.estimates = Estimates(estimate_sentences(drawn), drawn.evaluated.untold)


def estimate_sentences(drawn: DrawnSetUp) -> list[str]:
    """What the estimates rest on, and what to measure; none where nothing is estimated."""
    notes, untold = drawn.evaluated.notes, drawn.evaluated.untold
    if not notes:
        return []
    measured = any(element.get("measured") for element in drawn.document["train"])
    advice = (
        [estimate_remarks.measure_marked_figures()]
        if untold
        else []
        if measured
        else [estimate_remarks.narrow_ranges()]
    )
    return [*(note["text"] for note in notes if note["code"] != estimate_remarks.MEASURE_FIRST), *advice]


class Exposed(TypedDict, total=False):
    """The exposure, where the document asks for one."""

    exposure: answers.ExposureMembers


def answer(asked: requests.SheetRequest) -> SheetMembers:
    """Gather what the sheet tells."""
    drawn = drawn_set_up(asked)
    told: answers.SetUpAnswer = drawn.told
    exposed: Exposed = {"exposure": told["exposure"]} if "exposure" in told else {}
    members: answers.SheetAnswer = {
        "heading": asked.get("heading") or heading_of(told, asked),
        **places(drawn),
        "effective_f_number": told["effective_f_number"],
        "light_loss_stops": told["light_loss_stops"],
        "optimum_f_number": told["optimum_f_number"],
        "depth_of_field": told["depth_of_field"],
        "stack_frames": told["stack_frames"],
        "stack_step_mm": told["stack_step_mm"],
        "cautions": told["cautions"],
        **exposed,
        **extras_of(told, ON_THE_SHEET),
        "link": link_to(asked),
        "assumed": assumed_in_drawing(drawn),
        "remarks": [*told["remarks"], *remarks_on_middle_lens(drawn)],
    }
    return SheetMembers(members, drawn)


def heading_of(told: answers.SetUpAnswer, asked: requests.SheetRequest) -> str:
    """Set-up in a few words."""
    parts, shown_at = len(asked["train"]), magnification_in_words(told, told["magnification"])
    return tr_each(
        "Set-up at {shown_at}, {parts} part before the camera",
        "Set-up at {shown_at}, {parts} parts before the camera",
        parts,
        shown_at=shown_at,
        parts=parts,
    )


def link_to(asked: requests.SheetRequest) -> str | None:
    """Address that asks for the same again."""
    kit = asked["kit"]
    if kit.origin == "request":
        return None
    link = f"{PATH}?document={quote(json.dumps(asked['sent'], sort_keys=True, separators=(',', ':')), safe='')}"
    return link if len(link) <= LONGEST_LINK else None


def as_page(asked: requests.SheetRequest, told: Mapping[str, object]) -> bytes:
    """Write the sheet."""
    del asked
    assert isinstance(told, SheetMembers)
    description = in_words(told.scene, told.shown_at)
    narrow = lay_out(told.scene, NARROW_WIDTH, with_legend=False)
    drawings = {
        "wide": side_view_svg(told.scene, told.layout, tr("Set-up in side view"), description),
        "narrow": side_view_svg(told.scene, narrow, tr("Set-up in side view"), description, within="narrow-"),
    }
    texts = [part.in_words for part in told.scene.parts]
    share = told.layout.height / DRAWING_WIDTH
    return sheet_page(told, drawings, share, texts, told.scene.camera, told.estimates).encode()


OPERATION = Operation(
    operation_id="printSetUp",
    path=PATH,
    tag="set up",
    summary="A set-up on one printable side of A4, from drawing to cautions",
    description=(
        "The set-up document of /v1/set-ups/evaluate, and a heading. As text/html the answer is a page that prints on one side "
        "of A4, in black and white too; where it must leave something out for that, it says what. As JSON it holds all of it. "
        "The exposure stands on it where the document asks for one, the stack where it gives the subject's depth."
    ),
    answer=answer,
    answer_type=SheetAnswer,
    request_type=SheetRequest,
    by_query="document",
    takes_kit=True,
    renderers={HTML: as_page},
    examples=(
        Example(
            "sheet-for-the-table",
            "A reversed 35 mm lens on 31 mm of rings, with its stack (invented kit)",
            {
                "camera": CAMERA,
                "train": [REVERSED_35, {"element": "spacer", "length_mm": 31.0}],
                "subject_depth_mm": 2,
                "heading": "Lichen on slate",
            },
        ),
    ),
)
