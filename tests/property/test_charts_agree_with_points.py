"""Any set-up along a chart is what that set-up is by itself."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from closeup_service.gear.kit import Kit
from closeup_service.operations.asking.ask import answer_with
from closeup_service.operations.chart.aperture_chart import operation as aperture_chart
from closeup_service.operations.chart.magnification_chart import operation as magnification_chart
from closeup_service.operations.operation import Operation
from closeup_service.operations.set_up.evaluate import operation as set_up
from closeup_service.optics.errors import OpticsError
from closeup_service.schemas.fields import load
from closeup_service.schemas.kit import demo_kit
from drawn_charts import faults_of
from set_ups import Document, one_lens_set_ups

KIT: Kit = demo_kit()
AGREEMENT = 1e-9
BUILDABLE = one_lens_set_ups().filter(
    lambda drawn: all(0 <= each.get("length_mm", 0) <= 2000 for each in drawn[0]["train"])
)


def answered(operation: Operation, members: dict[str, Any]) -> Any:
    assert operation.request_schema is not None
    return answer_with(operation, load(operation.request_schema, members), lambda: KIT)


def drawn(operation: Operation, members: dict[str, Any]) -> str:
    assert operation.request_schema is not None
    asked = load(operation.request_schema, members)
    return operation.renderers["image/svg+xml"](asked, answer_with(operation, asked, lambda: KIT)).decode()


def alone(document: Document) -> tuple[Any, str | None]:
    """Answer by itself, or the code with which it is refused."""
    try:
        return answered(set_up.OPERATION, document), None
    except OpticsError as refusal:
        return None, refusal.code


def with_member(document: Document, place: int, name: str, value: float) -> list[dict[str, Any]]:
    """Train with one member of one element replaced."""
    return [{**each, name: value} if index == place else each for index, each in enumerate(document["train"])]


def agree(one: float | None, other: float | None) -> bool:
    return one is other if one is None or other is None else abs(one - other) <= AGREEMENT * abs(other)


@given(BUILDABLE, st.lists(st.floats(1, 64), min_size=1, max_size=4), st.integers(320, 1600))
def test_each_mark_is_the_set_up_at_that_mark(
    drawn_set_up: tuple[Document, float], marks: list[float], width: int
) -> None:
    document, _ = drawn_set_up
    place = next(index for index, each in enumerate(document["train"]) if each["element"] == "lens")
    members = {**document, "subject_depth_mm": 1, "f_numbers": marks, "along": f"/train/{place}/f_number"}
    chart = answered(aperture_chart.OPERATION, members)
    for row in chart["rows"]:
        train = with_member(document, place, "f_number", row["f_number"])
        single, code = alone({**document, "train": train, "subject_depth_mm": 1})
        assert row["problem"] == code
        if single is not None:
            assert agree(row["effective_f_number"], single["effective_f_number"])
            assert agree(row["total_mm"], single["depth_of_field"]["total_mm"])
            assert agree(row["subject_resolution_um"], single["diffraction"]["subject_resolution_um"])
    assert faults_of(drawn(aperture_chart.OPERATION, {**members, "width_px": width})) == []


@given(BUILDABLE, st.floats(0, 500), st.floats(0, 500), st.integers(2, 6), st.integers(320, 1600))
def test_each_length_is_the_set_up_at_that_length(
    drawn_set_up: tuple[Document, float], one: float, other: float, points: int, width: int
) -> None:
    document, _ = drawn_set_up
    place = next(index for index, each in enumerate(document["train"]) if each["element"] == "spacer")
    ends = {"along": f"/train/{place}/length_mm", "minimum": min(one, other), "maximum": max(one, other)}
    members = {**document, **ends, "points": points}
    for row in answered(magnification_chart.OPERATION, members)["rows"]:
        train = with_member(document, place, "length_mm", row["length_mm"])
        single, code = alone({**document, "train": train})
        assert row["problem"] == code
        if single is not None:
            assert agree(row["magnification"], single["magnification"])
            assert agree(row["working_distance_mm"], single["working_distance_mm"])
    assert faults_of(drawn(magnification_chart.OPERATION, {**members, "width_px": width})) == []
