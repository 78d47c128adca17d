"""Quick acceptance loads and refuses what marshmallow's own way does: same values, same faults in the same order."""

import copy
from collections.abc import Mapping
from typing import Any
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from marshmallow import ValidationError, fields, validate

from closeup_service.operations.asking.refusals import faults
from closeup_service.operations.operation import Operation
from closeup_service.operations.registry import operations
from closeup_service.schemas.fields import Flag, Number, RequestSchema, Text, Whole, quantity
from closeup_service.schemas.items import Items
from closeup_service.schemas.quick_acceptance import QuickSchema
from thoroughness import up_to

ASKED = [
    each for each in operations() if each.request_schema is not None and each.examples and not each.takes_photographs
]
JUNK: st.SearchStrategy[Any] = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-3, 400),
    st.sampled_from([10**400, -(10**30), 2**63, 1e308, -0.0, 5e-324, float("inf"), float("nan")]),
    st.floats(-10, 1000),
    st.text(max_size=4),
    st.sampled_from(["normal", "reversed", "36x24", "lens", "spacer", "geometric", "contrast"]),
    st.lists(st.floats(0, 9), max_size=4),
    st.lists(st.sampled_from(["normal", "reversed", True, None, 8, 10**400, float("nan")]), max_size=3),
    st.dictionaries(st.sampled_from(["element", "f_number", "use", "x"]), st.floats(0, 9), max_size=2),
)


class Inner(RequestSchema):
    """An object within."""

    x = quantity("f_number", required=True)
    use = Text(("lens", "spacer"))


class Everything(RequestSchema):
    """Every field that has a quick test, and neighbours that must not be given one."""

    required = quantity("f_number", required=True)
    number = quantity("magnification")
    unbounded = Number()
    half_bounded = Number(validate=validate.Range(min=0))
    open_bound = Number(validate=validate.Range(0, 9, min_inclusive=False))
    twice_bounded = Number(validate=[validate.Range(0, 9), validate.Range(3, 12)])
    or_null = Number(validate=validate.Range(0, 9), allow_none=True)
    count = Whole(1, 5, "A count.")
    word = Text(("normal", "reversed"))
    flag = Flag()
    nested = fields.Nested(Inner)
    listed = Items(fields.Nested(Inner), validate=validate.Length(1, 2))
    numbers = Items(quantity("f_number"), validate=validate.Length(1, 3))
    words = Items(Text(("normal", "reversed")), validate=validate.Length(2, 2))
    exactly = Items(Flag(), validate=validate.Length(equal=2))
    at_least = Items(Flag(), validate=validate.Length(min=1))
    any_length = Items(quantity("magnification"))


def outcome(schema: RequestSchema, members: Any) -> tuple[Any, Any]:
    """What is loaded, or the faults in their order."""
    try:
        return schema.load(copy.deepcopy(members)), None
    except ValidationError as error:
        return None, list(faults(error.messages))


def both_ways(schema: Any, members: Any) -> tuple[Any, Any]:
    with patch.object(QuickSchema, "_accepted", lambda self, data: None):
        expected = outcome(schema, members)
    return outcome(schema, members), expected


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every member and item of a request, by its path."""
    inner = value.items() if isinstance(value, Mapping) else enumerate(value) if isinstance(value, list) else ()
    return [found for key, each in inner for found in ((*path, key), *places(each, (*path, key)))]


def changed(data: st.DataObject, request: Mapping[str, Any]) -> Any:
    """Request with up to three places changed, taken away or added to."""
    members = copy.deepcopy(dict(request))
    for _ in range(data.draw(st.integers(0, 3))):
        known = places(members)
        if not known:
            break
        *path, last = data.draw(st.sampled_from(known))
        inner: Any = members
        for step in path:
            inner = inner[step]
        action = data.draw(st.sampled_from(["change", "remove", "add"]))
        if action == "change":
            inner[last] = data.draw(JUNK)
        elif action == "remove":
            del inner[last]
        elif isinstance(inner, dict):
            inner[data.draw(st.sampled_from(["unknown", "f_number", "mounting", "sensor", "use"]))] = data.draw(JUNK)
    return members


@pytest.mark.parametrize("operation", ASKED, ids=[each.operation_id for each in ASKED])
@settings(max_examples=up_to(40))
@given(data=st.data())
def test_a_request_is_loaded_or_refused_alike(operation: Operation, data: st.DataObject) -> None:
    request = data.draw(st.sampled_from(operation.examples)).request
    found, expected = both_ways(operation.request_schema, changed(data, request))
    assert repr(found) == repr(expected)


@given(st.dictionaries(st.sampled_from([*Everything().fields, "unknown"]), JUNK | st.just({"x": 2.0})))
@settings(max_examples=up_to(400))
def test_any_field_is_loaded_or_refused_alike(members: dict[str, Any]) -> None:
    found, expected = both_ways(Everything(), members)
    assert repr(found) == repr(expected)


def test_what_is_plainly_right_is_taken_quickly() -> None:
    members = {"required": 8, "number": 1.5, "count": 3, "word": "reversed", "flag": True, "numbers": [2, 2.8]}
    loaded = Everything()._accepted(members)
    assert loaded == members
    numbers: Any = loaded["numbers"]
    assert [type(number) for number in numbers] == [float, float]
    assert Everything()._accepted(members | {"number": 1e9}) is None
    assert Everything()._accepted(members | {"numbers": [2, 1e9]}) is None
    assert Everything()._accepted({"number": 1.5}) is None
