"""What the page on sharpness asks: at the aperture that is set, or at the one that covers the depth of the subject."""

from closeup_service.gear.kit import Kit
from closeup_service.language import mark, tr
from closeup_service.operations.chart.stack_chart.schemas import StackChartRequest
from closeup_service.operations.set_up.depth_of_field.schemas import DepthOfFieldRequest
from closeup_service.operations.set_up.diffraction.schemas import DiffractionRequest
from closeup_service.operations.set_up.format_equivalence.schemas import FormatEquivalenceRequest
from closeup_service.operations.set_up.optimum_aperture.schemas import OptimumApertureRequest
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.task import (
    Answers,
    LeftOut,
    Members,
    Request,
    members_for,
    number_of,
    value_at,
)
from closeup_service.pages.tasks.common import page_address
from closeup_service.schemas.describing import bounds
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.sharpness import PRINT_FIELDS

DEPTH = declared_fields(DepthOfFieldRequest)
DIFFRACTION = declared_fields(DiffractionRequest)
OPTIMUM = declared_fields(OptimumApertureRequest)
STACK = declared_fields(StackChartRequest)
EQUIVALENCE = declared_fields(FormatEquivalenceRequest)
COVERING = bounds(OPTIMUM["model"]).get("choices", [])
WITHOUT_BLUR = ("wave", "contrast")
"""Models that need no blur on the sensor."""
BLURS = ("sensor", "sensor_width_mm", "sensor_height_mm", "circle_of_confusion_mm", *PRINT_FIELDS)
NO_BLUR = mark("Choose the sensor of your camera to get the depth of field too.")


def aperture(members: Members, answers: Answers) -> dict[str, object]:
    """Aperture that is set, or that covers the depth of the subject; none where there is neither."""
    covering = value_at(answers, "findOptimumAperture/covering_f_number")
    if "f_number" in members:
        return {"f_number": number_of(members, "f_number")}
    held = isinstance(covering, float) and VOCABULARY["f_number"].holds(covering)
    return {"f_number": covering} if held else {}


def depth(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Ask for the depth of field; left out where nothing says what counts as sharp."""
    del kit
    mark = aperture(members, answers)
    if not mark and "f_number" not in members and "subject_depth_mm" in members:
        return None
    if value_at(members, "model") not in WITHOUT_BLUR and not any(name in members for name in BLURS):
        raise LeftOut(tr(NO_BLUR), "sensor")
    return Request(members_for(DEPTH, {**members, **mark}))


def optimum(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Ask which aperture the subject's depth needs; the model of the contrast is no model of a depth to cover."""
    del answers, kit
    if "subject_depth_mm" not in members:
        return None
    given = members_for(OPTIMUM, members)
    if value_at(given, "model") not in COVERING:
        given.pop("model", None)
    return Request(given)


def diffraction(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Ask what diffraction costs at the aperture; without one only where no depth says which is looked for."""
    del kit
    mark = aperture(members, answers)
    if not mark and "subject_depth_mm" in members:
        return None
    return Request(members_for(DIFFRACTION, {**members, **mark}))


def stack(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Ask for the stack over the subject's depth at the aperture."""
    del kit
    asked = members_for(STACK, {**members, **aperture(members, answers)})
    return Request(asked) if all(name in asked for name in ("subject_depth_mm", "magnification", "f_number")) else None


def stack_address(members: Members, answers: Answers, kit: Kit) -> str:
    """Page of a focus stack with what is known; none where the subject has no depth."""
    asked = stack(members, answers, kit)
    return "" if asked is None else page_address("focus-stack", asked.members)


def equivalence(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Ask for the same picture on another sensor, once one is chosen; the blur is that of the print where one is given.

    The register of a lens on its mount counts only beside that of the other camera, which the form does not ask for.
    """
    del kit
    if "other_sensor" not in members or "f_number" not in members:
        return None
    blur = value_at(answers, "findDepthOfField/circle_of_confusion_mm") if "print_width_mm" in members else None
    given = members_for(EQUIVALENCE, {"circle_of_confusion_mm": blur, **members})
    if given.get("mounting") != "reversed":
        given.pop("lens_register_mm", None)
    return Request(given)
