"""Everything that a page shows of a result: sections, what is folded away by subject, pictures, remarks and cautions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct, field

from closeup_service.advice.caution_texts import Caution
from closeup_service.advice.cautions import sort_cautions
from closeup_service.gear.kit import Kit
from closeup_service.language import mark, tr
from closeup_service.pages import answer_tables, estimated, results
from closeup_service.pages.asking import Members
from closeup_service.pages.basis import ASSUMED, NOT_USED, Stand
from closeup_service.pages.drawn import Drawn
from closeup_service.pages.elsewhere import Elsewhere
from closeup_service.pages.part_names import name_parts_with
from closeup_service.pages.remark_words import put_remark_in_words
from closeup_service.pages.verdicts.registry import Said

if TYPE_CHECKING:
    from closeup_service.records.answers import Answer

FIRST_CAUTIONS = 2
MOST_FIRST = 5
"""Key figures at most."""
VISIBLE = ("people", "animals")
"""Whom a caution concerns that is never folded away."""
FRAMING, SHARPNESS, LIGHT = mark("Framing"), mark("Sharpness and depth of field"), mark("Light")
ROOM, STACK, MEASUREMENT, MORE = mark("Room and size"), mark("Focus stack"), mark("Measurement"), mark("More figures")
ORDER = (FRAMING, SHARPNESS, LIGHT, ROOM, STACK, MEASUREMENT, MORE)
NAMES: Mapping[str, tuple[str, ...]] = {
    FRAMING: ("magnification", "subject_width_mm", "subject_height_mm", "framed", "meeting", "arrangements"),
    SHARPNESS: (
        *(
            "total_mm",
            "front_depth_mm",
            "rear_depth_mm",
            "depth_of_focus_mm",
            "subject_resolution_um",
            "airy_diameter_um",
        ),
        *("optimum_f_number", "allowed_movement_um", "circle_of_confusion_mm", "sampling", "largest_useful_f_number"),
    ),
    LIGHT: ("effective_f_number", "light_loss_stops", "exposure_factor", "numerical_aperture", "fall_off_stops"),
    ROOM: (
        *("working_distance_mm", "clearance_mm", "subject_distance_mm", "subject_to_sensor_mm", "rig_length_mm"),
        *("value", "extension_mm", "flange_mm", "sensor_mm"),
    ),
    STACK: ("stack_frames", "stack_step_mm", "frames", "step_mm"),
    MEASUREMENT: (
        *("magnification_low", "magnification_high", "relative_uncertainty", "scale_px_per_mm", "ruler_length_mm"),
        *("marks_used", "tilt_deg", "distortion", "lateral_colour_um"),
    ),
}
SUBJECT_OF: Mapping[str, str] = {name: subject for subject, names in NAMES.items() for name in names}


class Section(Struct, frozen=True):
    """Results of one operation."""

    title: str
    rows: tuple[results.Row, ...]
    grids: tuple[answer_tables.Grid, ...]
    steps: tuple[results.WorkedStep, ...] = ()
    is_answer: bool = False
    """Whether its tables are what was asked for, such as what was found; else they are folded away."""


class Picture(Struct, frozen=True):
    """A drawing by its address, with its words and its data."""

    title: str
    drawn: Sequence[Drawn]
    """As it is drawn for narrow columns, then for wide ones where that differs."""
    alt: str
    rows: tuple[results.Row, ...]
    grids: tuple[answer_tables.Grid, ...]

    @property
    def address(self) -> str:
        """Address of the drawing for any screen."""
        return self.drawn[0].address


class Onward(Struct, frozen=True):
    """Address that a result leads on to."""

    address: str
    text: str


class Fold(Struct, frozen=True):
    """Results that are folded away under one title."""

    title: str
    rows: Sequence[results.Row] = ()
    grids: Sequence[answer_tables.Grid] = ()


class Outcome(Struct):
    """Everything that a page shows of a result."""

    said: Said = Said()
    """The answer in a sentence or two, and the verdicts."""
    sections: list[Section] = field(default_factory=list)
    stands: list[Stand] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    cautions: list[Caution] = field(default_factory=list)
    elsewhere: list[Elsewhere] = field(default_factory=list)
    pictures: list[Picture] = field(default_factory=list)
    onward: list[Onward] = field(default_factory=list)
    kept_part: str = ""
    """The lens that was found, as JSON that a kit takes."""
    notice: estimated.Notice | None = None
    """What rests on estimates, where anything does."""
    overlay: str | None = None
    lens_to_keep: str = ""
    """Lens of the result, as one's own kit takes it."""

    @property
    def first_rows(self) -> list[results.Row]:
        """Results to show first, in large figures."""
        rows = [row for section in self.sections for row in section.rows]
        return sorted((row for row in rows if row.place is not None), key=lambda row: row.place or 0)[:MOST_FIRST]

    @property
    def folds(self) -> list[Fold]:
        """All other results by their subjects; those of a section with a title of its own under that."""
        return [fold for section in self.sections for fold in folds_of(section, self.first_rows)]

    @property
    def assumes(self) -> bool:
        """Whether anything was assumed."""
        return any(each.origin == ASSUMED for each in self.stands)

    @property
    def unused(self) -> list[Stand]:
        """What was given and made no difference."""
        return [each for each in self.stands if each.origin == NOT_USED]

    @property
    def shown_cautions(self) -> int:
        """Cautions that are not folded away: the first, and all that concern people or animals."""
        return max(FIRST_CAUTIONS, sum(each["concerns"] in VISIBLE for each in self.cautions))


def folds_of(section: Section, shown: Sequence[results.Row]) -> list[Fold]:
    """Results of a section that are folded away: all but those shown, and its tables unless they are the answer."""
    rows = [row for row in section.rows if row not in shown]
    grids = () if section.is_answer else section.grids
    if section.title:
        return [Fold(section.title, rows, grids)] if rows or grids else []
    return [*fold_rows(rows), *(Fold(each.title, (), (each,)) for each in grids)]


def fold_rows(rows: Iterable[results.Row]) -> list[Fold]:
    """Rows by their subjects, in a fixed order."""
    by_subject: dict[str, list[results.Row]] = {}
    for each in rows:
        by_subject.setdefault(SUBJECT_OF.get(each.name, MORE), []).append(each)
    return [Fold(tr(subject), by_subject[subject]) for subject in ORDER if subject in by_subject]


def remarks(documents: Sequence[Members], answers: Sequence[Answer], kit: Kit) -> list[str]:
    """Remarks of all answers in words, each once, but for those that the notice tells; `documents` are what they answer."""
    told = (
        put_remark_in_words(each["text"], name_parts_with(document, kit))
        for document, answer in zip(documents, answers, strict=True)
        for each in answer.get("remarks", ())
        if each["code"] not in estimated.NOTICED
    )
    return list(dict.fromkeys(told))


def cautions(answers: Sequence[Answer]) -> list[Caution]:
    """Cautions of all answers, people first, each once."""
    return sort_cautions(each for answer in answers for each in answer.get("cautions", ()))
