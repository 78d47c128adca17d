"""Records of the schemas: which members each has, what it shares with others, and where it is told.

A dialect says what a record is called and what its members hold: `client.py` for who asks, and
`service.py` for who answers. Everything else is the same for both and stands here.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from inspect import cleandoc
from typing import Literal, Protocol

from marshmallow import Schema, fields
from msgspec import Struct, field

from closeup_service.operations.operation import Operation
from closeup_service.schemas.fields import AnyField
from closeup_service.schemas.train import ELEMENTS, Element

Role = Literal["request", "answer"]
Fields = Mapping[str, AnyField]
SHARED = "shared"
"""Where records are told that operations of several tags hold."""


class Hint(Struct, frozen=True):
    """Type of a member: as code, in words, and the names of records and aliases that the code holds."""

    code: str
    words: str
    names: tuple[str, ...] = ()

    def wrap(self, code: str, words: str) -> "Hint":
        """Type that holds this one, written where the braces are."""
        return Hint(code.format(self.code), words.format(self.words), self.names)


class Member(Struct, frozen=True):
    """One member of a record; `default` is the code of what stands for it where it is left out."""

    name: str
    hint: Hint
    needed: bool
    meaning: str
    default: str | None = None

    def is_like(self, other: "Member | None") -> bool:
        """Whether a record that has this member can take it from one that has the other."""
        return other is not None and (self.hint.code, self.needed) == (other.hint.code, other.needed)

    def narrows(self, other: "Member") -> bool:
        """Whether this member always has a value where the other may have none."""
        return other.hint.code == f"{self.hint.code} | None" and self.default == other.default


class Record(Struct):
    """One record: its members, and the records that it takes some of them from."""

    name: str
    role: Role
    doc: str
    members: Mapping[str, Member]
    bases: tuple["Record", ...] = ()
    tags: set[str] = field(default_factory=set)

    def ancestors(self) -> Iterator["Record"]:
        """Yield every record that this one takes members from."""
        for base in self.bases:
            yield base
            yield from base.ancestors()

    def own_members(self) -> list[Member]:
        """Members that no base has."""
        inherited = {name: member for base in reversed([*self.ancestors()]) for name, member in base.members.items()}
        return [member for name, member in self.members.items() if not member.is_like(inherited.get(name))]

    def names(self) -> Iterator[str]:
        """Yield the names of records and aliases that must be known before this one."""
        yield from (base.name for base in self.bases)
        for member in self.own_members():
            yield from member.hint.names


class Part(Struct, frozen=True):
    """Members of a schema, some left out, that are a record too: a base of records that have them all.

    Those of the schemas in `of`, the source itself where none are named, and of what is derived from them.
    """

    name: str
    role: Role
    source: type[Schema]
    but: tuple[str, ...] = ()
    of: tuple[type[Schema], ...] = ()
    doc: str = ""


class Dialect(Protocol):
    """What tells the records of one side from those of the other."""

    parts: tuple[Part, ...]
    narrows: bool
    """Whether an answer may always have what the record that it is derived from may lack."""

    def name(self, kind: type[Schema], role: Role) -> str | None:
        """Name of a schema's record; None where its members are told by those who take them."""

    def member(self, name: str, field: AnyField, role: Role, kind: type[Schema]) -> Member | None:
        """Member of a record; None where it has none for this field."""

    def more(self, kind: type[Schema], role: Role) -> Iterable[Member]:
        """Members that no field of the schema stands for."""

    def asked(self, operation: Operation) -> Iterable[tuple[Schema, Role]]:
        """Schemas of an operation whose records are wanted."""

    def goes_into(self, field: AnyField) -> bool:
        """Whether what a field holds is a record of its own."""


class Collection(Struct):
    """All records of one side, by name."""

    dialect: Dialect
    records: dict[str, Record] = field(default_factory=dict)

    def add(self, schema: Schema, role: Role, tag: str) -> Record:
        """Add the record of a schema, and those that it holds; return it."""
        kind = type(schema)
        name = self.dialect.name(kind, role)
        assert name is not None, kind
        record = self.find_record(name, schema, role)
        assert record.members.keys() == self.members(kind, schema.fields, role).keys(), kind
        self.note(record, tag)
        for inner in find_nested(schema.fields.values(), self.dialect.goes_into):
            self.add(inner, role, tag)
        return record

    def make(self, name: str, kind: type[Schema], role: Role, doc: str, known: Fields) -> Record:
        """Make the record of a schema."""
        record = self.records[name] = Record(name, role, doc, self.members(kind, known, role))
        record.bases = tuple(self.bases(record, kind))
        return record

    def members(self, kind: type[Schema], known: Fields, role: Role) -> dict[str, Member]:
        """Members of a record by name."""
        told = (self.dialect.member(name, each, role, kind) for name, each in known.items())
        more = self.dialect.more(kind, role)
        return {member.name: member for member in (*told, *more) if member is not None}

    def bases(self, record: Record, kind: type[Schema]) -> Iterator[Record]:
        """Yield the records that a record can take members from, none of them twice."""
        taken: dict[str, Member] = {}
        candidates = [*self.schema_records(kind, record), *self.part_records(kind, record)]
        above = {each.name for candidate in candidates for each in candidate.ancestors()}
        for base in candidates:
            overlap = base.members.keys() & taken.keys()
            if base.name not in above and not overlap and self.is_within(base, record):
                taken |= base.members
                yield base

    def part_records(self, kind: type[Schema], record: Record) -> Iterator[Record]:
        """Yield the records of the parts that a schema has."""
        for part in self.dialect.parts:
            if issubclass(kind, part.of or part.source) and part.name != record.name:
                yield self.records.get(part.name) or self.make_part(part)

    def make_part(self, part: Part) -> Record:
        """Record of a part."""
        known = {name: each for name, each in part.source().fields.items() if name not in part.but}
        return self.make(part.name, part.source, part.role, part.doc or read_doc(part.source), known)

    def schema_records(self, kind: type[Schema], record: Record) -> Iterator[Record]:
        """Yield the records of the schemas that a schema is derived from, the nearest that have one."""
        for base in kind.__bases__:
            if not issubclass(base, Schema):
                continue
            name = self.dialect.name(base, record.role)
            schema = base() if name not in (None, record.name) else None
            found = None if schema is None or name is None else self.find_record(name, schema, record.role)
            if found is not None and self.is_within(found, record):
                yield found
            else:
                yield from self.schema_records(base, record)

    def find_record(self, name: str, schema: Schema, role: Role) -> Record:
        """Record of a schema, made where it is not known yet."""
        kind = type(schema)
        return self.records.get(name) or self.make(name, kind, role, read_doc(kind), schema.fields)

    def is_within(self, base: Record, record: Record) -> bool:
        """Whether a record has every member of another, just so, or narrower where it answers."""
        narrower = self.dialect.narrows and record.role == "answer"
        return all(
            name in record.members
            and (member.is_like(own := record.members[name]) or (narrower and own.narrows(member)))
            for name, member in base.members.items()
        )

    def note(self, record: Record, tag: str) -> None:
        """Note that operations of a tag hold a record, with what it takes members from."""
        record.tags.add(tag)
        for base in record.bases:
            self.note(base, tag)


def read_doc(kind: type[Schema]) -> str:
    """What a schema says of itself."""
    return cleandoc(kind.__doc__ or "")


def find_nested(known: Iterable[AnyField], goes_into: Callable[[AnyField], bool]) -> Iterator[Schema]:
    """Yield the schemas of the objects that fields hold."""
    for each in known:
        inner = find_entry(each)
        if isinstance(inner, Element):
            yield from ELEMENTS.values()
        elif isinstance(inner, fields.Nested) and goes_into(inner):
            yield inner.schema


def list_schemas(operation: Operation) -> Iterator[Schema]:
    """Yield the schemas of an operation's request and answer, and of every object within them."""
    waiting = [schema for schema in (operation.request_schema, operation.answer_schema) if schema is not None]
    while waiting:
        schema = waiting.pop()
        yield schema
        waiting.extend(find_nested(schema.fields.values(), lambda field: True))


def find_entry(field: AnyField) -> AnyField:
    """Field of one entry, however deep the lists are."""
    if isinstance(field, fields.List):
        return find_entry(field.inner)
    return find_entry(field.value_field) if isinstance(field, fields.Dict) and field.value_field else field


def collect(dialect: Dialect, operations: Iterable[Operation]) -> dict[str, Record]:
    """All records of one side, by name."""
    collection = Collection(dialect)
    for operation in operations:
        for schema, role in dialect.asked(operation):
            collection.add(schema, role, operation.tag)
    return collection.records
