"""Small faults for one module, made by cosmic-ray: at each place of the source every other operator, number or branch."""

import ast
import difflib
import random
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import CodeType

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names

Span = tuple[tuple[int, int], tuple[int, int]]

ARITHMETIC = ("Add", "Sub", "Mul", "Div")
ORDER = ("Eq", "NotEq", "Lt", "LtE", "Gt", "GtE")
PLAUSIBLE = {
    **dict.fromkeys(ARITHMETIC, ARITHMETIC),
    "Pow": ("Mul", "Div"),
    "FloorDiv": ("Div", "Mul"),
    "Mod": ("Mul", "FloorDiv"),
    "BitOr": ("BitAnd",),
    "BitAnd": ("BitOr",),
    **dict.fromkeys(ORDER, ORDER),
    "Is": ("IsNot",),
    "IsNot": ("Is",),
}
"""What an operator is replaced by; the others raise a TypeError on floats, or change nothing."""

BRANCHES = ("AddNot", "ReplaceAndWithOr", "ReplaceOrWithAnd", "ReplaceTrueWithFalse", "ReplaceFalseWithTrue")
LOOPS = ("ReplaceBreakWithContinue", "ReplaceContinueWithBreak", "ZeroIterationForLoop")
OTHERS = frozenset(("NumberReplacer", "ReplaceUnaryOperator", *BRANCHES, *LOOPS))


@dataclass(frozen=True)
class Mutant:
    """One fault: where it lies, which operator makes it, and which of that operator's."""

    path: Path
    span: Span
    operator: str
    occurrence: int
    within_function: bool

    @property
    def module(self) -> str:
        """Name that the module is imported by."""
        return f"closeup_service.optics.{self.path.stem}"

    @property
    def compiled(self) -> CodeType:
        """The module with the fault, to be run."""
        return compile(self.code, str(self.path), "exec")

    @property
    def difference(self) -> str:
        """The lines that the fault changes, before and after."""
        before, after = self.path.read_text().splitlines(), self.code.splitlines()
        return "\n".join(line for line in difflib.ndiff(before, after) if line[0] in "-+")

    @property
    def code(self) -> str:
        """Source of the module with the fault."""
        return str(mutate_code(self.path.read_text(), get_operator(self.operator)(), self.occurrence))

    def __str__(self) -> str:
        (line, column), _ = self.span
        return f"{self.path.stem}:{line}:{column} {self.operator.removeprefix('core/')} #{self.occurrence}"


def is_plausible(operator: str) -> bool:
    """Whether a fault by this operator is one that somebody might write."""
    kind, *swap = operator.removeprefix("core/").split("_")
    if kind in {"ReplaceBinaryOperator", "ReplaceComparisonOperator"}:
        return swap[1] in PLAUSIBLE.get(swap[0], ())
    return kind in OTHERS and "Invert" not in swap


def mutants_of(path: Path) -> Iterator[Mutant]:
    """Every plausible mutant of a module, but those in annotations and decorators."""
    source = path.read_text()
    nodes = list(ast_nodes(get_ast(source)))
    tree = ast.parse(source)
    passed_over, bodies = list(spans_passed_over(tree)), list(bodies_of_functions(tree))
    for name in filter(is_plausible, operator_names()):
        operator = get_operator(name)()
        spans = (span for node in nodes for span in operator.mutation_positions(node))
        for occurrence, span in enumerate(spans):
            if not any(start <= span[0] < end for start, end in passed_over):
                within = any(first <= span[0][0] <= last for first, last in bodies)
                yield Mutant(path, span, name, occurrence, within)


def bodies_of_functions(tree: ast.Module) -> Iterator[tuple[int, int]]:
    """First and last line of every function's body."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            yield node.body[0].lineno, node.body[-1].end_lineno or 0


def spans_passed_over(tree: ast.Module) -> Iterator[Span]:
    """Where annotations and decorators stand."""
    for node in ast.walk(tree):
        decorators = getattr(node, "decorator_list", [])
        for noted in (getattr(node, "annotation", None), getattr(node, "returns", None), *decorators):
            if isinstance(noted, ast.expr):
                yield (noted.lineno, noted.col_offset), (noted.end_lineno or 0, noted.end_col_offset or 0)


def sample(paths: Sequence[Path], wanted: int, seed: int) -> list[Mutant]:
    """One mutant at each of so many places, drawn over all modules: at least eight of each, where it has as many."""
    drawing = random.Random(seed)
    modules = [places_of(mutants_of(path)) for path in paths]
    chosen, rest = [], []
    for places in modules:
        drawing.shuffle(places)
        chosen += places[:8]
        rest += places[8:]
    chosen += drawing.sample(rest, min(len(rest), max(0, wanted - len(chosen))))
    mutants = [drawing.choice(place) for place in chosen]
    drawing.shuffle(mutants)
    return [mutant for mutant in mutants if is_code(mutant)]


def is_code(mutant: Mutant) -> bool:
    """Whether Python takes the module with the fault at all: two stars before a mapping are no power."""
    try:
        ast.parse(mutant.code)
    except SyntaxError:
        return False
    return True


def places_of(mutants: Iterable[Mutant]) -> list[list[Mutant]]:
    """Put the mutants together that change the same place."""
    places = defaultdict(list)
    for mutant in mutants:
        places[mutant.span].append(mutant)
    return list(places.values())
