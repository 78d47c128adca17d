"""The service's own records: requests as they are loaded, and answers as they are made; types alone, never made at run time.

A record is called as its schema in the published document. What loading makes of a member follows from the kind of its field;
what it adds, or takes away, a schema says itself under `loaded`.
"""

import re
from collections.abc import Iterator, Mapping

from marshmallow import Schema, fields, missing

from closeup_service.operations.light.exposure import frame_schemas
from closeup_service.operations.measure.scale_photo import schemas as photo_schemas
from closeup_service.operations.operation import Operation
from closeup_service.operations.plan.search.schemas import SetUpDocumentField
from closeup_service.operations.refer.kit.schemas import KitListing, WholeKit
from closeup_service.operations.registry import operations
from closeup_service.operations.set_up.table.schemas import Columns, Problems, ResultColumns
from closeup_service.published.record_types.client_names import choices_of
from closeup_service.published.record_types.shape import Hint, Member, Part, Record, Role, collect
from closeup_service.published.record_types.text import WRITTEN, Item, as_files, modules
from closeup_service.schemas.answers import Assumed, OpenSchema
from closeup_service.schemas.fields import AnyField, RequestSchema
from closeup_service.schemas.kit import KitField
from closeup_service.schemas.quick_acceptance import QuickSchema
from closeup_service.schemas.train import ELEMENTS, Element
from closeup_service.schemas.upload import PhotographFile

PACKAGE = "closeup_service.records"
MODULES: Mapping[Role, str] = {"request": "requests", "answer": "answers"}
HEADINGS = {"requests": "Requests, as they are loaded.", "answers": "Answers, as they are made."}
NO_RECORDS = (Schema, QuickSchema, RequestSchema, OpenSchema, frame_schemas.FrameFields, photo_schemas.FrameFields)
"""Schemas without members, and two of one name that others are derived from, whose members those tell."""

BEYOND = {
    "Kit": "closeup_service.gear.kit",
    "Upload": "closeup_service.schemas.upload",
    "AnyColumn": "closeup_service.operations.set_up.table.schemas",
    "Real": "closeup_service.optics.arithmetic",
}
"""Module of each type that is no record."""

OF_COLUMNS = frozenset(
    (
        *("FrameSetUp", "Camera", "Element", "Lens", "Spacer", "CloseUpLens", "Teleconverter", "Objective", "KitPart"),
        *("SensorFields", "LightFields", "DetailFields", "PrintFields", "SharpnessFields"),
    )
)
"""Records of set-ups, whose numbers are floats, or columns in a table; and those that they take members from."""

KIND_OF_NUMBER = ("closeup_service.optics.arithmetic", "R")
"""What their numbers are called, and its module."""

MOST_WORDS = 5
"""Longest closed list that is told by its words; a longer one, such as the sensors of the catalogue, is text."""

ANY_OBJECT = Hint("Mapping[str, Any]", "")
KINDS: tuple[tuple[type[AnyField], Hint], ...] = (
    (fields.Integer, Hint("int", "")),
    (fields.Float, Hint("float", "")),
    (fields.Boolean, Hint("bool", "")),
    (fields.String, Hint("str", "")),
    (Element, Hint("Element", "", ("Element",))),
    (KitField, Hint("Kit", "", ("Kit",))),
    (PhotographFile, Hint("Upload", "", ("Upload",))),
    (Columns, Hint("Mapping[str, AnyColumn]", "", ("AnyColumn",))),
    (Problems, Hint("Sequence[str | None]", "")),
    (Assumed, Hint("Mapping[str, float | str]", "")),
    (ResultColumns, Hint("Mapping[str, AnyColumn | Sequence[float | str | None]]", "", ("AnyColumn",))),
    (KitListing, ANY_OBJECT),
    (WholeKit, ANY_OBJECT),
    (SetUpDocumentField, ANY_OBJECT),
)
"""What each kind of field is loaded to, or answered from, the special before the general."""


class ServiceRecords:
    """The service's side of the records."""

    parts: tuple[Part, ...] = ()
    narrows = False

    def name(self, kind: type[Schema], role: Role) -> str | None:
        """Name of a schema's record; None for those without members."""
        del role
        return None if kind in NO_RECORDS else kind.__name__.removesuffix("Schema")

    def member(self, name: str, field: AnyField, role: Role, kind: type[Schema]) -> Member | None:
        """Member of a record; None where loading takes it away."""
        if role == "request" and name in list_changes(kind):
            return None
        told = self.hint(field, role)
        if field.allow_none:
            told = told.wrap("{} | None", "")
        always = field.required or (role == "request" and field.load_default is not missing)
        return Member(name, told, always, "")

    def more(self, kind: type[Schema], role: Role) -> Iterator[Member]:
        """Yield the members that loading adds, or turns into something else."""
        if role == "request":
            for name, code in list_changes(kind).items():
                if code is not None:
                    names = tuple(each for each in re.findall(r"\w+", code) if each in {*BEYOND, *OF_COLUMNS})
                    yield Member(name, Hint(code, "", names), True, "")

    def hint(self, field: AnyField, role: Role) -> Hint:
        """Type of a member."""
        if isinstance(field, fields.List):
            entry = self.hint(field.inner, role)
            return (entry.wrap("{} | None", "") if field.inner.allow_none else entry).wrap("Sequence[{}]", "")
        if isinstance(field, fields.Dict) and field.value_field:
            return self.hint(field.value_field, role).wrap("Mapping[str, {}]", "")
        words = choices_of(field) if role == "request" else ()
        if 0 < len(words) <= MOST_WORDS:
            return Hint(f"Literal[{', '.join(repr(word) for word in words)}]".replace("'", '"'), "")
        if type(field) is fields.Nested:
            inner = self.name(type(field.schema), role)
            assert inner is not None
            return Hint(inner, "", (inner,))
        return next(told for known, told in KINDS if isinstance(field, known))

    def asked(self, operation: Operation) -> Iterator[tuple[Schema, Role]]:
        """Schemas of an operation, without the steps, which it asks and tells apart from them."""
        if operation.request_type is not None:
            yield operation.request_type(), "request"
        yield operation.answer_type(), "answer"

    def goes_into(self, field: AnyField) -> bool:
        """Whether what a field holds is a record of its own; a kit is loaded to one of `gear`."""
        return not isinstance(field, KitField)


def list_changes(kind: type[Schema]) -> dict[str, str | None]:
    """Members that loading changes: their types, or None where it takes them away."""
    return {name: code for each in reversed(kind.__mro__) for name, code in vars(each).get("loaded", {}).items()}


def service_modules() -> dict[str, str]:
    """Text of every module of the service's package of records, by the name of its file."""
    records = collect(ServiceRecords(), operations())
    items = [*map(item_of, records.values()), element_item()]
    index = f'"""Types of loaded requests and of answers.\n\n{WRITTEN}\n"""\n'
    return as_files({"__init__": index, **modules(items, PACKAGE, HEADINGS.__getitem__)})


def element_item() -> Item:
    """Any part of a train."""
    kinds = tuple(type(schema).__name__.removesuffix("Schema") for schema in ELEMENTS.values())
    return Item("Element", MODULES["request"], vary(f"Element: TypeAlias = {' | '.join(kinds)}", kinds), kinds)


def item_of(record: Record) -> Item:
    """Record as it stands in its module."""
    names = tuple(record.names())
    beyond = tuple((BEYOND[name], name) for name in names if name in BEYOND)
    needs = tuple(name for name in names if name not in BEYOND)
    bases = ", ".join(base.name for base in record.bases) or "TypedDict"
    members = "".join(f"\n    {each.name}: {write_type(each)}" for each in record.own_members())
    if record.name in OF_COLUMNS:
        bases, members, beyond = f"{vary(bases, needs)}, Generic[R]", vary(members, needs), (*beyond, KIND_OF_NUMBER)
    text = f'class {record.name}({bases}, total=False):\n    """{record.doc.splitlines()[0]}"""\n{members}'
    return Item(record.name, MODULES[record.role], text.rstrip(), needs, beyond)


def vary(code: str, names: tuple[str, ...]) -> str:
    """Types whose numbers are of the kind that the record, or the alias, is made for."""
    for name in OF_COLUMNS.intersection(names):
        code = re.sub(rf"\b{name}\b", f"{name}[R]", code)
    return re.sub(r"\bfloat\b", "R", code)


def write_type(member: Member) -> str:
    """Type of a member, marked where it is always there."""
    return f"Required[{member.hint.code}]" if member.needed else member.hint.code
