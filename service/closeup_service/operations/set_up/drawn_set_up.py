"""A set-up made ready to be drawn: evaluated as `/v1/set-ups/evaluate` does, and placed along its axis."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Required, TypedDict, cast

from msgspec import Struct
from msgspec.structs import replace

from closeup_service.advice import drawing_remarks, lens_remarks
from closeup_service.advice.figures import decimal, ratio, with_ends, with_range
from closeup_service.advice.kit_remarks import demo_kit, parts_not_at_hand
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.drawing.scene import Scene
from closeup_service.gear.kit_parts import missing_parts, uses_kit
from closeup_service.gear.outlines import Outline, drawn_diameters, outlines
from closeup_service.language import tr
from closeup_service.operations.set_up.evaluate import operation as evaluating
from closeup_service.operations.set_up.evaluate.estimated import Central, Evaluation
from closeup_service.set_ups.along_axis import Axis, lay_out_axis
from closeup_service.set_ups.set_up import SetUp, evaluate
from closeup_service.set_ups.solve import OpenLength

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

    class Estimates(TypedDict, total=False):
        """What is told where lens data are estimated."""

        coverage: float
        estimated: Mapping[str, answers.EstimatedDatum]
        ranges: Mapping[str, answers.Range]
        measure_first: Sequence[str]

    class Extras(Estimates, total=False):
        """What is told of some set-ups only."""

        solved: answers.Solved
        kit_revision: str

    class Places(Extras, total=False):
        """Where everything stands along the axis."""

        magnification: Required[float | None]
        subject_width_mm: Required[float | None]
        subject_height_mm: Required[float | None]
        working_distance_mm: Required[float | None]
        clearance_mm: Required[float | None]
        rig_length_mm: Required[float | None]
        subject_to_sensor_mm: Required[float | None]
        flange_mm: Required[float]
        sensor_mm: Required[float]
        entrance_pupil_mm: Required[float | None]
        entrance_pupil_diameter_mm: Required[float | None]
        parts: Required[Sequence[answers.DrawnPart]]


ASSUMED_SENSOR_HEIGHT_MM = 24.0
WRITTEN_DIGITS = (4, 3)
"""Significant digits of a length among a part's settings: drawn out, and focused."""
SIZES = (
    "magnification",
    "subject_width_mm",
    "subject_height_mm",
    "working_distance_mm",
    "clearance_mm",
    "rig_length_mm",
    "subject_to_sensor_mm",
)


class DrawnSetUp(Struct, frozen=True):
    """A set-up as asked, its answer, its document written out and solved, and its parts along the axis.

    Where lens data are estimated, document and axis are those of a lens in the middle.
    """

    asked: requests.SetUpRequest
    evaluated: Evaluation
    document: requests.SetUpRequest
    set_up: SetUp
    axis: Axis
    parts: Sequence[Outline]

    @property
    def told(self) -> answers.SetUpAnswer:
        """Its answer."""
        return self.evaluated.answer

    @property
    def sensor_height_mm(self) -> float:
        """Height of the sensor, or the one that is drawn."""
        return self.document["camera"].get("sensor_height_mm", ASSUMED_SENSOR_HEIGHT_MM)

    @property
    def scene(self) -> Scene:
        """What the side view shows."""
        told: answers.SetUpAnswer = self.told
        return Scene(
            parts=self.parts,
            axis=self.axis,
            camera=camera_name(self.asked, self.document["camera"]),
            sensor_height_mm=self.sensor_height_mm,
            subject_height_mm=told["subject_height_mm"],
            working_distance_mm=told["working_distance_mm"],
            clearance_mm=told["clearance_mm"],
            rig_length_mm=told["rig_length_mm"],
            subject_to_sensor_mm=told["subject_to_sensor_mm"],
            ranges=told.get("ranges", {}),
            note=self.note,
        )

    @property
    def note(self) -> str:
        """What the drawing says of its estimates; empty where it has none."""
        if not self.evaluated.notes:
            return ""
        told: answers.SetUpAnswer = self.told
        return drawing_remarks.note_on_estimate(measured_first=told["magnification"] is None)


def drawn_set_up(asked: requests.SetUpRequest) -> DrawnSetUp:
    """Evaluate a set-up and place its parts; what cannot be is refused as `/v1/set-ups/evaluate` refuses it."""
    evaluated = evaluating.evaluate_asked(asked)
    plain_one = solved_document(evaluated.central)
    set_up = evaluate(plain_one)
    axis = lay_out_axis(plain_one, set_up)
    parts = outlines(asked, plain_one, axis, asked["kit"] if uses_kit(asked) else None)
    return DrawnSetUp(asked, evaluated, plain_one, set_up, axis, [say_solved(part, evaluated) for part in parts])


def say_solved(part: Outline, evaluated: Evaluation) -> Outline:
    """Part whose length was solved for, with that length's range in its words where lens data are estimated."""
    answer: answers.SetUpAnswer = evaluated.answer
    middle: answers.SetUpAnswer = evaluated.central.answer
    if not evaluated.notes or "solved" not in answer or not answer["solved"]["pointer"].startswith(f"{part.pointer}/"):
        return part
    length, drawn = answer["solved"]["value"], middle["solved"]["value"]
    assert drawn is not None
    ends = answer["ranges"].get("solved.value")
    said = tr("a length not told") if length is None else with_ends(length, ends, decimal, "mm")
    texts = (f"{decimal(drawn, digits)} mm" for digits in WRITTEN_DIGITS)
    written = next((text for text in texts if text in part.settings), "")
    return replace(part, settings=part.settings.replace(written, said)) if written else part


def solved_document(central: Central) -> requests.SetUpRequest:
    """Document of the set-up that is drawn, the open length filled in where one was solved."""
    answer: answers.SetUpAnswer = central.answer
    if "solved" not in answer:
        return central.document
    solved = answer["solved"]
    assert solved["value"] is not None
    return cast("requests.SetUpRequest", OpenLength(central.document, solved["pointer"]).fill(solved["value"]))


def camera_name(asked: requests.SetUpRequest, camera: requests.Camera) -> str:
    """Camera in words: its name in the kit, and its measures."""
    used = asked["camera"].get("use")
    if used is not None:
        return tr(
            "{name}, register {register_mm} mm",
            name=asked["kit"].cameras_by_id[used].name,
            register_mm=decimal(camera["register_mm"], 4),
        )
    told = tr("camera, register {register_mm} mm", register_mm=decimal(camera["register_mm"], 4))
    if "sensor_width_mm" not in camera:
        return told
    return f"{told}, {decimal(camera['sensor_width_mm'], 4)} x {decimal(camera['sensor_height_mm'], 4)} mm"


def places(drawn: DrawnSetUp) -> Places:
    """Members of an answer: where everything stands."""
    axis = drawn.axis
    told: answers.SetUpAnswer = drawn.told
    radius = axis.entrance_pupil_radius_mm
    found: Places = {
        "magnification": told["magnification"],
        "subject_width_mm": told["subject_width_mm"],
        "subject_height_mm": told["subject_height_mm"],
        "working_distance_mm": told["working_distance_mm"],
        "clearance_mm": told["clearance_mm"],
        "rig_length_mm": told["rig_length_mm"],
        "subject_to_sensor_mm": told["subject_to_sensor_mm"],
        "flange_mm": axis.flange_mm,
        "sensor_mm": axis.sensor_mm,
        "entrance_pupil_mm": axis.entrance_pupil_mm,
        "entrance_pupil_diameter_mm": None if radius is None else 2 * radius,
        "parts": [part_members(part) for part in drawn.parts],
    }
    return {**found, **extras_of(told, SIZES)}


def extras_of(told: answers.SetUpAnswer, names: Sequence[str]) -> Extras:
    """Estimates and their ranges, of these members; the open length where one was solved, the kit where one was used."""
    found: Extras = {}
    if "ranges" in told:
        kept = (*names, "solved")
        found["coverage"] = told["coverage"]
        found["estimated"] = told["estimated"]
        found["measure_first"] = [name for name in told["measure_first"] if name.split(".")[0] in kept]
        found["ranges"] = {name: ends for name, ends in told["ranges"].items() if name.split(".")[0] in kept}
    if "solved" in told:
        found["solved"] = told["solved"]
    if "kit_revision" in told:
        found["kit_revision"] = told["kit_revision"]
    return found


def part_members(part: Outline) -> answers.DrawnPart:
    """One part, as answered."""
    return {
        "pointer": part.pointer,
        "kind": part.kind,
        "name": part.name,
        "settings": part.settings,
        "start_mm": part.start_mm,
        "end_mm": part.end_mm,
        "length_known": part.length_known,
        "diameter_mm": part.diameter_mm,
        "diameter_known": part.diameter_known,
        "clear_diameter_mm": part.clear_diameter_mm,
    }


def assumed_in_drawing(drawn: DrawnSetUp) -> dict[str, float | str]:
    """What the set-up assumed, and what was chosen for the drawing alone."""
    chosen = {**drawn.axis.drawn, **drawn_diameters(drawn.parts)}
    if "sensor_height_mm" not in drawn.document["camera"]:
        chosen["/camera/drawn_sensor_height_mm"] = ASSUMED_SENSOR_HEIGHT_MM
    told: answers.SetUpAnswer = drawn.told
    return {**told["assumed"], **chosen}


def remarks_on_places(drawn: DrawnSetUp) -> list[Remark]:
    """What the drawing leaves open, and what in it is to no measure."""
    needs = {name: members for name, members in drawn.set_up.needs.items() if name in SIZES}
    return [
        *remarks_on_estimate(drawn),
        *undetermined_results(needs),
        *([lens_remarks.erect_image()] if drawn.set_up.erect else []),
        *drawing_remarks.unscaled_features(len(drawn_diameters(drawn.parts)), list(drawn.axis.drawn)),
        *remarks_on_kit(drawn),
    ]


def remarks_on_estimate(drawn: DrawnSetUp) -> list[Remark]:
    """What is worth knowing of estimated lens data."""
    return [*drawn.evaluated.notes, *remarks_on_middle_lens(drawn)]


def remarks_on_middle_lens(drawn: DrawnSetUp) -> list[Remark]:
    """Which lens is drawn, where lens data are estimated."""
    return [drawing_remarks.name_middle_lens()] if drawn.evaluated.notes else []


def magnification_in_words(told: answers.EstimatedMembers, magnification: float | None) -> str:
    """Magnification of a drawing, with its range where it has one; or that it is to be measured first."""
    if magnification is None:
        return tr("a magnification to be measured first")
    ranges: Mapping[str, answers.Range] = told.get("ranges", {})
    return with_range(magnification, ranges.get("magnification"), ratio)


def remarks_on_kit(drawn: DrawnSetUp) -> list[Remark]:
    """What is worth knowing of the kit that was used."""
    if not uses_kit(drawn.asked):
        return []
    kit = drawn.asked["kit"]
    return [*demo_kit(kit.origin), *parts_not_at_hand(missing_parts(drawn.asked, kit))]
