"""`/v1/charts/aperture`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from marshmallow import ValidationError

from closeup_service.advice import chart_findings
from closeup_service.advice.remark import undetermined_results
from closeup_service.drawing.charts import apertures as drawing
from closeup_service.drawing.svg import as_file
from closeup_service.gear.kit import Kit, Lens
from closeup_service.gear.kit_parts import KIT_PART, setting_of
from closeup_service.language import tr
from closeup_service.operations.asking.media_types import SVG
from closeup_service.operations.chart.set_up_chart_schemas import BEST_BY, ApertureChartAnswer, ApertureChartRequest
from closeup_service.operations.chart.set_up_charts import Results, middle_of, plain, varied
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.evaluate.operation import CAMERA, REVERSED_35
from closeup_service.operations.set_up.optimum_aperture.operation import best_of, marks_of
from closeup_service.operations.set_up.optimum_aperture.schemas import RING_FIELDS
from closeup_service.optics.aperture_series import Mark, nearest_mark
from closeup_service.set_ups.set_up import evaluate

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

OPTIMUM = "optimum_f_number"
FIELDS = (
    "effective_f_number",
    "middle_contrast",
    "end_contrast",
    "ends_resolved",
    "depth_of_field.total_mm",
    "diffraction.subject_resolution_um",
    "optimum_f_number",
)


def answer(asked: requests.ApertureChartRequest) -> answers.ApertureChartAnswer:
    """What every mark of the ring gives."""
    document, kit, assumed = asked["document"], asked["kit"], dict[str, float | str]()
    along = asked.get("along") or f"/train/{ring_place(middle_of(plain(document, kit)))}/f_number"
    if "along" not in asked:
        assumed["/along"] = along
    marks = marks_on(asked, element_at(document, along), kit, assumed)
    found, notes = varied(asked, along, [mark.exact for mark in marks], FIELDS)
    optimum = next((row["optimum_f_number"] for row in found if row["optimum_f_number"] is not None), None)
    ranges = with_optimum(notes.get("ranges", {}), found)
    if "ranges" in notes:
        notes["ranges"] = ranges
    rows = [row_of(mark, row) for mark, row in zip(marks, found, strict=True)]
    mark, by = best(rows, marks, optimum, drawing.has_detail(document))
    return {
        "title": tr(chart_findings.APERTURE_TITLE),
        "finding": chart_findings.describe_apertures(rows, mark, by, document.get("subject_depth_mm"), ranges),
        "along": along,
        "rows": rows,
        "best_nominal_f_number": mark,
        "best_by": by,
        "optimum_f_number": optimum,
        **notes,
        "assumed": {**assumed, **notes["assumed"]},
        "remarks": [*undetermined_results(needs(document)), *notes["remarks"]],
    }


def with_optimum(ranges: Mapping[str, answers.Range], found: Sequence[Results]) -> dict[str, answers.Range]:
    """Ranges with that of the best aperture, which every row repeats, told once."""
    first = next((row for row, each in enumerate(found) if each["optimum_f_number"] is not None), None)
    own = {name: ends for name, ends in ranges.items() if not name.endswith(f".{OPTIMUM}")}
    best = ranges.get(f"rows.{first}.{OPTIMUM}")
    return own if best is None else {**own, OPTIMUM: best}


def element_at(document: requests.FrameSetUp, along: str) -> requests.Element:
    """Element whose f-number is turned."""
    return document["train"][int(along.split("/")[2])]


def ring_place(document: requests.FrameSetUp) -> int:
    """Place in the train of the part whose ring is turned: that whose stop governs, or the one lens whose stop is open."""
    train = document["train"]
    without_model = document.copy()
    without_model.pop("depth_of_field_model", None)
    governing = evaluate(without_model).aperture_stop
    if governing is not None and "f_number" in train[int(governing)]:
        return int(governing)
    without = [index for index, each in enumerate(train) if each["element"] == "lens" and "f_number" not in each]
    if governing is not None or len(without) != 1:
        text = tr(
            "It is not clear which ring is turned: name the f_number of its lens, such as /train/0/f_number.",
        )
        raise ValidationError({"along": [text]})
    return without[0]


def marks_on(
    asked: requests.ApertureChartRequest, element: requests.Element, kit: Kit, assumed: dict[str, float | str]
) -> tuple[Mark, ...]:
    """Marks asked for; else those of the kit's lens; else those assumed."""
    if element["element"] == KIT_PART and not any(name in asked for name in ("f_numbers", *RING_FIELDS)):
        part = kit.by_id.get(element["use"])
        setting = setting_of(part, element) if isinstance(part, Lens) else None
        if setting is not None and setting.marks:
            return setting.marks
    own: dict[str, float | str] = {}
    marks = marks_of(asked, own)
    assumed |= {f"/{name}": value for name, value in own.items()}
    return marks


def row_of(mark: Mark, found: Results) -> answers.ApertureChartRow:
    """One mark's row."""
    resolved, end_contrast = found["ends_resolved"], found["end_contrast"]
    return {
        "nominal_f_number": mark.nominal,
        "f_number": mark.exact,
        "effective_f_number": found["effective_f_number"],
        "middle_contrast": found["middle_contrast"],
        "end_contrast": end_contrast,
        "ends_resolved": None if resolved is None or end_contrast is None else bool(resolved),
        "total_mm": found["total_mm"],
        "subject_resolution_um": found["subject_resolution_um"],
        "problem": found["problem"],
    }


def best(
    rows: Sequence[answers.ApertureChartRow], marks: tuple[Mark, ...], optimum: float | None, by_contrast: bool
) -> tuple[float | None, str | None]:
    """Best mark for the subject's depth, and by what: by contrast where there is a detail, else by the closed form."""
    if by_contrast:
        row = best_of(rows)
        return (None, None) if row is None else (row["nominal_f_number"], BEST_BY[0])
    return (None, None) if optimum is None else (nearest_mark(marks, optimum).nominal, BEST_BY[1])


def needs(document: requests.FrameSetUp) -> dict[str, tuple[str, ...]]:
    """What the contrasts and the best mark wait for."""
    detail = () if drawing.has_detail(document) else ("/sensor_detail_lp_per_mm",)
    depth = () if "subject_depth_mm" in document else ("/subject_depth_mm",)
    waiting = {"middle_contrast": detail, "end_contrast": (*detail, *depth), "best_nominal_f_number": depth}
    return {name: members for name, members in waiting.items() if members}


def as_svg(asked: requests.ApertureChartRequest, told: answers.ApertureChartAnswer) -> bytes:
    """Return the drawing alone."""
    return as_file(drawing.svg(asked, told))


OPERATION = Operation(
    operation_id="chartApertures",
    path="/v1/charts/aperture",
    tag="chart",
    summary="Chart of contrast, depth and resolution at every mark of the aperture ring",
    description=(
        "The set-up document of /v1/set-ups/evaluate, without solve, and the marks of the ring as /v1/optimum-aperture takes "
        "them; those of a lens of the kit are known. Each row is that set-up at one mark: the contrast of the detail in focus "
        "and at the ends of subject_depth_mm, depth of field, resolution on the subject. The answer is JSON, or the chart "
        "itself with Accept: image/svg+xml."
    ),
    answer=answer,
    answer_type=ApertureChartAnswer,
    request_type=ApertureChartRequest,
    by_query="document",
    takes_kit=True,
    renderers={SVG: as_svg},
    examples=(
        Example(
            "lichen-through-the-ring",
            "A lichen 1 mm deep through the ring of a reversed 35 mm lens, detail of 30 line pairs per mm (invented kit)",
            {
                "camera": CAMERA,
                "train": [REVERSED_35, {"element": "spacer", "length_mm": 31.0}],
                "subject_depth_mm": 1,
                "subject_detail_lp_per_mm": 30,
                "aperture_series": "full",
                "greatest_f_number": 16,
            },
        ),
    ),
)
