"""What the page of a set-up draws, and where it leads on."""

from closeup_service.gear.kit import Kit
from closeup_service.pages.task import Answers, Drawing, Lead, Members, Request, Table
from closeup_service.pages.tasks.train_form import request, settle_length, solved_length

DRAWN_WIDTH, DRAWN_HEIGHT = "drawn_width_mm", "drawn_height_mm"
"""Fields of the form for the subject that is drawn into the frame."""


def draw_frame(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Draw the subject into the frame, once its width is given."""
    if DRAWN_WIDTH not in members:
        return None
    height = {"subject_height_mm": members[DRAWN_HEIGHT]} if DRAWN_HEIGHT in members else {}
    return Request({**request(members, answers, kit).members, "subject_width_mm": members[DRAWN_WIDTH], **height})


def draw_length_chart(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Chart the magnification along the length that was found."""
    solved = solved_length(answers)
    built = settle_length(members, answers, kit)
    return Request({**built.members, "along": solved["pointer"]}) if solved else None


DRAWINGS = (
    Drawing(
        "drawSetUp",
        request,
        "The set-up in side view, to scale",
        tables=(
            Table("parts", "Parts along the axis, from the subject", ("name", "start_mm", "end_mm", "diameter_mm")),
        ),
    ),
    Drawing(
        "drawFrame",
        draw_frame,
        "The subject in the frame",
        ("frame_width_mm", "frame_height_mm", "filled_width_share", "filled_height_share", "sharp_depth_share"),
    ),
    Drawing(
        "chartApertures",
        settle_length,
        "Every mark of the ring",
        tables=(
            Table(
                "rows",
                "Every mark of the ring",
                (
                    *("nominal_f_number", "effective_f_number", "total_mm", "subject_resolution_um"),
                    *("middle_contrast", "end_contrast"),
                ),
            ),
        ),
    ),
    Drawing(
        "chartMagnifications",
        draw_length_chart,
        "Magnification along the length",
        tables=(
            Table("rows", "Magnification along the length", ("length_mm", "magnification", "working_distance_mm")),
        ),
    ),
)
LEADS = (Lead("printSetUp", request, "A sheet for the table: one printable side"),)
