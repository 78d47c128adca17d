"""Find a set-up: what of the studio's kit fills the frame, best first."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, cast
from urllib.parse import urlencode

from msgspec.structs import replace

from closeup_service.gear.kit import Kit
from closeup_service.language import later, mark, tr
from closeup_service.operations.estimating.kit_lenses import list_incomplete
from closeup_service.operations.plan.search.schemas import SearchCamera, SearchRequest
from closeup_service.pages.task import (
    Answers,
    Example,
    Group,
    Input,
    Members,
    NotReady,
    Request,
    Step,
    Table,
    Task,
    WriteOut,
    inputs,
    members_for,
    value_at,
)
from closeup_service.pages.tasks.common import SENSOR, cameras
from closeup_service.pages.tasks.known_lens import ESTIMATE_FIELD, is_estimated
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN

if TYPE_CHECKING:
    from closeup_service.records.answers import SearchHit

SEARCH = declared_fields(SearchRequest)
CAMERA = declared_fields(SearchCamera)
CAMERA_NAMES = ("mount", "sensor", "pixel_pitch_um")
BEST = 5
LONGEST = 7_000
"""Characters of an address that holds the parts of a set-up; a longer one describes them without their names."""
NO_SIZE = "Enter the width of the subject, its height, or both. Or enter the magnification that you want."
NO_CAMERA = mark("Choose the camera. Or enter mount and sensor of a camera that is not in the kit.")
ANY_CAMERA = {"mount": "m42", "sensor": "36x24"}
"""A camera by which the rest of the form is judged where none is chosen."""
COLUMNS = (
    *("parts", "magnification", "working_distance_mm", "clearance_mm", "effective_f_number", "light_loss_stops"),
    *("subject_resolution_um", "total_mm", "stack_frames"),
)


def request(members: Members, answers: Answers, kit: Kit) -> Request:
    """Search the studio's kit."""
    del answers
    asked = request_of(members, kit)
    if not value_at(asked.members, "camera"):
        raise NotReady(tr(NO_CAMERA), "camera", replace(asked, members={**asked.members, "camera": ANY_CAMERA}))
    return asked


def request_of(members: Members, kit: Kit) -> Request:
    """Request for what is wished for, with the camera as far as it is known."""
    camera: dict[str, object] = {name: members[name] for name in CAMERA_NAMES if name in members}
    if "camera" in members:
        camera |= {"use": members["camera"]}
    wished = {name: value for name, value in members_for(SEARCH, members).items() if name != "camera"}
    places = {f"/camera/{name}": name for name in CAMERA_NAMES} | {"/camera/use": "camera", "/camera": "camera"}
    estimating = {ESTIMATE_UNKNOWN: True} if is_estimated(members) and lacks_lens_data(kit) else {}
    return Request({"best": BEST, **wished, "camera": camera, **estimating}, places)


def lacks_lens_data(kit: Kit) -> bool:
    """Whether any lens of the kit lacks data that can be estimated."""
    return any(True for _ in list_incomplete(kit.lenses, 0.0))


def set_up_address(row: Members, write_out: WriteOut) -> str:
    """Address of the page of one set-up that was found, with its parts as parts of the kit, where it can hold them."""
    hit: SearchHit = cast("SearchHit", row)
    address = address_of(write_out(hit["kit_document"])) if "kit_document" in hit else ""
    return address if 0 < len(address) <= LONGEST else address_of(hit["document"])


def address_of(document: object) -> str:
    """Address of the page of a set-up document."""
    return f"/tasks/set-up?{urlencode({'document': json.dumps(document, separators=(',', ':'))})}"


TASK = Task(
    slug="find-set-up",
    stage="plan",
    title="Find a set-up",
    question="Which of my parts fill the frame with this subject?",
    lead="Enter the magnification or the size of the subject, and what you wish for. Every arrangement of your parts is tried.",
    description=(
        "Search a kit of lenses, tubes, bellows, rings and close-up lenses for the set-ups that fill the frame with a small "
        "subject, best first."
    ),
    groups=(
        Group(
            "Subject and camera",
            (
                Input("camera", "use", CAMERA["use"], "camera of the kit", "Or mount and sensor below.", cameras),
                *inputs(
                    SEARCH,
                    *("magnification", "subject_width_mm", "subject_height_mm", "subject_depth_mm"),
                    magnification={"own_hint": "Which of my lenses reaches 2:1? Or enter the size of the subject."},
                    subject_width_mm={"own_hint": "Along the longer side of the frame.", "own_missing": NO_SIZE},
                    subject_height_mm={"own_hint": "Along the shorter side of the frame."},
                ),
            ),
        ),
        Group(
            "What you wish for",
            inputs(
                SEARCH,
                *("least_clearance_mm", "least_working_distance_mm", "most_stack_frames", "largest_light_loss_stops"),
                *("largest_subject_resolution_um", "longest_rig_mm", "best"),
                least_clearance_mm={"own_label": "least clearance"},
                most_stack_frames={"own_label": "most frames of a stack"},
                best={
                    "own_label": "set-ups to list",
                    "own_hint": later("How many at most; {best} where it is left out.", best=BEST),
                },
            ),
            aside=True,
        ),
        Group(
            "Another camera",
            inputs(CAMERA, *CAMERA_NAMES, sensor=SENSOR),
            aside=True,
        ),
        Group("Lenses that are not known", (ESTIMATE_FIELD,), aside=True),
    ),
    steps=(
        Step(
            "searchSetUps",
            request,
            ("magnification", "framed", "meeting", "arrangements"),
            (
                Table("hits", "Best first", COLUMNS, set_up_address, "Everything about it"),
                Table("relaxations", "What no set-up meets", ("wish", "asked", "nearest", "miss")),
            ),
            dear=True,
        ),
    ),
    first=("magnification", "meeting"),
    examples=(
        Example(
            "Which of my lenses reaches 2:1?", {"magnification": "2:1", "camera": "field-camera"}, of_demo_kit=True
        ),
        Example(
            "A seed 12 mm wide and 1 mm deep, with 50 mm of room for a lamp",
            {
                "subject_width_mm": "12 mm",
                "subject_depth_mm": "1 mm",
                "camera": "field-camera",
                "least_clearance_mm": "5 cm",
                "most_stack_frames": "4",
            },
            of_demo_kit=True,
        ),
        Example(
            "A lichen 40 mm wide, from no nearer than 15 cm, on a rig of 12 cm: what to give up",
            {
                "subject_width_mm": "40",
                "camera": "field-camera",
                "least_working_distance_mm": "15 cm",
                "longest_rig_mm": "12 cm",
            },
            of_demo_kit=True,
        ),
    ),
)
