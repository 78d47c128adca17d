"""The client's types against the service's schemas: neither may move without the other."""

from collections.abc import Iterator
from dataclasses import fields as fields_of
from dataclasses import is_dataclass
from types import NoneType, UnionType
from typing import Any, Literal, get_args, get_origin, get_type_hints, is_typeddict

import pytest
from marshmallow import Schema, fields, validate

from closeup_client import Client, Element
from closeup_service.operations.operation import Operation, is_file
from closeup_service.operations.registry import operations
from closeup_service.schemas.train import ELEMENTS
from method_names import method_name

OPEN_LENGTHS = {("Spacer", "length_mm")}
"""Required by the service, yet left out of the train where they are the unknown of a solve."""

SUMS = [operation for operation in operations() if operation.request_schema is not None]


def hints_of(operation: Operation) -> dict[str, Any]:
    return get_type_hints(getattr(Client, method_name(operation)))


def request_differences(kind: Any, schema: Schema) -> Iterator[str]:
    hints = get_type_hints(kind)
    names = hints.keys() ^ {name for name, field in schema.fields.items() if not is_file(field)}
    yield from (f"{kind.__name__}.{name} is on one side only" for name in names)
    for name in hints.keys() & schema.fields.keys():
        field, hint = schema.fields[name], hints[name]
        required = name in kind.__required_keys__
        if field.required != required and (kind.__name__, name) not in OPEN_LENGTHS:
            yield f"{kind.__name__}.{name} is required on one side only"
        if get_origin(hint) is Literal and set(get_args(hint)) != choices(field):
            yield f"{kind.__name__}.{name} takes other words than the service"
        if is_typeddict(hint):
            assert isinstance(field, fields.Nested)
            yield from request_differences(hint, field.schema)


def choices(field: fields.Field[Any]) -> set[Any]:
    return {choice for rule in field.validators if isinstance(rule, validate.OneOf) for choice in rule.choices}


def answer_differences(kind: Any, schema: Schema) -> Iterator[str]:
    hints = get_type_hints(kind)
    names = {field.name for field in fields_of(kind)} - {"raw"}
    empty = {field.name for field in fields_of(kind) if field.default == ()}
    yield from (f"{kind.__name__}.{name} is on one side only" for name in names ^ schema.fields.keys())
    for name in names & schema.fields.keys():
        field, hint = schema.fields[name], hints[name]
        nullable = get_origin(hint) is UnionType and NoneType in get_args(hint)
        if nullable != (field.allow_none or not (field.required or name in empty)):
            yield f"{kind.__name__}.{name} may be null on one side only"
        yield from nested_differences(innermost(hint), field)


def innermost(hint: Any) -> Any:
    return innermost(get_args(hint)[0]) if get_args(hint) else hint


def nested_differences(hint: Any, field: fields.Field[Any]) -> Iterator[str]:
    inner = field.inner if isinstance(field, fields.List) else field
    assert is_dataclass(hint) == isinstance(inner, fields.Nested)
    if isinstance(inner, fields.Nested):
        yield from answer_differences(hint, inner.schema)


@pytest.mark.parametrize("operation", SUMS, ids=lambda operation: operation.operation_id)
def test_keyword_arguments_are_the_fields_of_the_request(operation: Operation) -> None:
    hints = hints_of(operation)
    photographs = [name for name in hints if name in ("photo", "photos")]
    (unpacked,) = (hint for name, hint in hints.items() if name not in ("return", *photographs))
    assert operation.request_schema is not None
    assert bool(photographs) == operation.takes_photographs
    assert list(request_differences(get_args(unpacked)[0], operation.request_schema)) == []


@pytest.mark.parametrize("operation", SUMS, ids=lambda operation: operation.operation_id)
def test_results_have_the_fields_of_the_answer(operation: Operation) -> None:
    assert list(answer_differences(hints_of(operation)["return"], operation.answer_schema)) == []


@pytest.mark.parametrize(
    "operation", [each for each in operations() if each not in SUMS], ids=lambda operation: operation.operation_id
)
def test_records_have_the_fields_of_the_catalogue(operation: Operation) -> None:
    assert operation.answer_schema.fields.keys() == {"records"}
    kind = get_args(hints_of(operation)["return"])[0]
    assert list(nested_differences(kind, operation.answer_schema.fields["records"])) == []


def element_types() -> dict[str, Any]:
    return {get_args(get_type_hints(kind)["element"])[0]: kind for kind in get_args(Element)}


def test_the_client_builds_every_element_of_the_service() -> None:
    assert element_types().keys() == ELEMENTS.keys()


@pytest.mark.parametrize("name", ELEMENTS)
def test_elements_have_the_fields_of_their_schema(name: str) -> None:
    assert list(request_differences(element_types()[name], ELEMENTS[name])) == []
