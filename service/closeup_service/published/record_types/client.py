"""The records of the client: what each is called, and what its members hold."""

import re
from collections.abc import Iterator

from marshmallow import Schema, fields

from closeup_service.operations.operation import Operation, is_file
from closeup_service.operations.plan.search.schemas import SetUpDocumentField
from closeup_service.operations.refer.kit.schemas import KitListing, WholeKit
from closeup_service.operations.registry import operations
from closeup_service.operations.set_up.table.schemas import Columns, Problems, ResultColumns
from closeup_service.published.command_table import meaning
from closeup_service.published.record_types.client_names import OWN_NAMES, PARTS, SHARED_NAMES, WORDS, choices_of
from closeup_service.published.record_types.shape import Hint, Member, Role, find_entry, list_schemas
from closeup_service.schemas.answers import Assumed
from closeup_service.schemas.describing import bounds
from closeup_service.schemas.fields import NULL_WITH, AnyField
from closeup_service.schemas.kit import KitField
from closeup_service.schemas.null_members import may_be_null
from closeup_service.schemas.train import Element
from closeup_service.schemas.upload import EncodedPicture

RECORDS = "records"
"""Member of an answer that lists records; the client returns these."""

NUMBER, WHOLE_NUMBER = Hint("float", "number"), Hint("int", "whole number")
TOLD = Hint("Told", "number or None")
"""Figure that is None only where a member of the request lets it be."""

FLAG, TEXT = Hint("bool", "True or False"), Hint("str", "text")
ANY_OBJECT = Hint("Mapping[str, Any]", "Mapping")
KINDS: tuple[tuple[type[AnyField], Hint], ...] = (
    (fields.Integer, WHOLE_NUMBER),
    (fields.Float, NUMBER),
    (fields.Boolean, FLAG),
    (EncodedPicture, Hint("bytes", "bytes")),
    (fields.String, TEXT),
    (Element, Hint("Element", "Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart", ("Element",))),
    (KitField, Hint("Kit", "Mapping", ("Kit",))),
    (Columns, Hint("Mapping[str, Sequence[float] | Sequence[str]] | DataFrame", "JSON pointers with their columns")),
    (Problems, Hint("tuple[str | None, ...]", "tuple of text or None")),
    (Assumed, ANY_OBJECT),
    (KitListing, ANY_OBJECT),
    (WholeKit, ANY_OBJECT),
    (SetUpDocumentField, ANY_OBJECT),
    (ResultColumns, ANY_OBJECT),
)
"""What each kind of field holds, the special before the general."""

AS_NUMBERS = frozenset({"pops", "duty_limit_pops", "heads"})
"""Counts of requests that the client of release 1.0.0 took as any number."""

MOST_WORDS = 90
"""Longest list of words that stands as the type of a member, in characters; a longer one stands in its meaning."""

LEFT_OUT = frozenset({("Spacer", "length_mm")})
"""Members that the service needs, yet that are left out of a train where they are the unknown of a solve."""


HELD = frozenset(type(schema) for operation in operations() for schema in list_schemas(operation))
"""Schemas of requests, of answers and of objects within them, and not only of what others are derived from."""


class ClientRecords:
    """The client's side of the records."""

    parts = PARTS
    narrows = True

    def name(self, kind: type[Schema], role: Role) -> str | None:
        """Name of a schema's record; None where its members are told by those who take them."""
        if kind in SHARED_NAMES or kind in OWN_NAMES:
            return SHARED_NAMES.get(kind) or OWN_NAMES[kind]
        if kind not in HELD:
            return None
        stem = kind.__name__.removesuffix("Schema")
        return f"{stem.removesuffix('Request')}Fields" if stem.endswith("Request") else stem

    def member(self, name: str, field: AnyField, role: Role, kind: type[Schema]) -> Member | None:
        """Member of a record; the files of a form are arguments of their own."""
        if is_file(field):
            return None
        told = self.hint(name, field, role)
        needed = field.required and (self.name(kind, role), name) not in LEFT_OUT
        if role == "request":
            told = allow_none(told) if may_be_null(kind, name, field) else told
            beside = words_of(field) if told.names and told.names[0] in told.words else ""
            return Member(name, told, needed, describe_member(field) + beside)
        default = None if field.required else "()" if lists_objects(field) else "None"
        if NULL_WITH in field.metadata and isinstance(field, fields.Float):
            told = TOLD
        elif field.allow_none or default == "None":
            told = allow_none(told)
        return Member(
            name, told, needed, re.sub(r"\bnull\b", "None", describe_member(field) + words_of(field)), default
        )

    def more(self, kind: type[Schema], role: Role) -> tuple[Member, ...]:
        """Members that no field of the schema stands for: none."""
        del kind, role
        return ()

    def hint(self, name: str, field: AnyField, role: Role) -> Hint:
        """Type of a member."""
        if isinstance(field, fields.List):
            list_of = ("Sequence[{}]", "Sequence of {}") if role == "request" else ("tuple[{}, ...]", "tuple of {}")
            entry = self.hint(name, field.inner, role)
            return (allow_none(entry) if field.inner.allow_none else entry).wrap(*list_of)
        if isinstance(field, fields.Dict) and field.value_field:
            return self.hint(name, field.value_field, role).wrap("Mapping[str, {}]", "Mapping of {}")
        if role == "request" and name in AS_NUMBERS:
            return NUMBER
        words = choices_of(field) if role == "request" else ()
        if words in WORDS or len(words) == 1:
            return name_words(words)
        if type(field) is fields.Nested:
            inner = self.name(type(field.schema), role)
            assert inner is not None
            return Hint(inner, inner, (inner,))
        return next(told for kind, told in KINDS if isinstance(field, kind))

    def asked(self, operation: Operation) -> Iterator[tuple[Schema, Role]]:
        """Schemas of an operation whose records are wanted; of a listing those of what it lists."""
        if operation.request_schema is not None:
            yield operation.request_schema, "request"
        listed = operation.answer_schema.fields.get(RECORDS)
        listed_field = None if listed is None else find_entry(listed)
        yield (listed_field.schema if isinstance(listed_field, fields.Nested) else operation.answer_schema), "answer"

    def goes_into(self, field: AnyField) -> bool:
        """Whether what a field holds is a record of its own; a kit is any mapping."""
        return not isinstance(field, KitField)


def name_words(words: tuple[str, ...]) -> Hint:
    """Type of one of a closed list of words."""
    if words not in WORDS:
        return Hint(f'Literal["{words[0]}"]', repr(words[0]))
    told, alias = " | ".join(map(repr, words)), WORDS[words]
    return Hint(alias, told if len(told) <= MOST_WORDS else alias, (alias,))


def allow_none(told: Hint) -> Hint:
    """Type of what may be absent."""
    return told.wrap("{} | None", "{} or None")


def lists_objects(field: AnyField) -> bool:
    """Whether a field is a list of objects: there are none where it is left out."""
    return isinstance(field, fields.List) and isinstance(field.inner, fields.Nested)


def describe_member(field: AnyField) -> str:
    """Meaning of a member with its unit."""
    unit = field.metadata.get("x-unit", "1")
    return f"{meaning(field)} [{unit}]" if unit != "1" else meaning(field)


def words_of(field: AnyField) -> str:
    """Words of a closed list that an answer may give, as a sentence; none where it is no such list."""
    words = [word for word in bounds(find_entry(field)).get("choices", ()) if word is not None]
    return f" One of: {', '.join(words)}." if len(words) > 1 else ""
