"""`/v1/set-ups/search`."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from closeup_service.advice import cautions, search_remarks
from closeup_service.advice.caution_texts import Caution
from closeup_service.advice.kit_remarks import on_demo_kit
from closeup_service.advice.remark import Remark
from closeup_service.gear.errors import KitRefuses
from closeup_service.gear.kit import Camera, Kit, mount_face
from closeup_service.gear.kit_faults import unknown
from closeup_service.gear.kit_parts import not_in_kit
from closeup_service.gear.search import Result, document_of, search
from closeup_service.gear.search_asked import ARRANGEMENTS, BEST, TOLERANCE, Asked
from closeup_service.gear.search_found import Candidate
from closeup_service.gear.search_purchases import Bought, purchase_within
from closeup_service.gear.search_score import FORMULA, WISHES
from closeup_service.gear.search_units import usable
from closeup_service.optics.set_up import evaluate
from closeup_service.schemas.search import MOST_FRONT, SearchAnswer, SearchRequest
from closeup_service.web.operation import Example, Operation
from closeup_service.web.operations.set_up import diffraction_of, rail_figures

LIGHT = ("depth_of_field_model", "wavelength_nm")


def answer(asked: Mapping[str, Any]) -> dict[str, Any]:
    """Search the kit."""
    kit: Kit = asked["kit"]
    question = question_of(asked, kit)
    result = search(question)
    bought = None
    if not result.found.hits and "budget" in asked:
        bought = purchase_within(question, asked["budget"], result.arrangements)
    relaxed = relaxations(question, result)
    front = result.found.pareto
    listed = [*result.found.best, *front[:MOST_FRONT], *(candidate for _, _, candidate in relaxed)]
    members = {
        "magnification": question.magnification,
        "arrangements": result.arrangements,
        "framed": result.found.framed,
        "meeting": result.found.hits,
        "hits": [hit(question, candidate) for candidate in result.found.best],
        "pareto": [hit(question, candidate) for candidate in front[:MOST_FRONT]],
        "relaxations": [
            {
                "wish": wish,
                "asked": question.tolerance if wish == "tolerance" else question.wishes[wish],
                "nearest": nearest_of(question, wish, miss),
                "miss": None if math.isinf(miss) else miss,
                "hit": hit(question, candidate),
            }
            for wish, miss, candidate in relaxed
        ],
        "kit_revision": kit.revision,
        "assumed": assumed(asked),
        "remarks": [
            *on_demo_kit(kit.origin),
            *remarks_on(question, result, relaxed, listed),
            *remarks_on_purchase(asked, bought),
        ],
        "cautions": cautions_on(question, listed),
    }
    return members | purchase_member(bought)


def question_of(asked: Mapping[str, Any], kit: Kit) -> Asked:
    """What the engine is asked."""
    camera = camera_of(asked["camera"], kit)
    sizes = (("subject_width_mm", camera.sensor_width_mm), ("subject_height_mm", camera.sensor_height_mm))
    magnification = min(sensor / asked[name] for name, sensor in sizes if name in asked)
    return Asked(
        kit,
        camera,
        magnification,
        asked.get("tolerance", TOLERANCE),
        {wish: float(asked[wish]) for wish in WISHES if wish in asked},
        asked.get("subject_depth_mm"),
        frozenset(asked.get("arrangements", ARRANGEMENTS)),
        asked.get("best", BEST),
        {name: asked[name] for name in LIGHT if name in asked},
    )


def camera_of(members: Mapping[str, Any], kit: Kit) -> Camera:
    """Camera of the kit, or the one described."""
    if "use" in members:
        camera = kit.cameras_by_id.get(members["use"])
        if camera is None:
            raise KitRefuses([("/camera/use", not_in_kit(members["use"], kit.cameras_by_id, "camera"))])
        blur = members.get("circle_of_confusion_mm", camera.circle_of_confusion_mm)
        return replace(camera, circle_of_confusion_mm=blur)
    mount = kit.all_mounts.get(members["mount"])
    if mount is None:
        fault = unknown("mount", members["mount"], kit.all_mounts, "/v1/catalogue/mounts")
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


def hit(asked: Asked, candidate: Candidate) -> dict[str, Any]:
    """One set-up, its figures as evaluate gives them."""
    document = document_of(asked, candidate.uses)
    set_up = evaluate(document)
    depth = set_up.depth
    total = math.nan if depth is None else depth.front + depth.rear
    return {
        "parts": [words_of(use) for use in candidate.uses],
        "score": candidate.score,
        "criteria": dict(candidate.criteria),
        "magnification": set_up.magnification,
        "subject_width_mm": set_up.subject_width_mm,
        "subject_height_mm": set_up.subject_height_mm,
        "working_distance_mm": set_up.working_distance_mm,
        "clearance_mm": set_up.clearance_mm,
        "rig_length_mm": set_up.rig_length_mm,
        "effective_f_number": set_up.effective_f_number,
        "light_loss_stops": set_up.light_loss_stops,
        "subject_resolution_um": diffraction_of(set_up)["subject_resolution_um"],
        "total_mm": total if math.isfinite(total) else None,
        "stack_frames": rail_figures(document, set_up)["stack_frames"],
        "document": document,
    }


def words_of(use: Mapping[str, Any]) -> str:
    """Part by its id, with what is chosen of it."""
    words = [use["use"], use.get("setting"), "reversed" if use.get("reversed") else None]
    words += [f"f/{use['f_number']:g}" if "f_number" in use else None]
    words += [f"{use['length_mm']:.4g}mm" if "length_mm" in use else None]
    return " ".join(filter(None, words))


def relaxations(asked: Asked, result: Result) -> list[tuple[str, float, Candidate]]:
    """Wishes to relax, each with its miss and the nearest set-up; the least miss against its wish first."""
    found = result.found
    if found.hits:
        return []
    if not found.framed:
        return nearest_frame(asked, result)
    if found.nearest:
        order = sorted(found.nearest.items(), key=lambda each: each[1][0] / max(1.0, abs(asked.wishes[each[0]])))
        return [(wish, miss, candidate) for wish, (miss, candidate) in order]
    if found.nearest_of_all is None:
        return []
    candidate = found.nearest_of_all[1]
    return [(wish, miss, candidate) for wish, miss in candidate.misses if miss > 0]


def nearest_frame(asked: Asked, result: Result) -> list[tuple[str, float, Candidate]]:
    """What comes nearest to filling the frame."""
    if result.wider is None or result.wider.nearest_frame is None:
        return []
    candidate = result.wider.nearest_frame[1]
    return [("tolerance", abs(asked.magnification / candidate.magnification - 1) - asked.tolerance, candidate)]


def nearest_of(asked: Asked, wish: str, miss: float) -> float | None:
    """Figure that the nearest set-up reaches."""
    if math.isinf(miss):
        return None
    if wish == "tolerance":
        return asked.tolerance + miss
    return asked.wishes[wish] - WISHES[wish][1] * miss


def purchase_member(bought: Bought | None) -> dict[str, Any]:
    """Purchase that closes the gap, where one does."""
    if bought is None or bought.purchase is None:
        return {}
    found = bought.purchase
    return {
        "purchase": {
            "part": found.part.id,
            "in_kit": found.in_kit,
            "price": found.price,
            "hit": hit(found.asked, found.candidate),
        }
    }


def assumed(asked: Mapping[str, Any]) -> dict[str, Any]:
    """What was assumed of the search; what is assumed of each set-up evaluate says."""
    defaults = {"tolerance": TOLERANCE, "best": BEST, "arrangements": "all"}
    return {name: value for name, value in defaults.items() if name not in asked}


def remarks_on(
    asked: Asked, result: Result, relaxed: Sequence[tuple[str, float, Candidate]], listed: Iterable[Candidate]
) -> list[Remark]:
    """What is worth knowing of what was found."""
    kit, found = asked.kit, result.found
    unknown_sharpness = {
        use["use"] for candidate in listed if not candidate.sharp_known for use in candidate.uses if "f_number" in use
    }
    notes = search_remarks.sharpness_unknown(sorted(unknown_sharpness))
    unmarked = [lens.id for lens in usable(kit.lenses) if not all(setting.marks for setting in lens.settings)]
    notes += search_remarks.no_marks(unmarked)
    if not found.framed:
        frame = asked.magnification / relaxed[0][2].magnification if relaxed else None
        notes.append(search_remarks.nothing_frames(frame))
    elif not found.hits and not found.nearest and relaxed:
        notes.append(search_remarks.several_wishes([wish for wish, _, _ in relaxed]))
    if len(found.front) > MOST_FRONT:
        notes.append(search_remarks.front_cut(len(found.front), MOST_FRONT))
    return notes


def remarks_on_purchase(asked: Mapping[str, Any], bought: Bought | None) -> list[Remark]:
    """What is worth knowing of the purchase."""
    if bought is None:
        return []
    notes = [search_remarks.purchase_cut()] if bought.cut else []
    if bought.purchase is None:
        return [*notes, search_remarks.no_purchase(asked["budget"])]
    if bought.purchase.price is None:
        notes.append(search_remarks.price_unknown(bought.purchase.part.id))
    return notes


def cautions_on(asked: Asked, listed: Iterable[Candidate]) -> list[Caution]:
    """Cautions of all set-ups listed, each once."""
    found = [note for candidate in listed for note in cautions.for_train(document_of(asked, candidate.uses)["train"])]
    return cautions.in_order(found)


OPERATION = Operation(
    operation_id="searchSetUps",
    path="/v1/set-ups/search",
    tag="plan",
    summary="Which set-ups of a kit fill the frame with a subject, best first",
    description=(
        "Goes through every arrangement of the kit's parts that are owned and at hand: lenses at every setting, focused at "
        "infinity, mounted normally or reversed; before a normal one a close-up lens, two of them, a reversed lens, or an "
        "infinity-corrected objective; finite-conjugate objectives; behind them every set of tubes with or without one "
        "bellows, drawn out to fill the frame; a converter before the tubes or behind them. Parts are joined by the best "
        "chain of rings at hand, and what would need one ring twice is left out. Of stacks of tubes and bellows with one and "
        "the same length, that of fewest parts stands for all; a mark that does not limit the light is left out but the "
        "widest. " + FORMULA
    ),
    answer=answer,
    answer_schema=SearchAnswer(),
    request_schema=SearchRequest(),
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
