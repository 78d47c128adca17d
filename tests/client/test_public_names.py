"""The public names: each is listed, and no module that they come from has one more."""

import ast
import inspect
import subprocess
import sys
from collections.abc import Iterator
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from types import ModuleType

import pytest

import closeup_client
from closeup_client import homes, records


def imports_of(package: ModuleType) -> list[ast.ImportFrom]:
    """Imports of a package from modules of its own, which type checkers read."""
    tree = ast.parse(Path(str(package.__file__)).read_text(encoding="utf-8"))
    found = [node for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    return [node for node in found if str(node.module).startswith("closeup_client.") and node.module != homes.__name__]


IMPORTS = [node for node in imports_of(closeup_client) if node.module != records.__name__] + imports_of(records)
MODULES = [str(node.module) for node in IMPORTS if node.names[0].name == "*"]


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


def test_exported_members_are_there_once() -> None:
    names = closeup_client.__all__
    assert len(names) == len(set(names))
    assert records.__all__ == sorted(records.__all__)
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


def test_each_name_is_loaded_from_the_module_that_type_checkers_read() -> None:
    by_star = {name: module for module in MODULES for name in defined_in(module)}
    by_name = {name.name: str(node.module) for node in IMPORTS for name in node.names if name.name != "*"}
    read = {name: module for name, module in (by_star | by_name).items() if name in closeup_client.__all__}
    assert {name: homes.module_of(name).__name__ for name in closeup_client.__all__} == read


def loaded_by(script: str) -> set[str]:
    told = f"{script}\nimport sys\nprint(*sys.modules)"
    return set(subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True).stdout.split())


def test_the_client_brings_nothing_of_the_service() -> None:
    loaded = {name.partition(".")[0] for name in loaded_by("from closeup_client import *")}
    assert {"closeup_service", "flask", "marshmallow", "numpy", "werkzeug"}.isdisjoint(loaded)


def test_modules_are_loaded_when_a_name_of_theirs_is_asked_for() -> None:
    assert {name for name in loaded_by("import closeup_client") if "closeup" in name} == {
        "closeup_client",
        "closeup_client.records",
    }
    loaded = loaded_by("from closeup_client import Client, MagnificationAnswer")
    assert {"closeup_client.client", "closeup_client.records.plan_answers"} <= loaded
    assert not [name for name in loaded if name.endswith("_requests") or name in ("requests", "set_up_answers")]
    assert "requests" in loaded_by("from closeup_client import Client; Client()")


def test_a_name_that_is_none_is_told_as_by_any_module() -> None:
    with pytest.raises(AttributeError, match="module 'closeup_client' has no attribute 'Cleint'"):
        closeup_client.Cleint  # type: ignore[attr-defined]  # noqa: B018
    with pytest.raises(ImportError, match="cannot import name 'Cleint'"):
        exec("from closeup_client import Cleint")


def test_names_that_are_not_loaded_yet_are_listed() -> None:
    script = "import closeup_client; print(set(closeup_client.__all__) <= set(dir(closeup_client)))"
    ended = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert ended.stdout == "True\n"


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
