"""Tables through the client: blocks, and how their answers are joined."""

from typing import Any

import pytest

from closeup_client import Client, Element, ServiceRefused, camera, lens, spacer
from closeup_client.blocks import BLOCK_ROWS, blocks_of, joined, rows_at_once
from closeup_service.operations.set_up.table.estimated import MOST_CONTRAST_ROWS, MOST_ESTIMATED_ROWS
from closeup_service.operations.set_up.table.schemas import MOST_ROWS

TRAIN: list[Element] = [lens(focal_length_mm=50, f_number=8, register_mm=44.0), spacer(length_mm=50)]
TUBE, MARK = "/train/1/length_mm", "/train/0/f_number"


def test_a_table_of_any_length_comes_back_whole(client: Client) -> None:
    lengths = [index / 1000 for index in range(BLOCK_ROWS * 2 + 7)]
    answer = client.table(
        camera=camera(register_mm=44.0), train=TRAIN, columns={TUBE: lengths}, fields=["magnification"]
    )
    assert answer.rows == len(lengths) == len(answer.problem)
    assert answer.problem[:2] == ("focused-at-infinity", None)
    assert answer.columns["magnification"][0] is None
    assert answer.columns["magnification"][1:] == pytest.approx([length / 50 for length in lengths[1:]])
    assert len({caution.code for caution in answer.cautions}) == len(answer.cautions)


def test_a_fault_is_refused_with_its_pointer(client: Client) -> None:
    with pytest.raises(ServiceRefused) as refused:
        client.table(camera=camera(register_mm=44.0), train=TRAIN, columns={MARK: [8, 0.1]}, fields=["magnification"])
    assert [fault.pointer for fault in refused.value.fields] == ["/columns/~1train~10~1f_number/1"]


def test_columns_of_unequal_length_are_told_before_anything_is_sent(client: Client) -> None:
    with pytest.raises(ValueError, match=r"f_number 1, .*length_mm 2"):
        client.table(camera=camera(register_mm=44.0), train=TRAIN, columns={MARK: [8], TUBE: [1, 2]}, fields=["x"])


def test_a_block_is_what_the_service_takes() -> None:
    assert BLOCK_ROWS == MOST_ROWS
    assert rows_at_once({"estimate_unknown": False}) == MOST_ROWS
    assert rows_at_once({"estimate_unknown": True}) == MOST_ESTIMATED_ROWS
    assert rows_at_once({"estimate_unknown": True, "depth_of_field_model": "contrast"}) == MOST_CONTRAST_ROWS


def test_ranges_of_blocks_are_those_of_the_whole_table(client: Client) -> None:
    lengths = [index / 100 for index in range(MOST_ESTIMATED_ROWS + 3)]
    unknown: list[Element] = [
        lens(focal_length_mm=28, f_number=8, register_mm=44.0, reversed=True),
        spacer(length_mm=5),
    ]
    answer = client.table(
        camera=camera(register_mm=44.0),
        train=unknown,
        columns={TUBE: lengths},
        fields=["magnification"],
        estimate_unknown=True,
    )
    assert answer.ranges is not None
    ends = answer.ranges["magnification"]
    for low, median, high in zip(ends.low, answer.columns["magnification"], ends.high, strict=True):
        assert low is not None
        assert high is not None
        assert low < median < high


def test_a_block_without_ranges_has_none_in_its_rows() -> None:
    first = {"rows": 2, "columns": {"a": [1, 2]}, "problem": [None, None], "remarks": [], "cautions": []}
    second = {**first, "ranges": {"a": {"low": [0, 1], "high": [2, 3]}}}
    assert joined([first, second])["ranges"] == {"a": {"low": [None, None, 0, 1], "high": [None, None, 2, 3]}}


@pytest.mark.parametrize(("rows", "blocks"), [(0, 1), (1, 1), (BLOCK_ROWS, 1), (BLOCK_ROWS + 1, 2)])
def test_blocks_hold_every_row_once(rows: int, blocks: int) -> None:
    cut = blocks_of({"columns": {"/a": range(rows)}, "fields": []})
    assert len(cut) == blocks
    assert [value for block in cut for value in block["columns"]["/a"]] == list(range(rows))


def test_notes_of_all_blocks_are_kept_once() -> None:
    def answer(**more: Any) -> dict[str, Any]:
        return {"rows": 1, "columns": {"a": [1]}, "problem": [None], "remarks": [], "cautions": [], **more}

    first = answer(remarks=[{"text": "a"}], cautions=[{"code": "x", "text": "3 mm"}])
    second = answer(remarks=[{"text": "a"}, {"text": "b"}], cautions=[{"code": "x", "text": "2 mm"}, {"code": "y"}])
    both = joined([first, second])
    assert both["rows"] == 2
    assert both["columns"] == {"a": [1, 1]}
    assert both["remarks"] == [{"text": "a"}, {"text": "b"}]
    assert both["cautions"] == [{"code": "x", "text": "3 mm"}, {"code": "y"}]
