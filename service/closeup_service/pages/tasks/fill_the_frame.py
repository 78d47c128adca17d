"""Fill the frame: which magnification, and what it takes to reach it."""

from closeup_service.gear.catalogue import SENSORS
from closeup_service.gear.kit import Kit
from closeup_service.language import mark, tr
from closeup_service.operations.plan.magnification.schemas import MagnificationRequest
from closeup_service.operations.set_up.working_distance.schemas import WorkingDistanceRequest
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
    number_of,
    value_at,
)
from closeup_service.pages.tasks.common import SENSOR
from closeup_service.pages.tasks.known_lens import is_estimated, known_lens_group
from closeup_service.schemas.fields import declared_fields

FRAMING = declared_fields(MagnificationRequest)
DISTANCE = declared_fields(WorkingDistanceRequest)


SIZES = ("subject_width_mm", "subject_height_mm")
NO_SIZE = mark("Enter the width of the subject, its height, or both.")
ANY_SIZE_MM = 10.0
"""Width by which the rest of the form is judged where none is given."""


def framing(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the magnification; of width and height the one that needs the smaller magnification decides."""
    del answers, kit
    given = members_for(FRAMING, members)
    if not any(name in given for name in SIZES):
        raise NotReady(tr(NO_SIZE), SIZES[0], Request({**given, SIZES[0]: ANY_SIZE_MM}))
    width, height = number_of(given, "subject_width_mm"), number_of(given, "subject_height_mm")
    if width and height:
        shape = frame_shape(given)
        given.pop("subject_height_mm" if width / height >= shape else "subject_width_mm")
    return Request(given)


def frame_shape(given: Members) -> float:
    """Width of the sensor over its height; 1 while it is not known."""
    sensor = SENSORS.get(str(value_at(given, "sensor")))
    if sensor is not None:
        return sensor.width_mm / sensor.height_mm
    return (number_of(given, "sensor_width_mm") or 1.0) / (number_of(given, "sensor_height_mm") or 1.0)


def distance(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Ask where the subject stands, once the lens is known well enough."""
    del kit
    given = members_for(DISTANCE, members, magnification=value_at(answers, "findMagnification/magnification"))
    open_register = value_at(given, "mounting") == "reversed" and "lens_register_mm" not in given
    unknown = "focal_length_mm" not in given or (open_register and not is_estimated(members))
    return None if unknown else Request(given)


TASK = Task(
    slug="fill-the-frame",
    stage="plan",
    title="Fill the frame",
    question="Which magnification fills the frame with my subject?",
    lead=(
        "Measure the subject and say which sensor it is to fill. With the lens as well, the extension and the working distance "
        "follow."
    ),
    description=(
        "Work out the magnification that fills the frame with a small subject, the extension that reaches it, and how far the "
        "subject stands from the lens."
    ),
    groups=(
        Group(
            "Subject and sensor",
            inputs(
                FRAMING,
                *("subject_width_mm", "subject_height_mm", "sensor"),
                sensor=SENSOR,
                subject_width_mm={
                    "own_hint": "Along the longer side of the frame. Give the width, the height, or both."
                },
                subject_height_mm={"own_hint": "Along the shorter side of the frame."},
            ),
        ),
        Group("Another size of sensor", inputs(FRAMING, "sensor_width_mm", "sensor_height_mm"), aside=True),
        Group(
            "Lens, for extension and working distance",
            (
                *inputs(
                    FRAMING,
                    *("mounting", "focal_length_mm", "camera_register_mm", "lens_register_mm"),
                    *("front_principal_plane_mm", "focusing_extension_mm"),
                ),
                *inputs(DISTANCE, "principal_plane_separation_mm"),
            ),
            aside=True,
        ),
        known_lens_group(),
    ),
    steps=(
        Step(
            "findMagnification",
            framing,
            ("magnification", "extension_mm", "subject_width_mm", "subject_height_mm"),
        ),
        Step(
            "findWorkingDistance",
            distance,
            ("working_distance_mm", "subject_distance_mm", "subject_to_sensor_mm"),
            needs="findMagnification",
        ),
    ),
    first=("magnification", "extension_mm", "working_distance_mm"),
    weighed=SIZES,
    examples=(
        Example(
            "A lichen 15 mm wide on a sensor of 23.5 × 15.6 mm", {"subject_width_mm": "15 mm", "sensor": "23.5x15.6"}
        ),
        Example(
            "A seed head 1 1/2 inches wide and 1 inch high on 36 × 24 mm",
            {"subject_width_mm": "1 1/2 in", "subject_height_mm": "1 in", "sensor": "36x24", "units": "in"},
        ),
        Example(
            "The same lichen through a reversed 35 mm lens",
            {
                "subject_width_mm": "15",
                "sensor": "23.5x15.6",
                "mounting": "reversed",
                "focal_length_mm": "35 mm",
                "camera_register_mm": "18",
                "lens_register_mm": "45,46",
                "front_principal_plane_mm": "21",
            },
        ),
    ),
)
