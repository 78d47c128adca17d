"""Lists of a request: their length is judged before any item, and items only until enough is known to be wrong."""

from collections.abc import Mapping
from contextvars import ContextVar
from typing import TypeVar, cast

from marshmallow import ValidationError, fields, validate

MOST_FAULTS = 100
"""Faults in lists after which a request is looked at no further; a refusal lists as many."""

Item = TypeVar("Item")


class Found:
    """How many faults the lists of a request have so far."""

    count = 0


FOUND: ContextVar[Found | None] = ContextVar("FOUND", default=None)
"""Of the request that is being loaded; `fields.load` sets it."""


def is_enough_found() -> bool:
    """Whether the request has so many faults already that no further ones are looked for."""
    found = FOUND.get()
    return found is not None and found.count >= MOST_FAULTS


class Items(fields.List[Item]):
    """A list that costs no more to refuse than to take."""

    def _deserialize(
        self, value: object, attr: str | None, data: Mapping[str, object] | None, **kwargs: object
    ) -> list[Item | None]:
        """Load every item, but none of a list that is too short or too long, and none after too many faults."""
        del attr, data
        if not isinstance(value, list):
            raise self.make_error("invalid")
        self.refuse_length(value)
        found = FOUND.get() or Found()
        loaded: list[Item | None] = []
        faults: dict[int, object] = {}
        for index, each in enumerate(value):
            if found.count >= MOST_FAULTS:
                raise ValidationError(faults)
            before = found.count
            try:
                loaded.append(self.inner.deserialize(each, attr=None, data=None, **kwargs))
            except ValidationError as error:
                faults[index] = error.messages
                found.count = before + count_faults(error.messages)
                if error.valid_data is not None:
                    loaded.append(cast(Item, error.valid_data))
        if faults:
            raise ValidationError(faults, valid_data=loaded)
        return loaded

    def refuse_length(self, value: list[object]) -> None:
        """Refuse a list of more or fewer items than are taken."""
        for check in self.validators:
            if isinstance(check, validate.Length):
                check(value)


def count_faults(messages: object) -> int:
    """Count the single texts in marshmallow's nested messages."""
    if isinstance(messages, Mapping):
        return sum(map(count_faults, messages.values()))
    return sum(map(count_faults, messages)) if isinstance(messages, list) else 1
