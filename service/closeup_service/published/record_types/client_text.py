"""The client's records as Python text: dictionaries with known members for requests, frozen records for answers."""

from collections.abc import Iterator, Mapping

from closeup_service.operations.registry import operations
from closeup_service.published.record_types.client import ANY_OBJECT, ClientRecords
from closeup_service.published.record_types.client_names import BEYOND, SHOWS_ITSELF, WORDS
from closeup_service.published.record_types.shape import Member, Record, collect
from closeup_service.published.record_types.text import (
    WIDTH,
    WRITTEN,
    Alias,
    Item,
    alias_text,
    as_files,
    docstring,
    modules,
    place_of,
)
from closeup_service.schemas.train import ELEMENTS

PACKAGE = "closeup_client.records"
RAW = Member("raw", ANY_OBJECT, True, "The object as the service sent it, with members that this client does not know.")
HEADINGS = {
    "requests": "What {} can be asked with: keyword arguments of the client's methods, and what they hold.",
    "answers": "What is answered of {}, as frozen records; None where the request does not determine it.",
}
ROWS = "\n".join
SCALE_BAR = "drawScaleBar"
"""Operation that draws a picture in one of several media types, which the client calls an `ImageType`."""
OF_THE_CLIENT = {"Told": "closeup_client.raw", "DataFrame": "closeup_client.blocks"}
"""Module of the client that each type comes from which is no record."""


def client_modules() -> dict[str, str]:
    """Text of every module of the client's package of records, by the name of its file."""
    records = collect(ClientRecords(), operations())
    items = {item.name: item for item in (*aliases(records), *map(item_of, records.values()))}
    return as_files({"__init__": index_text(items), **modules(items.values(), PACKAGE, heading)})


def heading(module: str) -> str:
    """First line of a module's docstring."""
    where, _, kind = module.rpartition("_")
    return HEADINGS[kind].format("operations of several kinds" if where == "shared" else f"`{where.replace('_', ' ')}`")


def index_text(items: Mapping[str, Item]) -> str:
    """Text of the package itself: every name, for type checkers with its module loaded, and in which module each name is."""
    doc = f"Records of every request and answer; `MODULES` says in which module each stands.\n\n{WRITTEN}\n"
    stars = ROWS(f"    from {PACKAGE}.{module} import *" for module in sorted({item.module for item in items.values()}))
    names = ROWS(f'    "{name}",' for name in sorted(items))
    modules = ROWS(f'    "{name}": "{items[name].module}",' for name in sorted(items))
    return (
        f'"""{doc}"""\n\nTYPE_CHECKING = False\n\nif TYPE_CHECKING:\n{stars}\n\n'
        f"__all__ = [\n{names}\n]\n\nMODULES = {{\n{modules}\n}}\n"
    )


def aliases(records: Mapping[str, Record]) -> Iterator[Item]:
    """Yield the named types of the members of requests."""
    kinds = tuple(type(schema).__name__.removesuffix("Schema") for schema in ELEMENTS.values())
    known = [Alias(name, alias_text(name, words)) for words, name in WORDS.items()]
    known.append(Alias("Element", f"Element: TypeAlias = {' | '.join(kinds)}", kinds))
    known.append(Alias("Kit", "Kit: TypeAlias = Mapping[str, Any]"))
    for alias in known:
        tags = {tag for record in records.values() if alias.name in record.names() for tag in record.tags}
        yield Item(alias.name, place_of(tags, "request"), alias.text, alias.names)
    bar = next(operation for operation in operations() if operation.operation_id == SCALE_BAR)
    yield Item("ImageType", place_of({bar.tag}, "request"), alias_text("ImageType", tuple(bar.renderers)), ())


def item_of(record: Record) -> Item:
    """Record as it stands in its module."""
    text = request_text(record) if record.role == "request" else answer_text(record)
    beyond: tuple[tuple[str, str], ...] = (BEYOND[record.name],) if record.name in BEYOND else ()
    codes = [member.hint.code for member in record.own_members()]
    beyond += tuple(
        (module, name) for name, module in OF_THE_CLIENT.items() if any(code.endswith(name) for code in codes)
    )
    return Item(record.name, place_of(record.tags, record.role), text, tuple(record.names()), beyond)


def request_text(record: Record) -> str:
    """Text of what can be asked."""
    bases = ", ".join(base.name for base in record.bases) or "TypedDict"
    lines = [f"    {member.name}: {write_type(member)}" for member in record.own_members()]
    body = f"\n\n{ROWS(lines)}" if lines else ""
    return f"{class_line(record.name, f'{bases}, total=False')}\n{docstring(record, 'Members')}{body}"


def class_line(name: str, bases: str) -> str:
    """Line that begins a class, in three where one would be too long."""
    line = f"class {name}({bases}):"
    return line if len(line) <= WIDTH else f"class {name}(\n    {bases}\n):"


def write_type(member: Member) -> str:
    """Type of a member, marked where it cannot be left out."""
    return f"Required[{member.hint.code}]" if member.needed else member.hint.code


def answer_text(record: Record) -> str:
    """Text of what is answered."""
    beyond = (BEYOND[record.name][1],) if record.name in BEYOND else ()
    bases = ", ".join((*(base.name for base in record.bases), *beyond))
    head = f"class {record.name}({bases}):" if bases else f"class {record.name}:"
    bases_beyond = {BEYOND[each.name][1] for each in (record, *record.ancestors()) if each.name in BEYOND}
    lines = [f"    {member.name}: {member.hint.code}{write_default(member)}" for member in record.own_members()]
    body = f"\n\n{ROWS(lines)}" if lines else ""
    told = docstring(record, "Attributes", (RAW,) if bases_beyond else ())
    shows_itself = ", repr=False" if SHOWS_ITSELF in bases_beyond else ""
    return f"@dataclass(frozen=True, kw_only=True{shows_itself})\n{head}\n{told}{body}"


def write_default(member: Member) -> str:
    """What stands behind the type of a member: what it is where it is left out, and how it is held in records."""
    stated = {} if member.default is None else {"default": member.default}
    if member.hint.code.startswith("Mapping"):
        stated["hash"] = "False"
    if member.hint.code.startswith("bytes"):
        stated["repr"] = "False"
    if stated.keys() <= {"default"}:
        return f" = {member.default}" if stated else ""
    return f" = field({', '.join(f'{name}={value}' for name, value in stated.items())})"
