"""Quick acceptance: what is plainly right is taken member by member; all else marshmallow judges and words.

A field that has an `acceptor` hands out a test of its own, made from its own validators: it returns the loaded value, or
`IN_DOUBT` for everything that the field's full text has to look at. Hooks, nested schemas and whatever has no such test run
as ever, and at the first doubt the whole object is left to marshmallow. `tests/property/test_quick_acceptance.py` holds both
ways against each other.
"""

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

from marshmallow import RAISE, Schema, ValidationError, fields, missing, validate

from closeup_service.schemas.items import Items

if TYPE_CHECKING:
    from marshmallow.error_store import ErrorStore
    from marshmallow.types import SchemaValidator, StrSequenceOrSet, UnknownOption

IN_DOUBT = object()
CONCERNS = "concerns"
Acceptor = Callable[[object], object]
Rule = TypeVar("Rule", bound=Callable[..., object])
Held = TypeVar("Held")
"""What a field makes of its value."""


def concerning(*names: str) -> Callable[[Rule], Rule]:
    """Mark a rule of a schema that has nothing to say where none of these members is given: it is then not asked."""

    def mark(rule: Rule) -> Rule:
        setattr(rule, CONCERNS, frozenset(names))
        return rule

    return mark


def within(field: fields.Field[Held]) -> tuple[float, float] | None:
    """Both inclusive bounds of a field that is checked for nothing else, or None."""
    checks = field.validators
    if len(checks) != 1 or type(checks[0]) is not validate.Range:
        return None
    low, high = checks[0].min, checks[0].max
    both = low is not None and high is not None and checks[0].min_inclusive and checks[0].max_inclusive
    return (low, high) if both else None


def one_of(field: fields.Field[Held]) -> frozenset[str] | None:
    """Choices of a field that is checked for nothing else, or None."""
    checks = field.validators
    return frozenset(checks[0].choices) if len(checks) == 1 and type(checks[0]) is validate.OneOf else None


def acceptor_of(field: fields.Field[Held]) -> Acceptor | None:
    """Quick test of a field, where it has one."""
    if field.allow_none:
        return None
    if type(field) is Items:
        return acceptor_of_items(field)
    offered: Callable[[], Acceptor | None] | None = getattr(field, "acceptor", None)
    return None if offered is None else offered()


def acceptor_of_items(field: Items[Held]) -> Acceptor | None:
    """Quick test of a list that is checked for its length alone: none of its items is in doubt."""
    accept, lengths = acceptor_of(field.inner), counted(field)
    if accept is None or lengths is None:
        return None

    def accept_all(values: object) -> object:
        if type(values) is not list or len(values) not in lengths:
            return IN_DOUBT
        taken = [accept(value) for value in values]
        return IN_DOUBT if any(value is IN_DOUBT for value in taken) else taken

    return accept_all


def counted(field: fields.Field[Held]) -> range | None:
    """Lengths that a field allows, where it is checked for nothing else, or None."""
    checks = field.validators
    if len(checks) != 1 or type(checks[0]) is not validate.Length:
        return None
    fewest, most = checks[0].min, checks[0].max
    return None if fewest is None or most is None else range(fewest, most + 1)


def is_plain(field: fields.Field[Held]) -> bool:
    """Whether a field is known by its own name and, left out, stays out."""
    return field.data_key is None and field.attribute is None and field.load_default is missing


class QuickSchema(Schema):
    """A schema that takes quickly what is plainly right."""

    @cached_property
    def _acceptors(self) -> dict[str, Acceptor | None] | None:
        if not all(map(is_plain, self.load_fields.values())):
            return None
        return {name: acceptor_of(field) for name, field in self.load_fields.items()}

    @cached_property
    def _needed(self) -> frozenset[str]:
        return frozenset(name for name, field in self.load_fields.items() if field.required)

    def _deserialize(
        self,
        data: Mapping[str, object] | Sequence[Mapping[str, object]],
        *,
        error_store: "ErrorStore",
        many: bool = False,
        partial: "bool | StrSequenceOrSet | None" = None,
        unknown: "UnknownOption" = RAISE,
        index: int | None = None,
    ) -> object:
        """Load as marshmallow does, quickly where nothing is in doubt."""
        usual = not many and partial is None and unknown == RAISE
        loaded = self._accepted(data) if usual else None
        if loaded is None or not isinstance(data, Mapping):
            return super()._deserialize(
                data, error_store=error_store, many=many, partial=partial, unknown=unknown, index=index
            )
        for name in [name for name, value in loaded.items() if value is missing]:
            loaded[name] = self._in_full(name, data, error_store)
            if loaded[name] is missing:
                del loaded[name]
        return loaded

    def _accepted(self, data: object) -> dict[str, object] | None:
        """Members of an object of which none is in doubt, `missing` for those without a quick test; else None."""
        acceptors = self._acceptors
        if acceptors is None or type(data) is not dict or not acceptors.keys() >= data.keys() >= self._needed:
            return None
        loaded: dict[str, object] = {}
        for name, accept in acceptors.items():
            if name in data:
                taken = loaded[name] = missing if accept is None else accept(data[name])
                if taken is IN_DOUBT:
                    return None
        return loaded

    def _in_full(self, name: str, data: Mapping[str, object], error_store: "ErrorStore") -> object:
        """Load one member by its field; keep its faults, and what is valid beside them, as marshmallow does."""
        try:
            return self.load_fields[name].deserialize(data[name], name, data)
        except ValidationError as error:
            error_store.store_error(error.messages, name)  # type: ignore[no-untyped-call]
            return error.valid_data or missing

    def _run_validator(
        self,
        validator_func: "SchemaValidator",
        output: object,
        *,
        original_data: object,
        error_store: "ErrorStore",
        many: bool,
        partial: "bool | StrSequenceOrSet | None",
        unknown: "UnknownOption | None",
        pass_original: bool,
        index: int | None = None,
    ) -> None:
        """Ask a rule, unless it concerns only members that are not given."""
        concerns: frozenset[str] | None = getattr(validator_func, CONCERNS, None)
        if concerns is not None and isinstance(original_data, Mapping) and concerns.isdisjoint(original_data):
            return
        super()._run_validator(
            validator_func,
            output,
            original_data=original_data,
            error_store=error_store,
            many=many,
            partial=partial,
            unknown=unknown,
            pass_original=pass_original,
            index=index,
        )
