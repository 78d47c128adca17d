"""Every refusal is in this service's own words, which say what to give, and in none of the library's."""

from collections.abc import Iterator
from typing import Any

import pytest
from marshmallow import ValidationError, fields, validate

from closeup_service.operations.registry import operations
from closeup_service.schemas.fields import load

KINDS = [kind for kind in vars(fields).values() if isinstance(kind, type) and issubclass(kind, fields.Field)]
OF_THE_LIBRARY = {text for kind in KINDS for text in kind.default_error_messages.values()} | {
    validate.Regexp.default_message
}
WRONG: tuple[Any, ...] = (None, "\n", 0.5, True, [None], [{}], {})
"""Values of every kind: each is wrong for most members."""

TAKING = [operation for operation in operations() if operation.request_schema is not None]


def texts(messages: Any) -> Iterator[str]:
    """Every text of a tree of refusals."""
    if isinstance(messages, str):
        yield messages
    else:
        for part in messages.values() if isinstance(messages, dict) else messages:
            yield from texts(part)


@pytest.mark.parametrize("operation", TAKING, ids=lambda each: each.operation_id)
def test_no_refusal_is_in_the_librarys_words(operation: Any) -> None:
    schema = operation.request_schema
    said: set[str] = set()
    for members in ({}, *(dict.fromkeys(schema.fields, value) for value in WRONG)):
        try:
            load(schema, members)
        except ValidationError as refusal:
            said.update(texts(refusal.messages))
    assert said
    assert not said & OF_THE_LIBRARY


def test_a_missing_photograph_is_asked_for_as_a_file() -> None:
    schema = next(each.request_schema for each in TAKING if each.operation_id == "readScalePhoto")
    assert schema is not None
    with pytest.raises(ValidationError) as refusal:
        load(schema, {"tick_pitch_mm": 1.0})
    assert refusal.value.messages == {"photo": ["This part is required: send the photograph as a file."]}
