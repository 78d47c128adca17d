"""A lens calibrated by frames of a ruler: its focal length and planes, with how sure they are."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from msgspec.structs import replace

from closeup_service.advice.figures import figure
from closeup_service.gear.kit import Kit
from closeup_service.language import tr
from closeup_service.operations.asking.strict_json import JsonDict
from closeup_service.operations.chart.calibration_chart.schemas import CalibrationChartRequest
from closeup_service.operations.measure.lens_calibration.schemas import LensCalibrationRequest
from closeup_service.operations.measure.scale_bar.schemas import ScaleBarRequest
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.task import (
    Answers,
    Drawing,
    Example,
    Group,
    Members,
    NotReady,
    PageLead,
    Request,
    Step,
    Table,
    Task,
    WrittenTable,
    inputs,
    members_for,
)
from closeup_service.pages.tasks.common import page_address
from closeup_service.pages.tasks.known_lens import (
    ESTIMATE_FIELD,
    FRAME_FIELDS,
    KNOWN,
    is_estimated,
    known_fields,
    known_lens,
    members_for_kit,
)
from closeup_service.pages.tasks.ruler_frames import (
    MAGNIFICATION,
    MOST,
    READING,
    SHOWN,
    distance_fields,
    frame_fields,
    frames_of,
)
from closeup_service.schemas.describing import label
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN

if TYPE_CHECKING:
    from closeup_service.records.answers import LensCalibrationAnswer, MeasuredLens
    from closeup_service.records.requests import CalibrationFields, CalibrationFrame

CALIBRATION = declared_fields(LensCalibrationRequest)
CHART = declared_fields(CalibrationChartRequest)
BAR = declared_fields(ScaleBarRequest)
STEP = "calibrateLens"
DATA = (
    *("focal_length_mm", "front_principal_plane_mm", "rear_principal_plane_mm", "principal_plane_separation_mm"),
    *("pupil_magnification", "extension_at_infinity_mm", "f_number_estimate"),
)


def lens(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the lens that the frames show; with its engraved focal length what they leave open is estimated."""
    del answers, kit
    given = members_for(CALIBRATION, members)
    places: dict[str, str] = {}
    frames = list(frames_of(members, places))
    if not frames:
        raise NotReady(tr("Give the magnification of at least one frame."), MAGNIFICATION.format(1))
    if len(frames) == 1 and "focal_length_mm" not in members:
        text = tr("With one frame, give the engraved focal length. Or add a frame with other rings.")
        raise NotReady(text, "focal_length_mm")
    asked = Request({**given, "frames": frames}, {**places, "/frames": MAGNIFICATION.format(1)})
    return with_engravings(asked, members) if "focal_length_mm" in members and is_estimated(members) else asked


def with_engravings(asked: Request, members: Members) -> Request:
    """Request that estimates what the frames leave open, with what stands on the lens."""
    known = known_lens(members, None, None, "camera_register_mm")
    estimating = {**asked.members, **known.members, ESTIMATE_UNKNOWN: True}
    return replace(asked, members=estimating, places={**known.places, **asked.places})


def chart(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Chart the frames against the lens, by what they tell alone, once there are two."""
    asked = lens(members, answers, kit).members
    if len({frame.get("extension_mm") for frame in frames_of(members, {})}) < 2:
        return None
    alone = {name: value for name, value in asked.items() if name in CHART and name != "focal_length_mm"}
    return Request(alone)


def write_intervals(answer: Members, kit: Kit) -> list[tuple[str, ...]]:
    """Interval of each datum that has one."""
    del kit
    told: LensCalibrationAnswer = cast("LensCalibrationAnswer", answer)
    low, high = (cast("Members", each) for each in (told["lower_95"], told["upper_95"]))
    return [
        (label(name), *(written(each, name) for each in (answer[name], low[name], high[name])))
        for name in DATA
        if low[name] is not None and high[name] is not None
    ]


def written(value: object, name: str) -> str:
    """One figure of the lens."""
    return figure(cast("float", value), name, VOCABULARY[name].unit)


def set_up_address(members: Members, answers: Answers, kit: Kit) -> str:
    """Page of a set-up with the lens that was found; where data are estimated, with what they are estimated from."""
    del kit
    told: LensCalibrationAnswer = cast("LensCalibrationAnswer", answers[STEP])
    form: CalibrationFields = cast("CalibrationFields", members)
    found = told.get("lens")
    if found is None:
        return ""
    camera = {
        "register_mm": form.get("camera_register_mm"),
        "reversed": "yes" if form.get("mounting") == "reversed" else None,
        "tube_mm": first_frame(members).get("extension_mm") or None,
    }
    lens_fields = fields_of_estimated(members) if "estimated" in told else fields_of_found(found)
    return page_address("set-up", {**camera, **lens_fields})


def fields_of_found(found: MeasuredLens) -> dict[str, object]:
    """Data of the lens that was found, as the form of a set-up takes them."""
    return {**{name: found.get(name) for name in DATA[:5]}, "lens_register_mm": found.get("register_mm")}


def first_frame(members: Members) -> CalibrationFrame:
    """The first frame that is given."""
    return cast("CalibrationFrame", next(frames_of(members, {})))


def fields_of_estimated(members: Members) -> dict[str, object]:
    """What the form says of a lens that is estimated, with the first frame as the photograph of a ruler."""
    names = ("focal_length_mm", "lens_register_mm", *KNOWN)
    frame = {"mounting": "normal", **members_for(("mounting",), members), **first_frame(members)}
    read = {field: frame.get(member) for member, field in FRAME_FIELDS.items()}
    return {**{name: members.get(name) for name in names}, **read}


def kept_lens(members: Members, answers: Answers, kit: Kit) -> Members | None:
    """The lens that was found, as a kit states a lens; where data are estimated, what they are estimated from."""
    del members, kit
    told: LensCalibrationAnswer = cast("LensCalibrationAnswer", answers[STEP])
    found = told.get("known_lens") or told.get("lens")
    return None if found is None else members_for_kit(cast("Members", found))


WORDS: dict[str, JsonDict] = {
    "mounting": {"own_hint": "Which way round the lens stood in every frame; on its mount where nothing is chosen."},
    "focal_length_mm": {
        "own_label": "engraved focal length",
        "own_hint": "Needed with a single frame. What the frames leave open is then estimated.",
    },
    "lens_register_mm": {"own_hint": "Of the mount that the lens was made for."},
    "relative_uncertainty": {
        "own_label": "each magnification is sure within",
        "own_hint": "As a standard uncertainty, such as 0.3 %. Where nothing is given, the scatter of the frames tells it.",
    },
}

TASK = Task(
    slug="calibrate-a-lens",
    stage="measure",
    title="Calibrate a lens",
    question="What are the true focal length and planes of my lens?",
    lead=(
        "Photograph a ruler with the lens on rings or bellows, at two extensions or more, and give what the ruler shows. Three "
        "frames or more also tell how sure the result is."
    ),
    description=(
        "Calculate the focal length and principal planes of a lens from photographs of a ruler at known extensions, with their "
        "uncertainty and a chart."
    ),
    groups=(
        Group(
            "Lens and camera",
            inputs(CALIBRATION, "mounting", "camera_register_mm", "lens_register_mm", "focal_length_mm", **WORDS),
        ),
        Group(
            "Frames of a ruler",
            frame_fields(1, SHOWN),
            lead=(
                "Focus the lens on infinity. Give all that stands between lens and camera, 0 for nothing, and the "
                "magnification that you read: where 24.5 mm of the ruler fill a frame 36 mm wide, write 36:24.5."
            ),
        ),
        Group("More frames", frame_fields(SHOWN + 1, MOST), aside=True),
        Group("How sure the readings are", inputs(BAR, READING, **WORDS), aside=True),
        Group("Working distances", distance_fields(), aside=True),
        Group(
            "Pupils, and what stands on the lens",
            (
                *inputs(CALIBRATION, "entrance_pupil_diameter_mm", "exit_pupil_diameter_mm"),
                *known_fields("lens_class", "widest_f_number", "zoom_from_mm", "zoom_to_mm"),
                ESTIMATE_FIELD,
            ),
            aside=True,
        ),
    ),
    steps=(
        Step(
            STEP,
            lens,
            DATA,
            (
                WrittenTable("Within which limits (95 %)", ("Datum", "Result", "From", "To"), write_intervals),
                Table(
                    "residuals",
                    "How far each frame lies from the lens that was found",
                    ("extension_mm", "magnification", "magnification_residual", "standardised_residual", "outlier"),
                ),
            ),
        ),
    ),
    drawings=(Drawing("chartCalibration", chart, "The frames and the lens that was found"),),
    keeps=kept_lens,
    leads=(PageLead(set_up_address, "Everything about a set-up with this lens"),),
    first=("focal_length_mm", "front_principal_plane_mm"),
    examples=(
        Example(
            "A 35 mm lens reversed on rings, four frames read to 0.3 %",
            {
                "mounting": "reversed",
                "camera_register_mm": "18",
                "extension_1_mm": "31",
                "magnification_1": "1.001",
                "extension_2_mm": "45",
                "magnification_2": "1.397",
                "extension_3_mm": "60",
                "magnification_3": "1.831",
                "extension_4_mm": "80",
                "magnification_4": "2.398",
                "relative_uncertainty": "0.3 %",
            },
        ),
        Example(
            "A 28 mm lens reversed, one frame and what stands on its barrel",
            {
                "mounting": "reversed",
                "camera_register_mm": "44",
                "lens_register_mm": "45.46",
                "focal_length_mm": "28 mm",
                "extension_1_mm": "7 mm",
                "magnification_1": "2.15:1",
                "widest_f_number": "f/2.8",
            },
        ),
    ),
)
