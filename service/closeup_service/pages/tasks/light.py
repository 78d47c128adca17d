"""How much light: what the marked aperture really is, a new setting from a frame that was right, flash by guide number."""

from collections.abc import Iterable

from closeup_service.gear.kit import Kit
from closeup_service.language import mark
from closeup_service.operations.asking.strict_json import JsonDict
from closeup_service.operations.light.exposure.frame_schemas import PlannedSchema, ReferenceSchema
from closeup_service.operations.light.exposure.request_schemas import ExposureRequest
from closeup_service.operations.light.flash.schemas import FlashRequest
from closeup_service.operations.set_up.effective_f_number.schemas import EffectiveFNumberRequest
from closeup_service.optics.flash_power import FRACTION
from closeup_service.pages.task import (
    Answers,
    Example,
    Group,
    Input,
    Members,
    Request,
    Step,
    Task,
    inputs,
    members_for,
    value_at,
)
from closeup_service.pages.tasks.known_lens import CAMERA_REGISTER, known_lens_group
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.flash_scale import BOUNDS

APERTURE = declared_fields(EffectiveFNumberRequest)
REFERENCE = declared_fields(ReferenceSchema)
PLANNED = declared_fields(PlannedSchema)
EXPOSURE = declared_fields(ExposureRequest)
FLASH = declared_fields(FlashRequest)

BEFORE = "before_"
GUIDE_NUMBER = "guide_number_m"
OF_THE_REFERENCE = ("magnification", "f_number", "exposure_time_s", "iso", "flash_power", "flash_distance_mm")
OF_THE_PLAN = ("exposure_time_s", "iso", "flash_power", "flash_distance_mm")
SHARED = ("f_number", "pupil_magnification", "mounting")
"""What the reference's lens has in common with the planned frame's, where the form does not say otherwise."""

WORDS = {
    "magnification": mark("earlier magnification"),
    "f_number": mark("earlier marked f-number"),
    "exposure_time_s": mark("earlier exposure time"),
    "iso": mark("earlier ISO speed"),
    "flash_power": mark("earlier flash power"),
    "flash_distance_mm": mark("earlier flash distance"),
}
"""Labels of the fields of the frame that was right; the page knows one scale of the flash's power, the one that is assumed."""
MARK_HINT = "As set on the lens. Not needed where both frames are taken at the same mark."
FIND_HINT = "Not needed where the earlier frame states one setting only."
POWER: JsonDict = {
    "own_hint": "As a share of full power, such as 1/64.",
    "own_range": BOUNDS[FRACTION][:2],
}


def aperture(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Ask for the effective f-number; without a mark only where no earlier frame and no flash is asked about."""
    del answers, kit
    asks_else = is_compared(members) or GUIDE_NUMBER in members
    return None if asks_else and "f_number" not in members else Request(members_for(APERTURE, members))


def is_compared(members: Members) -> bool:
    """Whether an earlier frame is told."""
    return "unknown" in members or any(BEFORE + name in members for name in OF_THE_REFERENCE)


def setting_to_find(members: Members) -> object:
    """Setting to find: the one that is chosen, or the only one of the earlier frame that the new one does not state."""
    open_settings = [name for name in OF_THE_PLAN if BEFORE + name in members and name not in members]
    return value_at(members, "unknown") or (open_settings[0] if len(open_settings) == 1 else None)


def exposure(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Ask for the open setting, once an earlier frame is told."""
    del answers, kit
    if not is_compared(members):
        return None
    before = {name: members[BEFORE + name] for name in OF_THE_REFERENCE if BEFORE + name in members}
    reference = {name: members[name] for name in SHARED if name in members} | before
    names = ("magnification", "f_number", *OF_THE_PLAN)
    planned = {name: members[name] for name in names if name in members}
    lens = {name: members[name] for name in ("focal_length_mm", "lens_register_mm") if name in members}
    request: dict[str, object] = {"reference": reference, "planned": planned, **lens}
    unknown = setting_to_find(members)
    if unknown is not None:
        request["unknown"] = unknown
        planned.pop(str(unknown), None)
    return Request(request, places([name for name in reference if name not in before], planned))


def places(shared: Iterable[str], planned: Iterable[str]) -> dict[str, str]:
    """Fields of the form behind the members of the two frames; those shared are the planned frame's."""
    of_reference = {f"/reference/{name}": BEFORE + name for name in OF_THE_REFERENCE}
    of_reference |= {f"/reference/{name}": name for name in shared}
    return of_reference | {f"/planned/{name}": name for name in (*planned, *OF_THE_PLAN)}


def flash(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Ask by the guide number, where one is given."""
    del answers, kit
    return Request(members_for(FLASH, members)) if GUIDE_NUMBER in members else None


def reference_fields() -> tuple[Input, ...]:
    """Fields of the frame that was right."""
    return tuple(
        Input(BEFORE + name, name, REFERENCE[name], words, **(POWER if name == "flash_power" else {}))
        for name, words in WORDS.items()
    )


TASK = Task(
    slug="light",
    stage="light",
    title="How much light",
    question="How much light is lost, and what do I set?",
    lead=(
        "Enter the aperture and the magnification to see how much light is lost. Add a frame that was right to find the new "
        "exposure time, ISO speed, aperture or flash power. Add a guide number to find the power or the distance of the flash."
    ),
    description=(
        "Work out the effective f-number and the light lost to magnification, and the new exposure time, ISO speed or flash "
        "power from a frame that was right."
    ),
    groups=(
        Group(
            "New frame",
            inputs(
                APERTURE,
                *("f_number", "magnification", "mounting", "pupil_magnification"),
                f_number={"optional": True, "own_hint": MARK_HINT},
            ),
        ),
        known_lens_group(inputs(APERTURE, "focal_length_mm", "lens_register_mm"), (CAMERA_REGISTER,)),
        Group(
            "From an earlier frame that was right",
            (
                *reference_fields(),
                *inputs(
                    EXPOSURE,
                    "unknown",
                    unknown={"own_label": "setting to find", "own_hint": FIND_HINT, "optional": True},
                ),
            ),
            aside=True,
            lead="Enter what you know of the frame that came out right. Lens and aperture are the same, unless given here.",
        ),
        Group(
            "Settings of the new frame",
            inputs(PLANNED, *OF_THE_PLAN, flash_power=POWER),
            aside=True,
            lead="Enter what you change. Leave out what stays the same, and the setting to find.",
        ),
        Group(
            "Flash by guide number",
            inputs(FLASH, "guide_number_m", "pops", "transmission", "source_diameter_mm", "flash_power_fraction"),
            aside=True,
            lead="With the flash distance of the new frame you get the power, without it the distance at full power.",
        ),
    ),
    steps=(
        Step(
            "findEffectiveFNumber",
            aperture,
            ("effective_f_number", "light_loss_stops", "exposure_factor", "numerical_aperture"),
        ),
        Step(
            "findExposure",
            exposure,
            (
                *("marked_as", "planned/exposure_time_s", "planned/iso", "planned/f_number", "planned/flash_power"),
                *("planned/flash_distance_mm", "difference_stops", "nominal_difference_stops"),
                *("reference/effective_f_number", "planned/effective_f_number"),
            ),
            title="New setting",
        ),
        Step(
            "findFlash",
            flash,
            (
                *("flash_distance_mm", "flash_power_fraction", "flash_power_stops", "pops"),
                "exposure_difference_stops",
            ),
            title="Flash by guide number",
        ),
    ),
    first=("effective_f_number", "light_loss_stops", "marked_as"),
    examples=(
        Example(
            "The marked f/8 of a reversed lens at 2:1",
            {"f_number": "f/8", "magnification": "2:1", "mounting": "reversed", "pupil_magnification": "1.3"},
        ),
        Example(
            "Right at 1:1 with 1/125 s: which time at 3:1?",
            {
                "f_number": "8",
                "magnification": "3:1",
                "mounting": "reversed",
                "pupil_magnification": "1,3",
                "unknown": "exposure_time_s",
                "before_magnification": "1:1",
                "before_exposure_time_s": "1/125",
            },
        ),
        Example(
            "Flash right at 1/32 at 1:1: which power at 2.5:1?",
            {"magnification": "2.5:1", "before_magnification": "1:1", "before_flash_power": "1/32"},
        ),
        Example(
            "A flash of guide number 36 at 40 cm, at 1.5:1",
            {
                "f_number": "f/8",
                "magnification": "1.5:1",
                "guide_number_m": "36 m",
                "flash_distance_mm": "40 cm",
            },
        ),
    ),
)
