"""`/v1/charts/magnification`."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

import numpy as np

from closeup_service.advice import chart_findings
from closeup_service.drawing.charts import magnifications as drawing
from closeup_service.drawing.svg import as_file
from closeup_service.gear.kit_parts import Expansion
from closeup_service.language import tr
from closeup_service.operations.asking.media_types import SVG
from closeup_service.operations.chart.set_up_chart_schemas import MagnificationChartAnswer, MagnificationChartRequest
from closeup_service.operations.chart.set_up_charts import Results, plain, varied
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.evaluate.operation import CAMERA, REVERSED_35
from closeup_service.optics.vocabulary import VOCABULARY

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

POINTS = 25
LENGTH_MM = 100.0
"""Greatest length where nothing else says how far to go."""

FIELDS = ("magnification", "working_distance_mm")


def answer(asked: requests.MagnificationChartRequest) -> answers.MagnificationChartAnswer:
    """What every length gives."""
    assumed: dict[str, float | str] = {}
    least, greatest = ends(asked, assumed)
    if "points" not in asked:
        assumed["/points"] = POINTS
    lengths = np.unique(np.linspace(least, greatest, asked.get("points", POINTS))).tolist()
    found, notes = varied(asked, asked["along"], lengths, FIELDS)
    rows = [row_of(length, row) for length, row in zip(lengths, found, strict=True)]
    return {
        "title": tr(chart_findings.MAGNIFICATION_TITLE),
        "finding": chart_findings.describe_magnifications(rows, notes.get("ranges", {})),
        "along": asked["along"],
        "rows": rows,
        **notes,
        "assumed": {**assumed, **notes["assumed"]},
    }


def row_of(length_mm: float, found: Results) -> answers.MagnificationChartRow:
    """One length's row."""
    return {
        "length_mm": length_mm,
        "magnification": found["magnification"],
        "working_distance_mm": found["working_distance_mm"],
        "problem": found["problem"],
    }


def ends(asked: requests.MagnificationChartRequest, assumed: dict[str, float | str]) -> tuple[float, float]:
    """Ends of the curve: as asked for; else the part's own; else from 0 to twice what is given."""
    member = asked["along"].rpartition("/")[2]
    element = asked["document"]["train"][int(asked["along"].split("/")[2])]
    least, greatest = Expansion(asked["kit"], None).span(element, member)
    low, high = asked.get("minimum", least), asked.get("maximum", greatest)
    if "maximum" not in asked and greatest == VOCABULARY[member].maximum:
        high = min(greatest, max(usual_end(asked, member), low))
    if "minimum" not in asked:
        low = assumed["/minimum"] = min(low, high)
    if "maximum" not in asked:
        assumed["/maximum"] = high
    return low, high


def usual_end(asked: requests.MagnificationChartRequest, member: str) -> float:
    """Greatest length of a part that states none: twice what is given, or to 1:1 by the lens alone, or a usual bellows."""
    given = asked.get("given")
    if given:
        return 2 * float(given)
    if member == "length_mm":
        return LENGTH_MM
    part = plain(asked["document"], asked["kit"])["train"][int(asked["along"].split("/")[2])]
    return float(cast("requests.Lens", part)["focal_length_mm"])


def as_svg(asked: requests.MagnificationChartRequest, told: answers.MagnificationChartAnswer) -> bytes:
    """Return the drawing alone."""
    return as_file(drawing.svg(asked, told))


OPERATION = Operation(
    operation_id="chartMagnifications",
    path="/v1/charts/magnification",
    tag="chart",
    summary="Chart of magnification and working distance against a length of the set-up",
    description=(
        "The set-up document of /v1/set-ups/evaluate, without solve, and the JSON pointer along of the length that varies: a "
        "spacer's length_mm or a lens's focusing_extension_mm. Each row is that set-up at one length. The answer is JSON, or "
        "the chart itself with Accept: image/svg+xml."
    ),
    answer=answer,
    answer_type=MagnificationChartAnswer,
    request_type=MagnificationChartRequest,
    by_query="document",
    takes_kit=True,
    renderers={SVG: as_svg},
    examples=(
        Example(
            "bellows-drawn-out",
            "A reversed 35 mm lens on bellows of 30 to 150 mm (invented kit)",
            {
                "camera": CAMERA,
                "train": [REVERSED_35, {"element": "spacer"}],
                "along": "/train/1/length_mm",
                "minimum": 30,
                "maximum": 150,
                "points": 13,
            },
        ),
    ),
)
