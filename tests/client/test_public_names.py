"""The public names: each is listed, and no module that they come from has one more."""

import ast
import inspect
import subprocess
import sys
from collections.abc import Iterator
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

import pytest

import closeup_client

MODULES = [
    node.module
    for node in ast.parse(Path(closeup_client.__file__).read_text(encoding="utf-8")).body
    if isinstance(node, ast.ImportFrom) and node.module and node.names[0].name == "*"
]


def defined_in(module: str) -> Iterator[str]:
    """Public classes, functions and aliases of types that a module defines."""
    spec = find_spec(module)
    assert spec is not None
    assert spec.origin is not None
    for node in ast.parse(Path(spec.origin).read_text(encoding="utf-8")).body:
        if isinstance(node, ast.ClassDef | ast.FunctionDef):
            yield node.name
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            yield node.target.id


def test_exported_members_are_sorted_and_there() -> None:
    names = closeup_client.__all__
    assert names == sorted(set(names))
    assert [name for name in names if not hasattr(closeup_client, name)] == []


@pytest.mark.parametrize("module", MODULES)
def test_exported_members_hold_everything_that_a_public_module_defines(module: str) -> None:
    own = {name for name in defined_in(module) if not name.startswith("_")}
    assert own
    assert own <= set(closeup_client.__all__)
    assert [name for name in own if getattr(closeup_client, name) is not getattr(import_module(module), name)] == []


def test_exported_members_come_from_those_modules_or_by_name() -> None:
    by_modules = {name for module in MODULES for name in defined_in(module)}
    assert set(closeup_client.__all__) - by_modules == {"Client", "Photograph"}


def test_the_client_brings_requests_and_nothing_of_the_service() -> None:
    script = "import sys, closeup_client; print(*{name.partition('.')[0] for name in sys.modules})"
    loaded = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout.split()
    assert "requests" in loaded
    assert {"closeup_service", "flask", "marshmallow", "numpy", "werkzeug"}.isdisjoint(loaded)


def test_the_help_of_fields_names_every_member_with_what_it_takes() -> None:
    told = inspect.getdoc(closeup_client.TableFields)
    assert told is not None
    lines = told.splitlines()
    assert "subject_depth_mm : number" in lines
    assert "light : 'one-wavelength' | 'white'" in lines
    assert "    How far the subject stands out towards the lens. [mm]" in lines
    assert "train : Sequence of Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart, needed" in lines
    members = [line.partition(" : ")[0] for line in lines[lines.index("-------") + 1 :] if not line.startswith(" ")]
    assert set(members) == closeup_client.TableFields.__required_keys__ | closeup_client.TableFields.__optional_keys__
