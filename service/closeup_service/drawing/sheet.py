"""The printable sheet of a set-up: one side of A4, however long the train; what has no room is named."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from math import ceil
from typing import TYPE_CHECKING, Literal, cast, get_args

from jinja2 import Environment, PackageLoader, Template
from markupsafe import Markup
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.advice.figures import add_unit, capitalize, decimal, ratio, with_range
from closeup_service.drawing.side_view import runs
from closeup_service.language import mark, spoken, tr
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.schemas.describing import label

if TYPE_CHECKING:
    from closeup_service.records import answers

DRAWING_WIDTH = 760.0
DRAWING_HEIGHT = 210.0
NARROW_WIDTH = 330.0
"""Width of the drawing that stands in place of the wide one on a narrow screen."""
PAGE_MM = (190.0, 272.0)
"""Width and height of what is printed on A4, within margins of 10 mm; a little of the height is kept free."""
LINE = 1.27
HEAD_LINES = 1.7
"""Height of a line over the size of the type, and of a heading in lines, on the generous side."""
USUAL, WIDE = 0.56, 0.95
"""Width of letters over the size of the type, in a wide sans-serif font."""
LONGEST_TEXTS = (150, 64, 40, 26)
"""Names are cut to so many letters, the next shorter where the page asks for it."""
PLACE_DIGITS, ESTIMATED_PLACE_DIGITS = 4, 2
WITHIN: Mapping[str, str] = {
    "camera": mark("camera"),
    "exposure/reference": mark("exposure reference"),
    "exposure/planned": mark("exposure planned"),
}
"""Words for where an assumed value stands."""
LONGEST_LIST = 14
"""More parts than so many are set in two columns."""


class Density(Struct, frozen=True):
    """How tightly the sheet is set: class of the page, size of the type [mm], width of the drawing [mm]."""

    name: str
    type_mm: float
    drawing_mm: float

    @property
    def line_mm(self) -> float:
        """Height of a line."""
        return LINE * self.type_mm

    def lines(self, text: str, width_mm: float) -> int:
        """Lines that a text takes at most."""
        letters = sum(WIDE if letter.isupper() or letter in "mw@%" else USUAL for letter in text)
        return max(1, ceil(1.04 * letters * self.type_mm / width_mm))


DENSITIES = (Density("roomy", 3.3, 190.0), Density("close", 2.9, 165.0), Density("tight", 2.5, 130.0))
"""From large to small; the stylesheet has the same figures."""


class Estimates(Struct, frozen=True):
    """What is said of estimated lens data, and the figures that are not told for want of knowledge."""

    sentences: Sequence[str] = ()
    untold: Sequence[str] = ()


class Sheet(Struct, frozen=True):
    """What stands on the sheet: parts as (signs, text), figures as (label, value), sentences; and what is left out."""

    density: Density
    parts: Sequence[tuple[str, str]]
    figures: Sequence[tuple[str, str]]
    exposure: Sequence[tuple[str, str]]
    stack: Sequence[tuple[str, str]]
    cautions: Sequence[answers.Caution]
    assumed: Sequence[str]
    left_out: Sequence[str]
    estimates: Sequence[str]

    def height_mm(self, drawing_share: float) -> float:
        """Height on paper at most; the share is the drawing's height over its width."""
        size, width = self.density, PAGE_MM[0]
        columns = 2 if len(self.parts) > LONGEST_LIST else 1
        part_lines = sum(size.lines(text, width / columns - 14) for _, text in self.parts)
        boxes = [self.figures, self.exposure, self.stack]
        rows = max(len(self.figures), len(self.exposure) + len(self.stack) + 2 if any(boxes[1:]) else 0)
        lines = -(-part_lines // columns) + (2 if columns == 2 else 0) + rows
        lines += sum(size.lines(each["text"], width - 4) for each in self.cautions)
        lines += self.lines_of_estimates(width)
        lines += size.lines("; ".join(self.assumed), width) if self.assumed else 0
        lines += sum(size.lines(text, width) for text in self.left_out)
        heads = 2 + 3 + bool(self.cautions) + bool(self.assumed) + bool(self.left_out) + bool(self.estimates)
        return size.drawing_mm * drawing_share + (lines + HEAD_LINES * heads + 2) * size.line_mm

    def lines_of_estimates(self, width_mm: float) -> int:
        """Lines of what is said of estimates, and those that figures with ranges take beyond one each."""
        if not self.estimates:
            return 0
        size, rows = self.density, [*self.figures, *self.exposure, *self.stack]
        beyond = sum(size.lines(f"{name} {value}", width_mm / 2 - 8) - 1 for name, value in rows)
        return beyond + sum(size.lines(text, width_mm - 4) for text in self.estimates)


def sheet_page(
    told: Mapping[str, object],
    drawings: Mapping[str, str],
    drawing_share: float,
    texts: Sequence[str],
    camera: str,
    estimates: Estimates,
) -> str:
    """Return the page, its drawing `wide` for paper and `narrow` for small screens; the share is height over width."""
    sheet = fit_sheet(Told(cast("answers.SheetAnswer", told), texts, camera, estimates), drawing_share)
    return template().render(
        told=told,
        sheet=sheet,
        drawings={name: Markup(drawing) for name, drawing in drawings.items()},  # nosec B704  # svg.py has escaped it
        columns=len(sheet.parts) > LONGEST_LIST,
    )


@cache
def template() -> Template:
    """Return the template of the sheet, read once."""
    environment = Environment(loader=PackageLoader(__package__, "templates"), autoescape=True)
    environment.filters["with_capital"] = capitalize
    environment.globals |= {"tr": tr, "spoken": spoken}
    return environment.get_template("sheet.html")


class Told(Struct, frozen=True):
    """What the sheet is made of: the answer, the parts and the camera in words, and what is said of estimates."""

    answer: answers.SheetAnswer
    parts: Sequence[str]
    camera: str
    estimates: Estimates

    @property
    def ranges(self) -> Mapping[str, answers.Range]:
        """Ranges of its figures."""
        return self.answer.get("ranges", {})

    @property
    def is_measured_first(self) -> bool:
        """Whether the magnification is to be measured before anything is told of it."""
        answer: answers.SheetAnswer = self.answer
        return answer["magnification"] is None

    @property
    def place_digits(self) -> int:
        """Significant digits of places along the axis."""
        return ESTIMATED_PLACE_DIGITS if self.estimates.sentences else PLACE_DIGITS


def fit_sheet(told: Told, drawing_share: float) -> Sheet:
    """Set the sheet as large as one side allows; at the smallest size leave out what matters least, and say so."""
    ways = [(density, LONGEST_TEXTS[0]) for density in DENSITIES]
    ways += [(DENSITIES[-1], most) for most in LONGEST_TEXTS[1:]]
    for density, most in ways:
        sheet = sheet_of(told, density, most)
        if sheet.height_mm(drawing_share) <= PAGE_MM[1]:
            return sheet
    while (sheet.assumed or sheet.cautions) and sheet.height_mm(drawing_share) > PAGE_MM[1]:
        sheet = cut_down(sheet, told.answer)
    return sheet


def cut_down(sheet: Sheet, told: answers.SheetAnswer) -> Sheet:
    """Sheet with one assumed value less, or one caution; those that concern people stand first and go last."""
    assumed, cautions = sheet.assumed[:-1], sheet.cautions
    if not sheet.assumed:
        cautions = cautions[:-1]
    gone = [tr("{number} assumed values", number=len(told["assumed"]) - len(assumed))]
    if len(cautions) < len(told["cautions"]):
        gone.append(tr("{number} cautions", number=len(told["cautions"]) - len(cautions)))
    text = tr("Left out for want of room: {gone}. The result on screen shows them all.", gone=tr(" and ").join(gone))
    return replace(sheet, assumed=assumed, cautions=cautions, left_out=[text])


def sheet_of(told: Told, density: Density, most: int) -> Sheet:
    """Everything that the sheet would tell."""
    answer: answers.SheetAnswer = told.answer
    return Sheet(
        density=density,
        parts=part_rows(told, most),
        figures=figure_rows(answer, told.estimates),
        exposure=exposure_rows(answer["exposure"], told) if "exposure" in answer else (),
        stack=stack_rows(answer),
        cautions=answer["cautions"],
        assumed=[assumed_text(pointer, value) for pointer, value in answer["assumed"].items()],
        left_out=(),
        estimates=told.estimates.sentences,
    )


def part_rows(told: Told, most: int) -> list[tuple[str, str]]:
    """Parts by the signs of the drawing, with their places; equal neighbours together."""
    rows, answer = list[tuple[str, str]](), told.answer
    drawn: Sequence[answers.DrawnPart] = answer["parts"]
    for first, last, text in runs(told.parts):
        start, end = drawn[first - 1]["start_mm"], drawn[last - 1]["end_mm"]
        where = place_text(
            told,
            tr("{start} to {end} mm", start=decimal(start, told.place_digits), end=decimal(end, told.place_digits)),
        )
        told_text = tr("{number} times {text}", number=last - first + 1, text=text) if last > first else text
        rows.append((str(first) if first == last else f"{first}-{last}", f"{shorten(told_text, most)}{where}"))
    sensor = place_text(told, tr("sensor at {sensor_mm} mm", sensor_mm=decimal(answer["sensor_mm"], told.place_digits)))
    return [*rows, ("C", f"{shorten(told.camera, most)}{sensor}")]


def place_text(told: Told, where: str) -> str:
    """Place in brackets; of an estimated lens as it is drawn, and nothing where the magnification is to be measured first."""
    if told.is_measured_first:
        return ""
    return tr(" (drawn at about {where})", where=where) if told.estimates.sentences else f" ({where})"


def shorten(text: str, most: int) -> str:
    """Text that is not too long for a line or two."""
    return text if len(text) <= most else f"{text[: most - 2]} …"


Figure = Literal[
    "subject_width_mm",
    "subject_height_mm",
    "working_distance_mm",
    "clearance_mm",
    "rig_length_mm",
    "subject_to_sensor_mm",
    "entrance_pupil_mm",
    "effective_f_number",
    "light_loss_stops",
]
FIGURES: tuple[Figure, ...] = get_args(Figure)
MEASURE_FIRST = mark("measure first")
TOTAL_DEPTH, SOLVED_EXPOSURE = "depth_of_field.total_mm", "exposure.value"
OWN_LABELS = {
    "subject_width_mm": mark("frame width on the subject"),
    "subject_height_mm": mark("frame height on the subject"),
}


def figure_rows(told: answers.SheetAnswer, estimates: Estimates) -> list[tuple[str, str]]:
    """Distances and aperture, with what is not known; figures that are not told are to be measured first."""
    depth: answers.Depth = told["depth_of_field"]
    ranges: Mapping[str, answers.Range] = told.get("ranges", {})
    m, pupil = told["magnification"], told["entrance_pupil_mm"]
    untold = [*estimates.untold, *(["entrance_pupil_mm"] if m is None else [])]
    whole = quantity_text("total_mm", depth["total_mm"], ranges.get(TOTAL_DEPTH))
    rows = {"magnification": "" if m is None else with_range(m, ranges.get("magnification"), ratio)}
    rows |= {name: quantity_text(name, told[name], ranges.get(name)) for name in FIGURES}
    if estimates.sentences and pupil is not None:
        rows["entrance_pupil_mm"] = tr("about {pupil} mm, as drawn", pupil=decimal(pupil, ESTIMATED_PLACE_DIGITS))
    rows[TOTAL_DEPTH] = tr("without end") if depth["rear_extent"] == "unlimited" else whole
    labels = OWN_LABELS | {TOTAL_DEPTH: tr("depth of field ({model})", model=tr(depth["model"]))}
    return [
        (tr(labels[name]) if name in labels else label(name), tr(MEASURE_FIRST) if name in untold else value)
        for name, value in rows.items()
    ]


def exposure_rows(exposure: answers.ExposureMembers, told: Told) -> list[tuple[str, str]]:
    """The setting that was solved, and the planned frame; with a range no mark of it is named."""
    ends = told.ranges.get(SOLVED_EXPOSURE)
    solved = quantity_text(exposure["unknown"], exposure["value"], ends)
    marked = (
        ""
        if exposure["marked_as"] is None or ends is not None
        else tr("; set {marked_as}", marked_as=exposure["marked_as"])
    )
    value = tr(MEASURE_FIRST) if SOLVED_EXPOSURE in told.estimates.untold else f"{solved}{marked}"
    rows = [(label(exposure["unknown"]), value), (tr("light"), tr(exposure["light"]))]
    planned = [(name, value) for name, value in exposure["planned"].items() if isinstance(value, int | float)]
    return rows + [
        (label(name), quantity_text(name, value, told.ranges.get(f"exposure.planned.{name}")))
        for name, value in planned
        if name != exposure["unknown"]
    ]


def stack_rows(told: answers.SheetAnswer) -> list[tuple[str, str]]:
    """Stack on a rail, where the subject's depth is given."""
    if told["stack_frames"] is None:
        return []
    ranges: Mapping[str, answers.Range] = told.get("ranges", {})
    rows = [(tr("frames on a rail"), with_range(told["stack_frames"], ranges.get("stack_frames"), count_text))]
    if told["stack_step_mm"] is not None:
        step = quantity_text("stack_step_mm", told["stack_step_mm"], ranges.get("stack_step_mm"))
        rows.append((tr("step of the rail"), step))
    if told["optimum_f_number"] is not None:
        best = quantity_text("optimum_f_number", told["optimum_f_number"], ranges.get("optimum_f_number"))
        rows.append((tr("best for one frame"), best))
    return rows


def count_text(value: float, digits: int) -> str:
    """Count in full."""
    del digits
    return str(round(value))


def quantity_text(name: str, value: float | None, ends: answers.Range | None = None) -> str:
    """Value with its unit and its range, as a person would say it."""
    if value is None:
        return tr("not known")
    if name.endswith("f_number"):
        return with_range(value, ends, lambda number, digits: f"f/{decimal(number, digits)}")
    unit = VOCABULARY[name].unit if name in VOCABULARY else "mm" if name.endswith("_mm") else ""
    return add_unit(with_range(value, ends, decimal), unit)


def assumed_text(pointer: str, value: float | str) -> str:
    """Assumed value, by the words for where its pointer leads: `/train/0/overlap` is of part 1."""
    *steps, name = pointer.strip("/").split("/")
    where = []
    if steps[:1] == ["train"] and len(steps) > 1:
        where, steps = [tr("part {number}", number=int(steps[1]) + 1)], steps[2:]
    if steps:
        where.append(tr(WITHIN.get("/".join(steps), " ".join(steps))))
    told = quantity_text(name, value) if isinstance(value, int | float) else tr(str(value))
    return " ".join([*where, label(name), told])
