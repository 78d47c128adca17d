"""Clear opening: how wide the hole of a ring light, a hood, a guard or a diffuser must be where it stands."""

from closeup_service.gear.kit import Kit
from closeup_service.language import tr
from closeup_service.operations.asking.strict_json import JsonDict
from closeup_service.operations.light.clear_opening.schemas import ClearOpeningRequest
from closeup_service.pages.task import (
    Answers,
    Example,
    Group,
    Members,
    NotReady,
    Request,
    Step,
    Task,
    inputs,
    members_for,
)
from closeup_service.pages.tasks.common import SENSOR
from closeup_service.pages.tasks.known_lens import CAMERA_REGISTER, known_lens_group
from closeup_service.schemas.fields import declared_fields

OPENING = declared_fields(ClearOpeningRequest)
WORDS: dict[str, JsonDict] = {
    "distance_mm": {
        "own_label": "opening, before the front of the lens",
        "own_hint": "From the front rim to the plane of the hole. The place of the front has to be known then.",
    },
    "distance_from_subject_mm": {
        "own_label": "opening, from the subject",
        "own_hint": "From the subject to the plane of the hole.",
    },
    "opening_diameter_mm": {"own_label": "diameter of the hole", "own_hint": "To see what it takes from the picture."},
    "subject_diagonal_mm": {
        "own_label": "diagonal of what the frame shows",
        "own_hint": "On the subject, in place of the sensor.",
    },
}
FIRST = "openings/0"
PLACES = ("distance_from_subject_mm", "distance_mm")


def opening(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for one hole, which stands so far from the subject or from the front."""
    del answers, kit
    given = members_for(OPENING, members)
    if sum(name in given for name in PLACES) != 1:
        text = tr("Say once where the hole stands: from the subject, or before the front of the lens.")
        elsewhere = {name: value for name, value in given.items() if name not in PLACES}
        raise NotReady(text, PLACES[0], Request({**elsewhere, PLACES[0]: 1.0}))
    return Request(given)


TASK = Task(
    slug="clear-opening",
    stage="light",
    title="Hole of a ring light, hood or diffuser",
    question="How wide must the hole in front of my lens be?",
    lead="Say where the hole stands. It has to let through every ray of the picture, to the corners.",
    description=(
        "Calculate how wide the opening of a ring light, hood, guard or diffuser must be so that it takes no light from a "
        "close-up, and what too narrow a hole costs."
    ),
    groups=(
        Group(
            "Picture",
            inputs(OPENING, "magnification", "f_number", "focal_length_mm", "sensor", sensor=SENSOR),
        ),
        Group(
            "The hole",
            inputs(OPENING, "distance_from_subject_mm", "distance_mm", "opening_diameter_mm", **WORDS),
        ),
        Group(
            "Lens",
            inputs(
                OPENING,
                *("mounting", "pupil_magnification", "lens_register_mm", "front_principal_plane_mm"),
                "focusing_extension_mm",
            ),
            aside=True,
        ),
        known_lens_group(register=(CAMERA_REGISTER,)),
        Group(
            "Another size of sensor, or what the frame shows",
            inputs(OPENING, "sensor_width_mm", "sensor_height_mm", "subject_diagonal_mm", **WORDS),
            aside=True,
        ),
    ),
    steps=(
        Step(
            "findClearOpening",
            opening,
            (
                *(
                    f"{FIRST}/full_diameter_mm",
                    f"{FIRST}/axial_diameter_mm",
                    f"{FIRST}/clips",
                    f"{FIRST}/lit_field_share",
                ),
                *(f"{FIRST}/axial_loss_stops", f"{FIRST}/distance_from_subject_mm", f"{FIRST}/distance_mm"),
                *("working_distance_mm", "subject_diagonal_mm", "effective_f_number"),
            ),
        ),
    ),
    first=(f"{FIRST}/full_diameter_mm", f"{FIRST}/axial_diameter_mm", f"{FIRST}/clips"),
    examples=(
        Example(
            "A plate with a hole of 12 mm, 15 mm from a seed at 2:1",
            {
                "magnification": "2:1",
                "f_number": "f/4",
                "focal_length_mm": "60 mm",
                "sensor": "36x24",
                "distance_from_subject_mm": "15 mm",
                "opening_diameter_mm": "12 mm",
                "pupil_magnification": "1",
            },
        ),
        Example(
            "A ring light with a hole of 25 mm, 20 mm before a reversed 35 mm lens",
            {
                "magnification": "1.5:1",
                "f_number": "f/8",
                "focal_length_mm": "35 mm",
                "sensor": "23.5x15.6",
                "distance_mm": "20 mm",
                "opening_diameter_mm": "25 mm",
                "mounting": "reversed",
                "pupil_magnification": "1.3",
                "lens_register_mm": "45.46",
            },
        ),
    ),
)
