"""Strict fields: JSON numbers are numbers, strings are strings, and every bound comes from the vocabulary."""

import difflib
import math
import re
from collections.abc import Mapping, Sequence
from typing import Any, ClassVar, TypeAlias, TypedDict, TypeVar, Unpack, cast

from marshmallow import RAISE, Schema, ValidationError, fields, types, validate

from closeup_service.advice.figures import plain_decimal
from closeup_service.language import later, mark, tr
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.schemas.items import FOUND, MOST_FAULTS, Found, Items
from closeup_service.schemas.null_members import without_nulls
from closeup_service.schemas.quick_acceptance import IN_DOUBT, Acceptor, Held, QuickSchema, one_of, within

BOUND_DIGITS = 10
DECIMAL_COMMA = re.compile(r"-?\d{1,20},\d{1,20}", re.ASCII)
Messages = dict[str, str | list[Any] | dict[Any, Any]]
"""Refusals of a field by their names, as marshmallow types them."""


AnyField: TypeAlias = fields.Field[Any]
"""A field, whatever it makes of its value."""


class Options(TypedDict, total=False):
    """What may be said of any field of a request."""

    required: bool
    allow_none: bool


class DescribedOptions(Options, total=False):
    """What may be said of a field that has no description of its own."""

    metadata: Mapping[str, object]


class Number(fields.Float):
    """A finite JSON number within inclusive bounds; strings, booleans and null are not numbers."""

    default_error_messages: ClassVar[Messages] = {  # type: ignore[misc]
        "null": mark("Give a number, or leave the member out.")
    }

    def _deserialize(self, value: object, attr: str | None, data: object, **kwargs: object) -> float:
        del attr, data, kwargs
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValidationError(no_number(value))
        try:
            number = float(value)
        except OverflowError:
            raise ValidationError(tr("This number is too large.")) from None
        if not math.isfinite(number):
            raise ValidationError(tr("Give a finite number."))
        return number

    def acceptor(self) -> Acceptor | None:
        """Quick test: a number within the bounds."""
        bounds = within(self)
        if bounds is None:
            return None
        low, high = bounds

        def accept(value: object) -> object:
            if (type(value) is float or type(value) is int) and low <= value <= high:
                return float(value)
            return IN_DOUBT

        return accept


def no_number(value: object) -> str:
    """Say what would be right in place of a value that is no number."""
    if isinstance(value, str) and DECIMAL_COMMA.fullmatch(value):
        return tr("Give a number, with a decimal point: {value}.", value=value.replace(",", "."))
    return tr("Give a number.")


class Whole(fields.Integer):
    """A JSON number without a fraction, within inclusive bounds."""

    def __init__(self, least: int, most: int, description: str, **kwargs: Unpack[Options]) -> None:
        self.refusal = later("Give a whole number from {least} to {most}.", least=least, most=most)
        super().__init__(
            validate=validate.Range(least, most, error=self.refusal),
            error_messages={"null": self.refusal},
            metadata={"description": description, "format": "int32"},
            **kwargs,
        )

    def _deserialize(self, value: object, attr: str | None, data: object, **kwargs: object) -> int:
        del attr, data, kwargs
        if isinstance(value, bool) or not isinstance(value, int | float) or value != value // 1:
            raise ValidationError(self.refusal)
        return int(value)

    def acceptor(self) -> Acceptor | None:
        """Quick test: an integer within the bounds."""
        bounds = within(self)
        if bounds is None:
            return None
        low, high = bounds
        return lambda value: value if type(value) is int and low <= value <= high else IN_DOUBT


class Text(fields.String):
    """A JSON string, one of a closed list."""

    def __init__(self, choices: Sequence[str], beside: str = "", **kwargs: Unpack[DescribedOptions]) -> None:
        named = ", ".join(choices)
        refusal = (
            later("Give one of: {choices}. {beside}", choices=named, beside=beside)
            if beside
            else later("Give one of: {choices}.", choices=named)
        )
        super().__init__(
            validate=validate.OneOf(choices, error=refusal),
            error_messages={"invalid": refusal, "null": refusal},
            **kwargs,
        )

    def acceptor(self) -> Acceptor | None:
        """Quick test: one of the list."""
        choices = one_of(self)
        return None if choices is None else lambda value: value if type(value) is str and value in choices else IN_DOUBT


class Flag(fields.Boolean):
    """A JSON boolean; nothing else stands for true or false."""

    default_error_messages: ClassVar[Messages] = {  # type: ignore[misc]
        "invalid": mark("Give true or false."),
        "null": mark("Give true or false."),
    }

    def _deserialize(self, value: object, attr: str | None, data: object, **kwargs: object) -> bool:
        del attr, data, kwargs
        if not isinstance(value, bool):
            raise self.make_error("invalid")
        return value

    def acceptor(self) -> Acceptor | None:
        """Quick test: true or false."""
        return None if self.validators else lambda value: value if type(value) is bool else IN_DOUBT


class Pattern(validate.Regexp):
    """The whole text matches; a final line break, which `$` overlooks, does not."""

    def __call__(self, value: Any) -> Any:
        """Refuse what does not match."""
        if self.regex.fullmatch(value) is None:
            raise ValidationError(self._format_error(value))
        return value


ID_PATTERN = r"^[a-z0-9][a-z0-9-]{0,63}$"
ID_REFUSAL = mark("Give an id of 1 to 64 small letters, digits and hyphens, a letter or digit first.")


class Id(fields.String):
    """An id that a kit gives to a part, a setting or a mount."""

    def __init__(self, description: str, **kwargs: Unpack[Options]) -> None:
        super().__init__(
            validate=[
                validate.Length(1, 64, error=ID_REFUSAL),
                Pattern(ID_PATTERN, error=ID_REFUSAL),
            ],
            error_messages={"invalid": ID_REFUSAL, "null": ID_REFUSAL},
            metadata={"description": description},
            **kwargs,
        )

    def _deserialize(self, value: object, attr: str | None, data: Mapping[str, object] | None, **kwargs: object) -> str:
        """Say why a dot is refused, and what to write."""
        if isinstance(value, str) and "." in value:
            raise ValidationError(no_dot(value))
        return super()._deserialize(value, attr, data, **kwargs)


def no_dot(value: str) -> str:
    """Say why there is no dot in an id, and what to write in its place."""
    spelt = value.lower().replace(".", "-")
    better = (
        tr("write {spelt}", spelt=spelt)
        if re.fullmatch(ID_PATTERN, spelt) and spelt.isprintable()
        else tr("write a hyphen")
    )
    return tr(
        "No dot in an id: a dot leads to a member within another, as in depth_of_field.total_mm; {better}. "
        "{id_refusal}",
        better=better,
        id_refusal=tr(ID_REFUSAL),
    )


REQUIRED = mark("This member is required.")
_REWORDED: Mapping[type[fields.Field[Any]], Mapping[str, str]] = {
    fields.Field: {"required": REQUIRED, "null": mark("Null is no value: give one, or leave it out.")},
    fields.List: {"invalid": mark("Give a list.")},
}
"""Refusals of marshmallow's own wording, by the kind of field, and the wording here."""


def quantity(name: str, *, meaning: str | None = None, **kwargs: Unpack[Options]) -> Number:
    """Field of the request for a quantity of the vocabulary, with its bounds, unit and meaning."""
    entry = VOCABULARY[name]
    low, high = entry.minimum, entry.maximum
    unit = f" {entry.unit}" if entry.unit else ""
    return Number(
        validate=validate.Range(
            low,
            high,
            error=later("Give a number from {low} to {high}{unit}.", low=bound(low), high=bound(high), unit=unit),
        ),
        metadata=_metadata(name, meaning),
        **kwargs,
    )


def bound(limit: float | None) -> str:
    """Write a bound in full, without powers of ten; nothing where there is none."""
    return "" if limit is None else plain_decimal(limit, BOUND_DIGITS)


def whole(name: str, *, meaning: str | None = None) -> Whole:
    """Field of the request for a count of the vocabulary."""
    entry = VOCABULARY[name]
    assert entry.minimum is not None
    assert entry.maximum is not None
    field = Whole(int(entry.minimum), int(entry.maximum), "")
    field.metadata = _metadata(name, meaning) | {"format": "int32"}
    return field


def numbers(name: str, most: int) -> fields.List[float]:
    """Field of the request for several values of a quantity; in a query separated by commas, or each under the name again."""
    entry = VOCABULARY[name]
    return Items(
        quantity(name),
        validate=validate.Length(1, most, error=later("Give 1 to {most} numbers.", most=most)),
        metadata={
            "description": f"{entry.meaning} Several values; in a query, separated by commas or each under the name again."
        },
    )


def result(name: str, *, meaning: str | None = None, nullable: bool = True, required: bool = True) -> Number:
    """Field of an answer for a quantity of the vocabulary; null where the input does not determine it."""
    return Number(required=required, allow_none=nullable, metadata=_metadata(name, meaning))


def deprecated(field: Number) -> Number:
    """Mark a field that is kept for those who know it, and that nobody new should use."""
    field.metadata = {**field.metadata, "deprecated": True}
    return field


NULL_WITH = "x-null-with"
"""Says of a result with which member of the request it may be null; without that member it never is."""


def open_result(name: str, null_with: str, *, meaning: str | None = None) -> Number:
    """Field of an answer for a quantity that is null only where a member of the request lets it be."""
    return Number(required=True, allow_none=True, metadata={**_metadata(name, meaning), NULL_WITH: null_with})


def _metadata(name: str, meaning: str | None) -> dict[str, object]:
    entry = VOCABULARY[name]
    unit = f"[{entry.unit}]" if entry.unit else "[dimensionless]"
    return {
        "description": f"{meaning or entry.meaning} {unit}",
        "x-unit": entry.unit or "1",
        "format": "double",
    }


Loaded = Mapping[str, str | None]
"""Types of members that loading adds or changes, by name; None where it takes a member away."""


class RequestSchema(QuickSchema):
    """A closed object: unknown members are refused, with the nearest known name."""

    loaded: ClassVar[Loaded] = {}
    """What loading changes beside what each field makes of its value; what is derived from a schema changes that too."""

    takes_null: ClassVar[bool] = True
    """Whether a member that answers leave null may be null here; not where an answer holds this very object."""

    holds_with: ClassVar[str] = ""
    """Flag with which places are held while a request is checked: see `placeholders`."""

    class Meta:
        """Refuse what is not known."""

        unknown = RAISE

    def on_bind_field(self, field_name: str, field_obj: fields.Field[Held]) -> None:
        """Word what the field leaves to marshmallow's wording."""
        del field_name
        reword(field_obj)

    def load(
        self,
        data: object,
        *,
        many: bool | None = None,
        partial: bool | types.StrSequenceOrSet | None = None,
        unknown: types.UnknownOption | None = None,
    ) -> dict[str, object]:
        """Refuse anything but an object before any rule looks at its members."""
        if not isinstance(data, Mapping):
            raise ValidationError(tr("Give an object."))
        held = self.placeholders(data) if self.holds_with and data.get(self.holds_with) is True else {}
        given = {**data, **held} if held else data
        loaded: dict[str, object] = super().load(given, many=many, partial=partial, unknown=unknown)
        return {name: value for name, value in loaded.items() if name not in held} if held else loaded

    def placeholders(self, data: Mapping[str, object]) -> Mapping[str, object]:
        """Values that hold the place of what a request may leave out, so that no rule misses it."""
        del data
        return {}

    def handle_error(self, error: ValidationError, data: object, **kwargs: object) -> None:
        """Word the refusal of unknown members; marshmallow's own says only that they are unknown."""
        del kwargs
        if not isinstance(error.messages, dict):
            return
        known = list(self.fields)
        unknown = [
            name for name in error.messages if name not in self.fields and isinstance(data, Mapping) and name in data
        ]
        for name in unknown[:MOST_FAULTS]:
            error.messages[name] = [unknown_member(str(name), known)]
        for name in unknown[MOST_FAULTS:]:
            del error.messages[name]


def reword(field: fields.Field[Held]) -> None:
    """Put the wording here in place of marshmallow's, but not of a field's own."""
    for kind, messages in _REWORDED.items():
        if isinstance(field, kind):
            given, own = kind.default_error_messages, field.error_messages
            field.error_messages = own | {name: text for name, text in messages.items() if own[name] == given[name]}
    if isinstance(field, fields.List):
        reword(field.inner)


def unknown_member(name: str, known: Sequence[str]) -> str:
    """Say that a member is unknown and which known one its name is near to."""
    near = difflib.get_close_matches(name[:64], known, n=1)
    if near:
        return tr("Unknown; did you mean {near}?", near=near[0])
    return (
        tr("Unknown; known here: {known}.", known=", ".join(known))
        if known
        else tr("Unknown; nothing can be given here.")
    )


def exactly_one(given: Mapping[str, object], *names: str) -> str:
    """Which of these members is given; none, or more than one, is refused."""
    found = [name for name in names if name in given]
    if len(found) != 1:
        text = tr("Give exactly one of: {names}.", names=", ".join(names))
        raise ValidationError({name: [text] for name in found or names})
    return found[0]


def missing_companions(
    original: Mapping[str, object], companions: Mapping[str, tuple[str, str]]
) -> dict[str, list[str]]:
    """Members that are missing though another is given that counts for nothing without: name -> (its companion, why)."""
    missing: dict[str, list[str]] = {}
    for name, (other, reason) in companions.items():
        if name in original and other not in original:
            missing.setdefault(other, []).append(tr("Needed with {name}: {reason}.", name=name, reason=tr(reason)))
    return missing


def holds_objects(field: AnyField | None) -> bool:
    """Whether a field is an object, or a list of them, which no query can hold."""
    return isinstance(field.inner if isinstance(field, fields.List) else field, fields.Nested)


def declared_fields(schema: type[Schema]) -> Mapping[str, AnyField]:
    """Fields that a schema declares, in their order; an instance would copy each of them."""
    return schema._declared_fields


Asked = TypeVar("Asked", bound=Mapping[str, object])


def with_assumed(asked: Asked, assumed: Mapping[str, object]) -> Asked:
    """Return a loaded request with what is assumed of what it leaves out."""
    return cast(Asked, {**asked, **assumed})


def load(schema: Schema, data: Mapping[str, object]) -> dict[str, object]:
    """Validate a request, or an object within one; the one place where marshmallow's loose return type is narrowed."""
    known = without_nulls(schema, data)
    if FOUND.get() is not None:
        return cast(dict[str, object], schema.load(known))
    token = FOUND.set(Found())
    try:
        return cast(dict[str, object], schema.load(known))
    finally:
        FOUND.reset(token)
