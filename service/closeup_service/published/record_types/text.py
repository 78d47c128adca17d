"""Records as Python text: a module for the requests and one for the answers of each tag, and of what several tags share."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from textwrap import fill, indent

from msgspec import Struct

from closeup_service.published.record_types.shape import SHARED, Member, Record, Role

WIDTH = 120
IMPORTED: Mapping[str, tuple[str, ...]] = {
    "collections.abc": ("Mapping", "Sequence"),
    "dataclasses": ("dataclass", "field"),
    "typing": ("Any", "Generic", "Literal", "NotRequired", "Required", "TypeAlias", "TypedDict"),
}
"""Names of the standard library that the text of a module may hold."""

WRITTEN = "Written by `python -m closeup_service.published` from the service's schemas; not to be edited."


class Alias(Struct):
    """A name for a type."""

    name: str
    text: str
    names: tuple[str, ...] = ()


class Item(Struct):
    """A record or an alias as it stands in its module."""

    name: str
    module: str
    text: str
    needs: tuple[str, ...]
    beyond: tuple[tuple[str, str], ...] = ()
    """Modules and names of what it needs from beyond the package."""


def place_of(tags: set[str], role: Role) -> str:
    """Name of the module for what operations of these tags hold."""
    (where,) = tags if len(tags) == 1 else (SHARED,)
    return f"{where.replace(' ', '_')}_{role}s"


def modules(items: Iterable[Item], package: str, headings: Callable[[str], str]) -> dict[str, str]:
    """Text of every module by its name."""
    known = {item.name: item for item in items}
    texts = {}
    for module in sorted({item.module for item in known.values()}):
        own = order_items(known, [item for item in known.values() if item.module == module])
        texts[module] = module_text(headings(module), own, known, package)
    return texts


def order_items(known: Mapping[str, Item], own: Iterable[Item]) -> list[Item]:
    """Items of a module, each after those that it needs."""
    placed: dict[str, Item] = {}

    def place(item: Item) -> None:
        for name in item.needs:
            if known[name].module == item.module and name not in placed:
                place(known[name])
        placed.setdefault(item.name, item)

    for item in own:
        place(item)
    return list(placed.values())


def module_text(heading: str, own: list[Item], known: Mapping[str, Item], package: str) -> str:
    """Text of one module."""
    body = join_items(own)
    docstring = f'"""{heading}\n\n{WRITTEN}\n"""'
    blocks = [docstring, "\n".join(standard_imports(body)), "\n".join(own_imports(own, known, package))]
    return "\n\n".join(block for block in blocks if block) + "\n" + body


def join_items(own: list[Item]) -> str:
    """Texts of a module's items, with the blank lines between them that their kinds want."""
    text, before = "", None
    for item in own:
        is_class = "class " in item.text.split("\n\n")[0]
        gap = "\n\n" if is_class or before is True else "\n" if before is None else ""
        text += f"{gap}{item.text}\n"
        before = is_class
    return text


def standard_imports(body: str) -> Iterator[str]:
    """Yield the imports of the standard library that a text needs."""
    code = re.sub(r'""".*?"""', "", body, flags=re.DOTALL)
    for module, names in IMPORTED.items():
        used = [name for name in names if re.search(rf"\b{name}\b", code)]
        if used:
            yield f"from {module} import {', '.join(used)}"


def own_imports(own: list[Item], known: Mapping[str, Item], package: str) -> Iterator[str]:
    """Yield the imports from other modules of the package, and of bases from beyond it."""
    wanted: dict[str, set[str]] = {}
    for item in own:
        for name in item.needs:
            if known[name].module != item.module:
                wanted.setdefault(f"{package}.{known[name].module}", set()).add(name)
        for module, name in item.beyond:
            wanted.setdefault(module, set()).add(name)
    for module in sorted(wanted):
        names = sorted(wanted[module])
        line = f"from {module} import {', '.join(names)}"
        yield (
            line
            if len(line) <= WIDTH
            else f"from {module} import (\n" + "".join(f"    {name},\n" for name in names) + ")"
        )


def alias_text(name: str, words: tuple[str, ...]) -> str:
    """Text of a closed list of words, as a type."""
    quoted = [f'"{word}"' for word in words]
    head, one_line = f"{name}: TypeAlias = Literal[", ", ".join(quoted)
    if len(head + one_line) < WIDTH:
        return f"{head}{one_line}]"
    if len(one_line) <= WIDTH - 4:
        return f"{head}\n    {one_line}\n]"
    return f"{head}\n" + "".join(f"    {each},\n" for each in quoted) + "]"


def docstring(record: Record, heading: str, more: Iterable[Member] = ()) -> str:
    """Docstring of a record, with every member that it has, also those of its bases."""
    lines = [f'"""{record.doc}', "", heading, "-" * len(heading)]
    for member in [*record.members.values(), *more]:
        lines.append(
            f"{member.name} : {member.hint.words}{', needed' if heading == 'Members' and member.needed else ''}"
        )
        lines.append(fill(member.meaning, WIDTH - 4, initial_indent="    ", subsequent_indent="    "))
    return indent("\n".join([*lines, '"""']), "    ")


def as_files(texts: Mapping[str, str]) -> dict[str, str]:
    """Name the files of modules."""
    return {f"{name}.py": text for name, text in texts.items()}
