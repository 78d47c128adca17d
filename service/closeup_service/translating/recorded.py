"""Texts that no call marks, since they stand in records: the vocabulary, fields of operations, worked formulas."""

from collections.abc import Iterator

from marshmallow import Schema, fields

from closeup_service.operations.operation import Operation
from closeup_service.operations.registry import operations
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.schemas.describing import LABELS, bounds, meaning_of, spell_out
from closeup_service.schemas.fields import AnyField, declared_fields
from closeup_service.translating.recorded_gear import gear_texts, running_texts
from closeup_service.translating.task_texts import task_texts
from closeup_service.worked.registry import published

ON_NO_PAGE = ("refer",)
"""Tags of operations whose members no page shows as fields."""


def recorded_texts() -> Iterator[str]:
    """Every text of the records, in their order."""
    yield from vocabulary_texts()
    for operation in operations():
        yield from field_texts(operation)
    yield from formula_texts()
    yield from task_texts()
    yield from gear_texts()
    yield from running_texts()


def vocabulary_texts() -> Iterator[str]:
    """Labels and meanings of quantities."""
    for entry in VOCABULARY.values():
        yield from (entry.label, entry.meaning)


def field_texts(operation: Operation) -> Iterator[str]:
    """Names, meanings and choices of an operation's members, as pages say them."""
    if operation.tag in ON_NO_PAGE:
        return
    for schema in filter(None, (operation.request_type, operation.answer_type)):
        for name, field in members(schema, set()):
            if name not in VOCABULARY:
                yield LABELS.get(name) or spell_out(name)
            yield meaning_of(str(field.metadata.get("description", "")))
            yield from choice_texts(field)


def members(schema: type[Schema], seen: set[type[Schema]]) -> Iterator[tuple[str, AnyField]]:
    """Fields of a schema and of those within it."""
    if schema in seen:
        return
    seen.add(schema)
    for name, field in declared_fields(schema).items():
        yield name, field
        inner = field.inner if isinstance(field, fields.List) else field
        if isinstance(inner, fields.Nested) and isinstance(inner.schema, Schema):
            yield from members(type(inner.schema), seen)


def choice_texts(field: AnyField) -> Iterator[str]:
    """Choices of a field in words."""
    for choice in bounds(field).get("choices") or ():
        if choice is not None and choice not in VOCABULARY:
            yield choice.replace("-", " ")


def formula_texts() -> Iterator[str]:
    """What worked formulas say, by subject, with their symbols and sources."""
    for subject, entries in published().items():
        yield subject
        for entry in entries:
            yield from (entry.meaning, entry.source)
            if entry.in_words:
                yield entry.formula
            for symbol in entry.symbols:
                yield symbol.label
