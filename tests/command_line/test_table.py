"""The table of operations: current, complete, and all that the command line knows."""

import json
import shutil
from collections.abc import Set
from pathlib import Path
from typing import Any

import pytest
from marshmallow import Schema
from marshmallow.fields import Nested

from closeup_client.command_line.answers import answer_text
from closeup_client.command_line.operation import Field
from closeup_client.command_line.parsing import parser_for
from closeup_client.command_line.request import request_of
from closeup_client.command_line.table import Table, table
from closeup_service.operations.registry import operations
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.published.command_table import command_table, write_table
from closeup_service.published.generated_folder import stale_files
from closeup_service.published.record_types.shape import find_entry
from closeup_service.schemas.train import ELEMENTS

FOLDER = Path(__file__).parents[2] / "client" / "closeup_client" / "operations"


def test_the_committed_table_is_current() -> None:
    assert stale_files(FOLDER, write_table()) == []


def copied(folder: Path) -> Path:
    return Path(shutil.copytree(FOLDER, folder / "operations"))


def test_every_operation_is_a_command() -> None:
    assert [each.path for each in table().operations] == [each.path for each in operations()]


def assert_same_members(fields: tuple[Field, ...], schema: Schema, but: Set[str] = frozenset()) -> None:
    names = {field.name for field in fields}
    assert names == set(schema.fields) - but
    for field in fields:
        assert field.required == schema.fields[field.name].required
        if field.kind == "number" and field.name in VOCABULARY and field.minimum is not None:
            assert field.unit == VOCABULARY[field.name].unit


@pytest.mark.parametrize("operation", operations(), ids=lambda operation: operation.operation_id)
def test_every_field_of_a_request_is_in_the_table(operation: object) -> None:
    known = next(each for each in operations() if each is operation)
    row = next(each for each in table().operations if each.path == known.path)
    if known.request_schema is None:
        assert row.fields == ()
    else:
        assert_same_members(row.fields, known.request_schema)


@pytest.mark.parametrize("kind", ELEMENTS)
def test_every_member_of_every_part_is_in_the_table(kind: str) -> None:
    schema = ELEMENTS[kind]
    nested = {name for name, field in schema.fields.items() if isinstance(find_entry(field), Nested)}
    assert_same_members(table().parts[kind].fields, schema, {"element", *nested})


def test_every_number_asked_for_has_both_bounds_and_a_meaning() -> None:
    asked = [field for operation in table().operations for field in operation.fields]
    asked += [field for part in table().parts.values() for field in part.fields]
    numbers = [field for field in asked if field.kind == "number"]
    assert numbers
    assert [field.name for field in numbers if field.minimum is None or field.maximum is None] == []
    assert [field.name for field in asked if not field.meaning and field.kind != "group"] == []


def test_a_bound_of_zero_is_kept() -> None:
    table: Any = command_table()["magnification.json"]
    rows = {row["name"]: row for row in table["fields"]}
    assert rows["extension_mm"]["minimum"] == 0


def test_the_table_is_the_same_whenever_it_is_made() -> None:
    assert write_table() == write_table()


def test_the_files_say_what_the_table_does_and_each_field_has_a_line() -> None:
    for name, content in command_table().items():
        text = write_table()[name]
        assert json.loads(text) == json.loads(json.dumps(content))
        fields = text.count('"kind": ')
        assert sum('"kind": ' in line for line in text.splitlines()) == fields


def test_a_name_has_the_same_label_wherever_it_stands() -> None:
    for operation in table().operations:
        for field in (*operation.fields, *operation.answer):
            assert table().quantities[field.name].label == field.label


def test_a_command_reads_the_file_of_its_own_operation_alone(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    for path in folder.glob("*.json"):
        if path.name not in ("index.json", "quantities.json", "parts.json", "magnification.json"):
            path.write_text("not JSON", encoding="utf-8")
    known = Table(str(folder))
    given = parser_for(known).parse_args(["magnification", "--subject-width-mm", "36", "--sensor", "36x24"])
    members, _ = request_of(given, known.operation("magnification"), known)
    assert members == {"subject_width_mm": 36.0, "sensor": "36x24"}


NEW = {
    "name": "gathering",
    "path": "/v1/gathering",
    "method": "POST",
    "by_query": "document",
    "summary": "An operation that does not exist yet",
    "description": "It takes a basket, a number and a list.",
    "fields": [
        {
            "name": "basket",
            "kind": "group",
            "label": "basket",
            "fields": [{"name": "depth_mm", "kind": "number", "label": "depth", "unit": "mm", "required": True}],
        },
        {"name": "weight_kg", "kind": "number", "label": "weight", "unit": "kg"},
        {"name": "covered", "kind": "flag", "label": "covered"},
        {"name": "rows", "kind": "other", "label": "rows", "list": True},
    ],
    "answer": [{"name": "total_kg", "kind": "number", "label": "total", "unit": "kg"}],
    "examples": [],
}


def test_a_new_operation_needs_no_change_of_the_command_line(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    index = json.loads((folder / "index.json").read_text(encoding="utf-8"))
    index.append({name: NEW[name] for name in ("name", "path", "summary")})
    (folder / "index.json").write_text(json.dumps(index), encoding="utf-8")
    (folder / "gathering.json").write_text(json.dumps(NEW), encoding="utf-8")
    extended = Table(str(folder))
    document = tmp_path / "request.json"
    document.write_text('{"rows": [1, 2], "weight_kg": 1}', encoding="utf-8")
    words = ["gathering", "--document", str(document), "--basket", "depth=3,5cm", "--weight-kg", "2", "--no-covered"]
    given = parser_for(extended).parse_args(words)
    members, wording = request_of(given, extended.operation("gathering"), extended)
    assert members == {"rows": [1, 2], "weight_kg": 2.0, "basket": {"depth_mm": 35.0}, "covered": False}
    answer = {"total_kg": 7.0, "newer": {"height_mm": None}, "crates": [{"id": "A", "width_mm": 3.25}, {"id": "B"}]}
    assert answer_text(answer, wording, 80, all_cautions=False) == (
        "Total     7 kg\nNewer\n  Height  not determined\n\nid  width mm\nA       3.25\nB          -\n"
    )
