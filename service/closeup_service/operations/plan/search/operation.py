"""`/v1/set-ups/search`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal

from msgspec.structs import replace

from closeup_service.advice.kit_remarks import demo_kit
from closeup_service.estimates.lens_members import ESTIMATE_UNKNOWN
from closeup_service.gear.errors import KitRefuses
from closeup_service.gear.kit import Camera, Kit, mount_face
from closeup_service.gear.kit_faults import describe_unknown
from closeup_service.gear.kit_parts import describe_absent_part
from closeup_service.gear.search.arrangements import document_of, search
from closeup_service.gear.search.left_out import assumed_pupils
from closeup_service.gear.search.purchases import WHAT_IS_TRIED, Bought, purchase_within
from closeup_service.gear.search.request import (
    APERTURES,
    ARRANGEMENTS,
    ASSUMED_WISHES,
    BEST,
    TOLERANCE,
    Request,
)
from closeup_service.gear.search.score import FORMULA, WISHES
from closeup_service.gear.search.work import Work
from closeup_service.operations.asking import effort
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.plan.search.estimates import NOTHING_ESTIMATED, estimate_kit
from closeup_service.operations.plan.search.found import Listing
from closeup_service.operations.plan.search.notes import remarks_on, remarks_on_purchase
from closeup_service.operations.plan.search.schemas import SearchAnswer, SearchRequest
from closeup_service.set_ups.set_up import criterion_of_set_up

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

LIGHT: tuple[Literal["depth_of_field_model", "wavelength_nm"], ...] = ("depth_of_field_model", "wavelength_nm")


def answer(asked: requests.SearchRequest) -> answers.SearchAnswer:
    """Search the kit, as long as the client waits for it."""
    kit = asked["kit"]
    stated = question_of(asked, kit)
    estimates = estimate_kit(stated) if asked.get(ESTIMATE_UNKNOWN) else NOTHING_ESTIMATED
    question = replace(stated, kit=estimates.fill_in(kit))
    work = Work(go_on=effort.go_on, expect=effort.expect)
    result = search(question, work)
    bought = None
    if not result.found.hits and "budget" in asked:
        bought = purchase_within(question, asked["budget"], work)
    listing = Listing(question, result, bought, estimates)
    members: answers.SearchAnswer = {
        "magnification": question.magnification,
        "arrangements": result.plan.arrangements,
        "framed": result.found.framed,
        "meeting": result.found.hits,
        "hits": [each.member for each in listing.hits],
        "pareto": [each.member for each in listing.front],
        "relaxations": [each.member(question) for each in listing.relaxed],
        "kit_revision": kit.revision,
        "assumed": assumed(asked, question),
        "remarks": [
            *demo_kit(kit.origin),
            *remarks_on(question, result, listing),
            *remarks_on_purchase(asked, result, bought),
        ],
        "cautions": listing.cautions,
    }
    purchase = purchase_member(bought, listing)
    if purchase is not None:
        members["purchase"] = purchase
    return members


def question_of(asked: requests.SearchRequest, kit: Kit) -> Request:
    """What the engine is asked."""
    camera = camera_of(asked["camera"], kit)
    stated: Mapping[str, Any] = {**ASSUMED_WISHES, **asked}
    wishes = {wish: float(stated[wish]) for wish in WISHES if wish in stated}
    return Request(
        kit,
        camera,
        magnification_of(asked, camera),
        asked.get("tolerance", TOLERANCE),
        wishes,
        asked.get("subject_depth_mm"),
        frozenset(asked.get("arrangements", ARRANGEMENTS)),
        asked.get("best", BEST),
        asked.get("apertures_per_set_up", APERTURES),
        {name: asked[name] for name in LIGHT if name in asked},
        frozenset(ASSUMED_WISHES).difference(asked),
    )


def magnification_of(asked: requests.SearchRequest, camera: Camera) -> float:
    """Magnification that is wanted, or that fills the frame with the subject."""
    if "magnification" in asked:
        return asked["magnification"]
    sizes = (
        (asked.get("subject_width_mm"), camera.sensor_width_mm),
        (asked.get("subject_height_mm"), camera.sensor_height_mm),
    )
    return min(sensor / size for size, sensor in sizes if size is not None)


def camera_of(members: requests.SearchCamera, kit: Kit) -> Camera:
    """Camera of the kit, or the one described."""
    if "use" in members:
        camera = kit.cameras_by_id.get(members["use"])
        if camera is None:
            raise KitRefuses([("/camera/use", describe_absent_part(members["use"], kit.cameras_by_id, "camera"))])
        blur = members.get("circle_of_confusion_mm", camera.circle_of_confusion_mm)
        return replace(camera, circle_of_confusion_mm=blur)
    mount = kit.all_mounts.get(members["mount"])
    if mount is None:
        fault = describe_unknown("mount", members["mount"], kit.all_mounts, "/v1/catalogue/mounts")
        raise KitRefuses([("/camera/mount", fault)])
    return Camera(
        id="camera",
        name="camera",
        mount=mount.id,
        register_mm=mount.register_mm,
        flange=mount_face(mount, "body"),
        sensor=None,
        sensor_width_mm=members["sensor_width_mm"],
        sensor_height_mm=members["sensor_height_mm"],
        pixel_pitch_um=members.get("pixel_pitch_um"),
        circle_of_confusion_mm=members.get("circle_of_confusion_mm"),
    )


def purchase_member(bought: Bought | None, listing: Listing) -> answers.Purchase | None:
    """Purchase that closes the gap, where one does."""
    if bought is None or bought.purchase is None or listing.bought is None:
        return None
    found = bought.purchase
    hit = listing.bought.member
    return {"part": found.part.id, "in_kit": found.in_kit, "price": found.price, "hit": hit}


def assumed(asked: requests.SearchRequest, question: Request) -> dict[str, float | str]:
    """What was assumed for all set-ups; what is assumed of each alone evaluate says."""
    defaults: dict[str, float | str] = {
        "tolerance": TOLERANCE,
        "best": BEST,
        "apertures_per_set_up": APERTURES,
        "arrangements": "all",
        **ASSUMED_WISHES,
    }
    found: dict[str, float | str] = {name: value for name, value in defaults.items() if name not in asked}
    criterion_of_set_up(document_of(question, ()), found)
    return found | assumed_pupils(question)


DESCRIPTION = (
    # what is enumerated
    "Goes through every arrangement of the kit's parts that are owned and available. In front stands a lens at any of its "
    "settings, focused at infinity, mounted normally (normal) or reversed (reversed); or a normally mounted lens with "
    "something before it: one close-up lens, or two different ones in either order (close-up-lens, where normal is "
    "allowed too), another lens reversed (coupled), an infinity-corrected objective (objective); or a finite-conjugate "
    "objective (objective). Behind it stand any of the tubes, none to all (tubes), and at most one bellows (bellows), in "
    "any order that can be joined; tubes with the same faces that join directly stand together, the narrower nearer to "
    "the camera. A converter (converter) can stand before the camera, or behind the front part, which it then belongs to, "
    "with at least one tube or bellows behind it; none is used with a finite-conjugate objective of unknown focal length. "
    "Only lenses are turned round, and rings, which are used either way. Left out, with a remark: lenses without marks, "
    "reversed lenses without a front principal plane or a filter thread, normally mounted lenses without a rear principal "
    "plane or register. "
    # how it is joined and drawn out
    "Faces that do not fit are joined by the kit's best chain of rings for them, as /v1/ring-chains gives it from the "
    "part nearer to the subject; what would need one ring twice is left out. The total length of tubes, bellows and rings "
    "behind the front part decides: of arrangements with the same front part, the same part before the camera and the "
    "same total length one is kept, the one with the fewest parts and rings, of these the one that lets the widest cone "
    "of light through to the sensor. Names decide nothing. A bellows is drawn out until the frame is filled exactly, once "
    "by an inverted image and, where more than one part has glass, once by an upright one, or else to the end of its "
    "range that comes nearest. Behind a finite-conjugate objective of unknown focal length it is drawn to the design "
    "length; behind an infinity-corrected objective, or an attachment at an unknown distance, to infinity focus of the "
    "lens. "
    # what fills the frame, and at which marks
    "A set-up fills the frame where |M / magnification - 1| is at most the tolerance; upright images count where more "
    "than one part has glass. Left out is whatever /v1/set-ups/evaluate refuses; infinity-corrected objectives before a "
    "lens that is not focused at infinity within 0.5 mm, attachments at an unknown distance before one that is not "
    "exactly so, and finite-conjugate objectives of unknown focal length more than 0.5 mm off their design length. Every "
    "nominal mark of the ring is tried; of two lenses one ring varies while the other is wide open. A mark at which its "
    "own iris does not limit the light is left out, except with all rings wide open. A figure that is not determined "
    "meets no wish that was stated. Without least_clearance_mm a wish of 0 is assumed, which an undetermined clearance "
    "meets. "
    + FORMULA
    # what is told
    + "Listed are the best by score, of one set-up apertures_per_set_up at most; of equal scores that with fewer parts. The "
    "Pareto front holds what nothing beats in working distance, resolved detail and light loss together; of equals that "
    "with fewer parts. Where nothing meets the wishes, relaxations name for each wish the set-up that meets all others "
    "and misses this one least, the least share missed first; where no single wish is to blame, the one whose misses add "
    "up to least, each divided by what was asked, or by 1 if that is less; where nothing fills the frame, the nearest up "
    "to |M / magnification - 1| = 0.9 that keeps least_clearance_mm. A set-up whose figure is not determined is named "
    "only where no other misses that wish alone. Of equals the better score comes first. With budget, purchase then names "
    "one part that would do: tried are "
    + WHAT_IS_TRIED
    + ". With estimate_unknown, lenses that lack data are searched with the medians of what is estimated of them, and set-ups "
    "with them are evaluated for every lens that they may be: figures are medians with ranges, chance is the share of those "
    "lenses with which the set-up of the document, as it stands, fills the frame within the tolerance, and its document holds "
    "estimate_unknown. A lens is not tried reversed where such lenses differ too much to tell what they would show at the "
    "magnification asked, nor estimated where there are no statistics: a remark names it. "
    "Where lengths are too many, those that differ by less than 0.01, 0.1, 0.3 or 1 mm count as the same, and a remark "
    "says so; a kit that is too large even then is refused before the search starts. The work ends when the client has "
    "gone."
)


OPERATION = Operation(
    operation_id="searchSetUps",
    path="/v1/set-ups/search",
    tag="plan",
    summary="Which set-ups of a kit fill the frame with a subject, best first",
    description=DESCRIPTION,
    answer=answer,
    answer_type=SearchAnswer,
    request_type=SearchRequest,
    by_query="none",
    takes_kit=True,
    examples=(
        Example(
            "seed-with-room-for-a-lamp",
            "A seed 12 mm wide and 1 mm deep, in one frame, with 50 mm before the glass (invented kit)",
            {
                "subject_width_mm": 12,
                "subject_depth_mm": 1,
                "camera": {"use": "field-camera"},
                "least_clearance_mm": 50,
                "most_stack_frames": 4,
                "best": 3,
            },
        ),
        Example(
            "wishes-that-nothing-meets",
            "Lichen 40 mm wide, from farther than a rig so short can do: what to relax (invented kit)",
            {
                "subject_width_mm": 40,
                "camera": {"mount": "bayonet-18.0", "sensor": "23.5x15.6"},
                "least_working_distance_mm": 150,
                "longest_rig_mm": 120,
                "best": 1,
            },
        ),
    ),
)
