"""The service's own types of requests and answers: what is loaded, and what is answered, is as they say."""

import ast
from collections.abc import Iterator, Mapping, Sequence
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints, is_typeddict

import numpy as np
import pytest

from closeup_service import records
from closeup_service.operations.asking.ask import answer_with
from closeup_service.operations.operation import Operation
from closeup_service.operations.registry import operations
from closeup_service.optics.arithmetic import R
from closeup_service.schemas.fields import load
from closeup_service.schemas.kit import demo_kit
from closeup_service.schemas.worked_steps import SHOW_STEPS

MODULES = [import_module(f"{records.__name__}.{module.name}") for module in iter_modules(records.__path__)]
KNOWN = {name: kind for module in MODULES for name, kind in vars(module).items() if is_typeddict(kind)}
ASKED = [
    operation for operation in operations() if operation.request_schema is not None and operation.photographs is None
]


def faults(value: Any, hint: Any, pointer: str = "") -> Iterator[str]:
    """Places where a value is not of a type."""
    origin, inner = get_origin(hint), get_args(hint)
    if is_typeddict(origin or hint):
        yield from faults_of_members(value, hint, pointer)
    elif origin in (Union, UnionType):
        if all([*faults(value, each, pointer)] for each in inner):
            yield f"{pointer} is none of {hint}"
    elif origin in (Mapping, Sequence):
        yield from faults_of_entries(value, origin, inner[-1], pointer)
    elif not is_of(value, hint):
        yield f"{pointer} is {value!r}, no {hint}"


def is_of(value: Any, hint: Any) -> bool:
    """Whether a value without members is of a type; numbers are Python's own, as JSON has them."""
    if get_origin(hint) is Literal:
        return value in get_args(hint)
    if hint is float:
        return isinstance(value, int | float) and not isinstance(value, bool | np.generic)
    origin = getattr(get_origin(hint), "__value__", get_origin(hint))  # numpy's newer array types are named aliases
    return hint is Any or isinstance(value, NoneType if hint is None else get_origin(origin) or origin or hint)


def faults_of_entries(value: Any, kind: Any, hint: Any, pointer: str) -> Iterator[str]:
    if not isinstance(value, kind) or isinstance(value, str):
        yield f"{pointer} is no {kind.__name__}"
        return
    for name, each in value.items() if isinstance(value, Mapping) else enumerate(value):
        yield from faults(each, hint, f"{pointer}/{name}")


def faults_of_members(value: Any, kind: Any, pointer: str) -> Iterator[str]:
    if not isinstance(value, Mapping):
        yield f"{pointer} is no object"
        return
    record, number = get_origin(kind) or kind, *(get_args(kind) or (float,))
    hints = {name: of_numbers(hint, number) for name, hint in get_type_hints(record).items()}
    yield from (f"{pointer}/{name} is missing" for name in record.__required_keys__ - value.keys())
    for name, each in value.items():
        yield from faults(each, hints[name], f"{pointer}/{name}") if name in hints else [f"{pointer}/{name} is unknown"]


def of_numbers(hint: Any, number: Any) -> Any:
    """Type whose numbers are of a kind; a bare record is of floats."""
    if hint is R:
        return number
    return hint[number] if getattr(hint, "__parameters__", ()) else hint


def kind_of(which: Any) -> Any:
    return KNOWN[which.__name__.removesuffix("Schema")]


def examples() -> list[Any]:
    return [
        pytest.param(operation, example.request, id=f"{operation.operation_id} {example.name}")
        for operation in ASKED
        for example in operation.examples
    ]


@pytest.mark.parametrize(("operation", "request_"), examples())
def test_what_is_loaded_and_what_is_answered_is_as_the_types_say(
    operation: Operation, request_: Mapping[str, Any]
) -> None:
    assert operation.request_type is not None
    members = {name: value for name, value in request_.items() if name != SHOW_STEPS}
    loaded = load(operation.request_type(), members)
    assert list(faults(loaded, kind_of(operation.request_type))) == []
    answer = answer_with(operation, loaded, demo_kit)
    assert list(faults(answer, kind_of(operation.answer_type))) == []


@pytest.mark.parametrize(
    "operation",
    [each for each in operations() if each.request_schema is None],
    ids=lambda operation: operation.operation_id,
)
def test_what_is_listed_is_as_the_types_say(operation: Operation) -> None:
    assert list(faults(operation.answer({}), kind_of(operation.answer_type))) == []


def loaded_at_run_time(tree: ast.AST) -> Iterator[str]:
    """Modules that a module imports, but for type checkers alone."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
        elif not (isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"):
            yield from loaded_at_run_time(node)


def test_the_service_never_loads_its_types() -> None:
    package = Path(records.__path__[0])
    others = [path for path in package.parent.rglob("*.py") if path.parent != package]
    assert others
    loading = [path for path in others if records.__name__ in str([*loaded_at_run_time(ast.parse(path.read_text()))])]
    assert loading == []
