"""The published document says each thing once, and with its references followed what the whole one says."""

import json
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.published.document import concise, published, written_out
from closeup_service.published.groups import group_members
from closeup_service.published.sharing import shared
from closeup_service.published.short_examples import cut, with_short_examples
from closeup_service.published.terse import terse
from closeup_service.running.settings import Settings
from references import written_out as followed

LENGTH = {"type": "number", "description": "A length, described in so many words that it pays to say them once."}
OPENAPI = Path(__file__).parents[3] / "openapi"
OTHER = {"type": "integer", "description": "A count, described in so many words that it pays to say them once."}


@cache
def whole() -> Any:
    return written_out(Settings())


@cache
def short() -> Any:
    return with_short_examples(whole())


@cache
def public() -> Any:
    return published(whole())


def own(document: dict[str, Any]) -> set[str]:
    """Pointers of the components that the document has before anything is shared."""
    return {f"#/components/{section}/{name}" for section, all_ in document["components"].items() for name in all_}


def text(value: Any) -> str:
    return json.dumps(value, sort_keys=True)


def test_with_its_references_followed_it_says_what_the_whole_document_says() -> None:
    assert text(followed(public(), own(whole()))) == text(concise(whole()))


def test_the_whole_document_is_left_as_it_was() -> None:
    before = text(whole())
    published(whole())
    assert text(whole()) == before


def test_of_the_whole_document_only_examples_are_shortened() -> None:
    copies = [json.loads(text(document)) for document in (short(), whole())]
    for document in copies:
        for item in document["paths"].values():
            for operation in item.values():
                bodies = [
                    operation["responses"]["200"],
                    operation.get("requestBody", {}),
                    *operation.get("parameters", ()),
                ]
                for content in (each for body in bodies for each in body.get("content", {}).values()):
                    content.pop("examples", None)
    assert copies[0] == copies[1]


@pytest.mark.parametrize("section", ["parameters", "responses"])
def test_no_two_components_of_a_section_say_the_same(section: str) -> None:
    entries = public()["components"][section]
    assert entries
    assert len(set(map(text, entries.values()))) == len(entries)


def test_no_component_is_left_unused() -> None:
    written = text(public())
    new = own(public()) - own(whole())
    assert len(new) > 100
    schemas = public()["components"]["schemas"]
    objects = {f"#/components/schemas/{name}" for name, schema in schemas.items() if schema.get("type") == "object"}
    assert [pointer for pointer in new - objects if written.count(f'"$ref": "{pointer}"') < 2] == []
    assert [pointer for pointer in objects if f'"$ref": "{pointer}"' not in written] == []


def test_nothing_is_written_out_twice_among_parameters_and_refusals() -> None:
    operations = [operation for item in public()["paths"].values() for operation in item.values()]
    parameters = [
        text(each) for operation in operations for each in operation.get("parameters", ()) if "$ref" not in each
    ]
    answers = [text(each) for operation in operations for each in operation["responses"].values() if "$ref" not in each]
    assert len(set(parameters)) == len(parameters)
    assert len(set(answers)) == len(answers)


def test_the_most_frequent_of_one_name_gets_the_plain_name() -> None:
    """`length_mm` of A stands alone, of B and C it is another, of D to F a third."""
    members = dict(zip("ABCDEF", ({"type": "string"}, OTHER, OTHER, LENGTH, LENGTH, LENGTH), strict=True))
    schemas = {name: {"type": "object", "properties": {"length_mm": member}} for name, member in members.items()}
    document: Any = {"paths": {}, "components": {"schemas": schemas}}
    told: Any = shared(document)["components"]["schemas"]
    assert told["LengthMm"] == LENGTH
    assert told["BLengthMm"] == OTHER
    assert {name: told[name]["properties"]["length_mm"] for name in "ABCD"} == {
        "A": {"type": "string"},
        "B": {"$ref": "#/components/schemas/BLengthMm"},
        "C": {"$ref": "#/components/schemas/BLengthMm"},
        "D": {"$ref": "#/components/schemas/LengthMm"},
    }


def test_a_member_called_like_a_schema_takes_nothing_from_it() -> None:
    camera = {"type": "object", "properties": {"camera": LENGTH}}
    body = {"type": "object", "properties": {"camera": LENGTH}}
    document: Any = {"paths": {}, "components": {"schemas": {"Camera": camera, "Body": body}}}
    told = shared(document)["components"]["schemas"]
    assert told["Camera"] == {"type": "object", "properties": {"camera": {"$ref": "#/components/schemas/CameraCamera"}}}
    assert told["CameraCamera"] == LENGTH


MEMBERS = st.dictionaries(st.sampled_from(["a", "b_mm", "c"]), st.sampled_from([LENGTH, OTHER, {"type": "string"}]))


@given(st.dictionaries(st.sampled_from(["A", "BMm", "Lens", "Body"]), MEMBERS))
def test_whatever_members_schemas_have_nothing_is_lost(members: dict[str, Any]) -> None:
    schemas = {name: {"type": "object", "properties": dict(each)} for name, each in members.items()}
    document: Any = {"paths": {}, "components": {"schemas": schemas}}
    expected = {"schemas": schemas} if schemas else {}
    told: Any = shared(document)
    assert followed(told, own(document))["components"] == expected


def examples(document: dict[str, Any]) -> list[tuple[dict[str, Any], dict[str, Any]]]:
    """Every example of an answer with the schema it is to fit."""
    contents = [
        content
        for item in document["paths"].values()
        for operation in item.values()
        for content in operation["responses"]["200"]["content"].values()
    ]
    return [(each, content["schema"]) for content in contents for each in content.get("examples", {}).values()]


def test_short_answers_fit_their_schemas() -> None:
    assert len(examples(short())) > 50
    for example, schema in examples(short()):
        validator = jsonschema.Draft202012Validator({**schema, "components": whole()["components"]})
        validator.validate(example["value"])


def test_examples_of_answers_have_no_notes_and_the_document_says_so() -> None:
    told = [each["value"] for each, _ in examples(short())]
    assert {text(each.get("remarks", [])) + text(each.get("cautions", [])) for each in told} == {"[][]"}
    assert "no remarks or cautions" in whole()["info"]["description"]


def test_each_operation_shows_one_request_and_its_answer() -> None:
    """The names tell which answer is to which request."""
    for item in short()["paths"].values():
        for operation in item.values():
            holders = [operation.get("requestBody", {}), *operation.get("parameters", ())]
            asked = [each["examples"] for holder in holders for each in holder.get("content", {}).values()]
            answered = operation["responses"]["200"]["content"].get("application/json", {}).get("examples", {})
            assert all(list(each) == list(answered) and len(each) == 1 for each in asked)


def test_the_document_is_at_most_half_as_large_as_that_of_the_first_release() -> None:
    """As it is served: without blanks."""
    released = json.loads((OPENAPI / "released" / "1.0.0.json").read_text(encoding="utf-8"))
    sizes = [len(json.dumps(each, separators=(",", ":"), ensure_ascii=False).encode()) for each in (public(), released)]
    assert sizes[0] <= sizes[1] / 2


def test_lists_are_cut_to_what_their_schema_wants_those_of_records_the_most() -> None:
    row: Any = {"type": "object", "properties": {"notes": {"type": "array", "items": {"type": "object"}}}}
    schemas: Any = {
        "Answer": {
            "properties": {"rows": {"type": "array", "minItems": 2, "items": {"$ref": "#/components/schemas/Row"}}}
        }
    }
    record = {"notes": [{"n": 1}, {"n": 2}]}
    value = {"rows": [record, record, record], "numbers": [*range(9)], "none": [], "unknown": [{}, {}]}
    schemas["Answer"]["properties"]["numbers"] = {"type": "array", "items": {"type": "number"}}
    told = cut(value, {"$ref": "#/components/schemas/Answer"}, {**schemas, "Row": row})
    assert told == {"rows": [{"notes": [{"n": 1}]}] * 2, "numbers": [0, 1, 2, 3, 4], "none": [], "unknown": [{}, {}]}


def test_a_unit_is_said_where_the_name_does_not_end_with_it_and_nowhere_else() -> None:
    units = {"length_mm": "mm", "speed_mm_s": "mm/s", "detail_lp_per_mm": "lp/mm", "minimum": "mm", "ratio": "1"}
    properties = {name: {"description": f"What [it] is. [{unit}]", "x-unit": unit} for name, unit in units.items()}
    document: Any = {"paths": {}, "components": {"schemas": {"A": {"properties": properties}}}}
    told = terse(document)["components"]["schemas"]["A"]["properties"]
    assert {name for name, member in told.items() if member.get("description") != "What [it] is."} == {"minimum"}


def test_a_group_of_members_is_taken_over_by_the_objects_that_have_all_of_it_alike() -> None:
    notes = {name: {"type": "array", "description": name} for name in ("assumed", "remarks", "cautions")}
    open_ = {"type": "object", "properties": {**notes, "a": {}}, "required": ["a", *notes]}
    schemas: Any = {
        **{name: json.loads(text(open_)) for name in "AB"},
        "Closed": {**open_, "additionalProperties": False},
        "Optional": {**open_, "required": ["a"]},
        "Other": {**open_, "properties": {**notes, "remarks": {"type": "string"}}},
    }
    before = json.loads(text(schemas))
    group_members(schemas)
    assert {name for name, schema in schemas.items() if "allOf" in schema} == {"A", "B"}
    assert schemas["A"]["properties"] == {"a": {}}
    assert schemas["Notes"]["properties"] == notes
    whole_again: Any = followed(
        {"components": {"schemas": schemas}}, {f"#/components/schemas/{each}" for each in before}
    )
    assert text(whole_again["components"]["schemas"]["A"]["properties"]) == text(before["A"]["properties"])
    assert whole_again["components"]["schemas"]["A"]["required"] == sorted(before["A"]["required"])
