"""Counts by which the house is kept in order: what is typed by name only, what is looked up by text, what is named oddly.

`python tests/support/house_counts.py` prints them; `tests/gate/test_house_counts.py` holds their ceilings.
"""

import ast
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TypeAlias

from house_words import JOINTS, NOUNS_IN_ED, OPENERS, QUALITIES, VERBS

SERVICE = Path(__file__).parents[2] / "service" / "closeup_service"
Function: TypeAlias = ast.FunctionDef | ast.AsyncFunctionDef
ANY = "Any"
CONVERSIONS = frozenset({"as", "to", "from", "with", "without"})
"""First words by which Python names what gives the same in another form: `as_posix`, `from_bytes`, `with_name`."""


@dataclass(frozen=True)
class Share:
    """So many of so many."""

    found: int
    of: int

    @property
    def part(self) -> float:
        return self.found / self.of

    def __str__(self) -> str:
        return f"{self.found} of {self.of} ({100 * self.found / self.of:.1f} %)"


@dataclass(frozen=True)
class Module:
    """One module: its text, and what the names in it stand for that are types."""

    name: str
    tree: ast.Module

    @cached_property
    def aliases(self) -> dict[str, set[str]]:
        """Names in the types that names of this module stand for."""
        return {name: names_in(value) for name, value in assigned(self.tree.body)}

    @cached_property
    def imported(self) -> dict[str, tuple[str, str]]:
        """Module and name there of each name that is taken from another one."""
        return {
            each.asname or each.name: (node.module, each.name)
            for node in ast.walk(self.tree)
            if isinstance(node, ast.ImportFrom) and node.module
            for each in node.names
        }

    @cached_property
    def functions(self) -> list[Function]:
        """Every function and method, once each where it is declared for several types."""
        return [each for each in ast.walk(self.tree) if isinstance(each, Function) and not is_overload(each)]


class House:
    """The modules of a package, read once."""

    def __init__(self, folder: Path = SERVICE) -> None:
        self.modules = [
            Module(name_of(path, folder), ast.parse(path.read_text(encoding="utf-8")))
            for path in sorted(folder.rglob("*.py"))
        ]

    @cached_property
    def loose(self) -> dict[str, set[str]]:
        """Names that stand for a type with Any in it, by the module in which they do."""
        found = {module.name: {ANY} for module in self.modules}
        grown = True
        while grown:
            before = sum(map(len, found.values()))
            for module in self.modules:
                own = found[module.name]
                own |= {name for name, inner in module.aliases.items() if inner & own}
                own |= {name for name, (source, there) in module.imported.items() if there in found.get(source, ())}
            grown = sum(map(len, found.values())) > before
        return found

    @cached_property
    def records(self) -> set[str]:
        """Names of dictionaries with known members, and of what is one of several; a schema's record may have its name."""
        bases = [(each.name, names_in(*each.bases)) for module in self.modules for each in classes_of(module.tree)]
        found = {"TypedDict"}
        while more := {name for name, inner in bases if inner & found} - found:
            found |= more
        aliases = [(name, alternatives(each)) for module in self.modules for name, each in assigned(module.tree.body)]
        unions = {name for name, inner in aliases if inner and inner <= found}
        return (found | unions) - {"TypedDict"}

    @cached_property
    def functions(self) -> list[Function]:
        """Every function and method of all modules."""
        return [each for module in self.modules for each in module.functions]

    def stating_any(self) -> Share:
        """Functions whose signature says Any."""
        return Share(sum(ANY in signature(each) for each in self.functions), len(self.functions))

    def passing_any(self) -> Share:
        """Functions whose signature says Any, or a name that stands for a type with Any in it."""
        found = [
            bool(signature(each) & self.loose[module.name]) for module in self.modules for each in module.functions
        ]
        return Share(sum(found), len(found))

    def look_ups(self) -> Share:
        """Look-ups by text in what is no record with known members, of all look-ups by text."""
        found = [typed for module in self.modules for typed in LookUps(self.records).seen_in(module.tree)]
        return Share(found.count(False), len(found))

    def odd_names(self) -> list[str]:
        """Names of functions that are neither verbs nor nouns; properties and magic methods aside."""
        return sorted(each.name for each in self.named_functions() if is_odd(each.name))

    def named_functions(self) -> list[Function]:
        """Functions whose names were chosen here, and are called."""
        return [each for each in self.functions if not each.name.startswith("__") and not is_property(each)]


class LookUps(ast.NodeVisitor):
    """Finds look-ups by text, and whether what is looked up in is known to be a record.

    It is where it is a parameter or a variable whose type says so, or was taken out of such a one.
    """

    def __init__(self, records: set[str]) -> None:
        self.records = records
        self.known: list[dict[str, bool]] = [{}]
        self.found: list[bool] = []

    def seen_in(self, tree: ast.AST) -> list[bool]:
        """Whether each look-up below a node is one in a record."""
        self.visit(tree)
        return self.found

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        """Know the parameters within the function alone; types hold no look-ups."""
        self.known.append({each.arg: self.is_record_type(each.annotation) for each in parameters(node)})
        for each in node.body:
            self.visit(each)
        self.known.pop()

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        """Know a variable by its type."""
        if isinstance(node.target, ast.Name):
            self.known[-1][node.target.id] = self.is_record_type(node.annotation)
        if node.value is not None:
            self.visit(node.value)

    def visit_Assign(self, node: ast.Assign) -> None:
        """Know a variable by what it is taken from."""
        for target in node.targets:
            if isinstance(target, ast.Name):
                self.known[-1][target.id] = self.is_record(node.value)
        self.generic_visit(node)

    def visit_For(self, node: ast.For) -> None:
        """Know the entries of a list in a record."""
        self.know_entries(node.target, node.iter)
        self.generic_visit(node)

    def visit_comprehension(self, node: ast.comprehension) -> None:
        """Know the entries of a list in a record."""
        self.know_entries(node.target, node.iter)
        self.generic_visit(node)

    def visit_ListComp(self, node: ast.ListComp) -> None:
        """See what an entry is before what is made of it."""
        self.visit_entries_first(node)

    def visit_SetComp(self, node: ast.SetComp) -> None:
        """See what an entry is before what is made of it."""
        self.visit_entries_first(node)

    def visit_DictComp(self, node: ast.DictComp) -> None:
        """See what an entry is before what is made of it."""
        self.visit_entries_first(node)

    def visit_GeneratorExp(self, node: ast.GeneratorExp) -> None:
        """See what an entry is before what is made of it."""
        self.visit_entries_first(node)

    def visit_entries_first(self, node: ast.ListComp | ast.SetComp | ast.DictComp | ast.GeneratorExp) -> None:
        """See the loops of a comprehension before the rest."""
        for loop in node.generators:
            self.visit(loop)
        for child in ast.iter_child_nodes(node):
            if not isinstance(child, ast.comprehension):
                self.visit(child)

    def visit_Subscript(self, node: ast.Subscript) -> None:
        """Note a look-up such as `x["name"]`; what is put in its place is none."""
        if isinstance(node.ctx, ast.Load) and is_text(node.slice):
            self.found.append(self.is_record(node.value))
        self.generic_visit(node)

    def visit_Call(self, node: ast.Call) -> None:
        """Note a look-up such as `x.get("name")`."""
        if isinstance(node.func, ast.Attribute) and node.func.attr == "get" and node.args and is_text(node.args[0]):
            self.found.append(self.is_record(node.func.value))
        self.generic_visit(node)

    def know_entries(self, target: ast.expr, source: ast.expr) -> None:
        """Know the variable of a loop by what is gone through."""
        if isinstance(target, ast.Name):
            self.known[-1][target.id] = self.is_record(source)

    def is_record(self, node: ast.expr) -> bool:
        """Whether an expression is a record, or taken out of one."""
        while isinstance(node, ast.Subscript | ast.Attribute | ast.Call):
            node = node.func if isinstance(node, ast.Call) else node.value
        return isinstance(node, ast.Name) and next(
            (known[node.id] for known in reversed(self.known) if node.id in known), False
        )

    def is_record_type(self, annotation: ast.expr | None) -> bool:
        """Whether a type is that of a record, or of a list of them."""
        return annotation is not None and bool(names_in(annotation) & self.records)


def name_of(path: Path, folder: Path) -> str:
    """Dotted name of a module."""
    parts = path.relative_to(folder.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def signature(function: Function) -> set[str]:
    """Names in the types of a function's parameters and result."""
    types = [each.annotation for each in parameters(function)]
    return names_in(*(each for each in (*types, function.returns) if each is not None))


def parameters(function: Function) -> Iterator[ast.arg]:
    """Yield every parameter."""
    taken = function.args
    yield from (*taken.posonlyargs, *taken.args, *taken.kwonlyargs)
    yield from (each for each in (taken.vararg, taken.kwarg) if each is not None)


def names_in(*nodes: ast.expr) -> set[str]:
    """Names in expressions, the last one of a dotted name; types in quotes are read too."""
    found: set[str] = set()
    for node in (each for top in nodes for each in ast.walk(top)):
        if isinstance(node, ast.Name):
            found.add(node.id)
        elif isinstance(node, ast.Attribute):
            found.add(node.attr)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.isidentifier():
            found.add(node.value)
    return found


def alternatives(node: ast.expr) -> set[str]:
    """Names of the types that a union is of, whatever each of them is made for."""
    if isinstance(node, ast.BinOp):
        return alternatives(node.left) | alternatives(node.right)
    return names_in(node.value if isinstance(node, ast.Subscript) else node)


def assigned(body: Iterable[ast.stmt]) -> Iterator[tuple[str, ast.expr]]:
    """Yield the names that stand for types in a module, which begin with a capital letter as classes do."""
    for each in body:
        target = each.targets[0] if isinstance(each, ast.Assign) else getattr(each, "target", None)
        value = getattr(each, "value", None)
        if isinstance(target, ast.Name) and isinstance(value, ast.expr) and is_name_of_type(target.id):
            yield target.id, value


def is_name_of_type(name: str) -> bool:
    """Whether a name is written as those of types are."""
    return name[0].isupper() and not name.isupper()


def classes_of(tree: ast.Module) -> list[ast.ClassDef]:
    """Classes of a module."""
    return [each for each in ast.walk(tree) if isinstance(each, ast.ClassDef)]


def is_text(node: ast.expr) -> bool:
    """Whether an expression is a text as it stands, or a constant's name that stands for one."""
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def is_property(function: Function) -> bool:
    """Whether a function is read as if it were a value."""
    return any("property" in name for each in function.decorator_list for name in names_in(each))


def is_overload(function: Function) -> bool:
    """Whether a function is but one declaration of several of the same."""
    return any("overload" in names_in(each) for each in function.decorator_list)


def is_odd(name: str) -> bool:
    """Whether a function's name begins with no verb and ends with no noun."""
    words = name.strip("_").split("_")
    if words[0] in VERBS or words[0] in CONVERSIONS:
        return False
    head = next((place for place, word in enumerate(words) if place and word in JOINTS), len(words)) - 1
    return words[0] in OPENERS or is_quality(words[head])


def is_quality(word: str) -> bool:
    """Whether a word says how a thing is, and names none."""
    return word in QUALITIES or (word.endswith("ed") and word not in NOUNS_IN_ED)


def main() -> None:
    """Print the counts of the service."""
    house = House()
    names = Share(len(house.odd_names()), len(house.named_functions()))
    sys.stdout.write(
        f"functions that state Any:               {house.stating_any()}\n"
        f"functions that pass Any, aliases too:   {house.passing_any()}\n"
        f"look-ups by text, not in known records: {house.look_ups()}\n"
        f"names neither verb nor noun:            {names}\n"
    )


if __name__ == "__main__":
    main()
