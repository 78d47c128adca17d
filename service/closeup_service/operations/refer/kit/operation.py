"""`/v1/kit`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, TypedDict

from closeup_service.advice.kit_remarks import demo_kit
from closeup_service.operations.asking.limits import MOST_KIT_BYTES
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.refer.kit.incomplete import tell_incomplete
from closeup_service.operations.refer.kit.schemas import KitAnswer, KitRequest, as_listed

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


class NewMembers(TypedDict, total=False):
    """The kit as it was read, where clients of the first release would not know all of its listing; what lenses lack."""

    whole_kit: Mapping[str, object]
    incomplete_lenses: Sequence[answers.IncompleteLens]


def answer(asked: requests.KitRequest) -> answers.KitAnswer:
    """List the kit that was sent, or this studio's."""
    kit = asked["kit"]
    listed = as_listed(kit.listing)
    incomplete = tell_incomplete(asked, kit)
    more: NewMembers = {} if listed == kit.listing else {"whole_kit": kit.listing}
    if incomplete.lenses:
        more["incomplete_lenses"] = incomplete.lenses
    return {
        "revision": kit.revision,
        "origin": kit.origin,
        "parts": kit.number_of_parts,
        "kit": listed,
        **more,
        "assumed": incomplete.assumed,
        "remarks": [*demo_kit(kit.origin), *incomplete.remarks],
        "cautions": [],
    }


SMALL_KIT = {
    "name": "One lens to reverse (invented)",
    "cameras": [{"id": "body", "name": "Camera", "mount": "bayonet-18.0", "sensor": "23.5x15.6"}],
    "lenses": [
        {
            "id": "fifty",
            "name": "50 mm f/2",
            "mount": "M42x1",
            "front_thread": "M49x0.75",
            "least_f_number": 2,
            "greatest_f_number": 16,
            "focal_length_mm": 51.6,
            "front_principal_plane_mm": 27,
        }
    ],
    "reversing_rings": [
        {
            "id": "ring-49",
            "name": "Reversing ring",
            "front": {"thread": "M49x0.75", "gender": "external"},
            "rear": {"mount": "bayonet-18.0", "side": "lens"},
            "length_mm": 3.5,
        }
    ],
}

OPERATION = Operation(
    operation_id="listKit",
    path="/v1/kit",
    tag="refer",
    summary="This studio's own kit, with its revision; or a kit sent, checked",
    description=(
        "The kit file as it was read at start, its defaults filled in; the invented demo kit where the studio names none. "
        "A kit sent by POST is checked and answered in the same way, and never kept; a part that the physics refuses by itself "
        "is refused here. The revision is a hash of what the kit says: answers that use a kit repeat it. A lens of one setting "
        "may state its data itself and is listed with the setting only; sensors that 1.0.0 did not know are listed by their "
        "measures. Lenses that lack planes or pupils are told under incomplete_lenses: what is missing, what magnification "
        "such lenses give in one set-up, reversed on the kit's first camera unless another is asked about, and what to measure "
        "first."
    ),
    answer=answer,
    answer_type=KitAnswer,
    request_type=KitRequest,
    takes_kit=True,
    most_content_bytes=MOST_KIT_BYTES,
    examples=(Example("a-kit-to-check", "A small kit, checked (invented)", {"kit": SMALL_KIT}),),
)
