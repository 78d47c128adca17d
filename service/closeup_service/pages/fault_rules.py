"""What the page says in place of faults of the operations, by the sources of those in the catalogue of texts."""

from collections.abc import Mapping

from msgspec import Struct


class Rule(Struct, frozen=True):
    """What is said in place of some texts, whose places it can use; `{ask}` asks for the field, `instead` names another.

    Only a text whose places hold what `where` says is meant; `other` is what the place `{other}` holds: a member, or a place
    of the text.
    """

    sources: tuple[str, ...]
    said: str
    instead: str = ""
    where: Mapping[str, str] = {}
    other: str = ""


ASK = "{ask}"
TOGETHER = "{ask} It is needed together with “{other}”."


def together(source: str, other: str) -> Rule:
    """Rule for what is needed with another member."""
    return Rule((source,), TOGETHER, other=other)


RULES = (
    Rule(
        (
            "This member is required.",
            "Needed, or the effective f-number in its place.",
            "Give the subject's width, its height, or both; or the magnification wanted.",
        ),
        ASK,
    ),
    Rule(
        (
            "Give one of: {choices}.",
            "Give one of: {choices}. {beside}",
            "Give one of: {names}; or #rrggbb{beside}.",
        ),
        "Choose one of the list.",
    ),
    Rule(
        ("Give {words}.",),
        "Enter a share of full power, such as 1/64.",
        where={"words": "a share of full power from 0.000001 to 1, such as 0.015625 for 1/64"},
    ),
    Rule(
        ("Give the blur you accept on the sensor, or the sensor to assume its diagonal / 1500.",),
        "Choose the sensor of your camera, or enter the circle of confusion that you accept.",
        "sensor",
    ),
    Rule(
        ("Give the sensor by its id or by its width and height, not both.",),
        "Choose a sensor of the list, or enter its width and height; not both.",
    ),
    Rule(
        ("The kit states it: leave it out.",),
        "The part of the kit has a value of its own. Leave this field blank, or choose no part of the kit.",
    ),
    Rule(("The kit has no {what} {name}; {hint}.",), "The kit has no “{name}”. Choose one of the list."),
    Rule(("There is no {what} {name}; {hint}",), "There is no {what} “{name}”. Choose one of the list."),
    Rule(
        ("Needed: the two sensors are compared. Give it by its id, or its width and height.",),
        "{ask} The two sensors are compared.",
    ),
    Rule(
        ("Counts for method {only} only: leave it out, or give that method.",),
        "This counts only where something else moves. Leave this field blank, or change what moves.",
    ),
    Rule(
        ("{part_id} goes from {least:g} to {greatest:g} mm.", "The part goes from {least:g} to {greatest:g} mm."),
        "Enter a number from {least} to {greatest} mm.",
    ),
    Rule(
        (
            "A flat subject needs no depth: set the aperture at which the lens itself is sharpest, and see /v1/diffraction "
            "for what stopping down costs.",
        ),
        "A flat subject needs no depth: leave this field blank.",
    ),
    Rule(
        ("Given for the planned frame, so it counts: give that of the reference frame too.",),
        "{ask} The new frame states this setting, so that of the frame that was right counts too.",
    ),
    Rule(
        ("Needed: the new value is reckoned from that of the reference frame.",),
        "{ask} The new setting is calculated from it.",
    ),
    Rule(
        ("The shutter does not change a flash's light: solve for another setting, or give light continuous.",),
        "The exposure time does not change the light of a flash. Choose another setting to find.",
    ),
    Rule(
        ("Give the aperture (f_number or effective_f_number) or the distance of the flash: the other follows.",),
        "Enter the flash distance, or the marked f-number: the other follows.",
    ),
    Rule(
        ("Give exactly one of: {names}.",),
        ASK,
        "measured_magnification",
        where={"names": "magnification, subject_width_mm"},
    ),
    Rule(("Give exactly one of: {names}.",), "Enter exactly one of: {names}."),
    Rule(("Give a number from {low} to {high}{unit}.",), "Enter a number from {low} to {high}{unit}."),
    Rule(("Needed where figure is effective_f_number.",), "{ask} It is needed to find the effective f-number."),
    Rule(("The train holds no lens: add one.",), "Add a lens."),
    Rule(
        ("The train is focused at infinity: the magnification is zero. Add extension.",),
        "The set-up is focused at infinity: the magnification is zero. Add extension.",
    ),
    Rule(
        ("The magnification is not determined without {missing}. {hints}",),
        "Enter the {missing}: without it the magnification cannot be calculated. {hints}",
    ),
    Rule(
        ("The aperture is not determined without {needs}.",),
        "Enter the {needs}: without it the aperture cannot be calculated.",
    ),
    Rule(
        ("The working distance is not determined. {pointer}",), "The working distance cannot be calculated. {pointer}"
    ),
    Rule(
        ("Needed with the viewing distance or acuity.",),
        "{ask} Viewing distance and acuity count for a print only.",
    ),
    Rule(
        (
            "Needed for marks read at the edges: the sensor, used_width_mm, or pixel_pitch_um with image_width_px. Marks "
            "within the frame need their places or distance_px.",
        ),
        "{ask} It is needed for marks at the edges of the frame. For other marks, enter the distance between them.",
    ),
    Rule(
        ("Needed to turn pixels into mm on the sensor: pixel_pitch_um, or the sensor's width with image_width_px.",),
        "{ask} The pixel pitch, or the sensor and the width of the picture, say how large a pixel is.",
    ),
    Rule(
        ("Give both places in full: {positions}; or distance_px alone.",),
        "Enter all four places of the two marks, or the distance of the marks alone.",
    ),
    Rule(
        ("Give the sensor, or its width and height, to find the magnification by {route}.",),
        "Choose the sensor, or enter its width and height.",
    ),
    Rule(
        (
            "register_mm less focal_length_mm puts the rear principal plane at {by_register:.6g} mm, "
            "rear_principal_plane_mm at {given:.6g} mm. Give one of the two.",
        ),
        "The register of the lens and its rear principal plane contradict each other. Enter one of the two.",
    ),
    Rule(
        (
            "No length from {least:g} to {greatest:g} mm gives {target} {wanted:.6g}: the nearest attainable is "
            "{reached:.6g}, at {at:.6g} mm. Beyond that: {refused}",
        ),
        "With lengths from {least} to {greatest} mm the {target} cannot be {wanted}. The nearest is {reached}, at {at} mm. "
        "Beyond that: {refused}",
    ),
    Rule(
        (
            "No length from {least:g} to {greatest:g} mm gives {target} {wanted:.6g}: the nearest attainable is "
            "{reached:.6g}, at {at:.6g} mm.",
        ),
        "With lengths from {least} to {greatest} mm the {target} cannot be {wanted}. The nearest is {reached}, at {at} mm.",
    ),
    together("Needed with {from_front}: it says where the front is. Or give distance_from_subject_mm.", "{from_front}"),
    together("Needed with source_diameter_mm: the one counts against the other.", "source_diameter_mm"),
    together("Needed with {value}, which is weighed by it against the magnifications.", "{value}"),
    together("Needed with magnification: pixel_pitch_um, or the sensor or its used width.", "magnification"),
    together("Needed with perspective_distance_mm: the depth over which the scale changes.", "perspective_distance_mm"),
    together("Needed with image_height_px: give the picture's size in full.", "image_height_px"),
    together("Needed with most_stack_frames.", "most_stack_frames"),
    together("Needed with ambient_share: ambient light falls for that time.", "ambient_share"),
    together("Needed with subject_width_mm.", "subject_width_mm"),
    together(
        "Needed with exit_pupil_diameter_mm: their ratio counts. Or measure wide open and give widest_f_number.",
        "exit_pupil_diameter_mm",
    ),
    together("Needed with scatter_covariance: how well its scatter is known.", "scatter_covariance"),
    together("Needed with crop_factor: the whole sensor, of which a part was used.", "crop_factor"),
    Rule(
        ("Needed with the exposure's magnifications: which length changes for them.",),
        "{ask} It is needed together with “the exposure's magnifications”.",
    ),
    Rule(
        ("Needed with method ring: the magnification changes by the travel over it.",),
        "{ask} It is needed together with “method ring”.",
    ),
    together("Needed with {name}: {reason}.", "{name}"),
    Rule(
        ("Needed for a lens mounted reversed: its front plane is measured from the sensor.",),
        "{ask} It is needed for a lens mounted reversed: its front plane is measured from the sensor.",
    ),
    Rule(("Needed to solve for a subject width.",), "{ask} It is needed to solve for a subject width."),
    Rule(
        ("Needed for a dial: see the head's instructions.",),
        "{ask} It is needed for a dial: see the head's instructions.",
    ),
    Rule(
        ("Needed to find the blur on the sensor from the print.",),
        "{ask} It is needed to find the blur on the sensor from the print.",
    ),
)
"""In their order; the first whose source a text was worded from is said."""
