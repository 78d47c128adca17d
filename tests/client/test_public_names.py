import inspect
import subprocess
import sys
from types import ModuleType

import pytest

import closeup_client
from closeup_client import elements, errors, fields, results


def test_exported_members_are_sorted_and_there() -> None:
    names = closeup_client.__all__
    assert names == sorted(set(names))
    assert [name for name in names if not hasattr(closeup_client, name)] == []


@pytest.mark.parametrize("module", [elements, errors, fields, results], ids=lambda module: module.__name__)
def test_exported_members_hold_everything_that_a_public_module_defines(module: ModuleType) -> None:
    own = {name for name, value in vars(module).items() if getattr(value, "__module__", "") == module.__name__}
    assert {name for name in own if not name.startswith("_")} <= set(closeup_client.__all__)


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
    assert "train : Sequence of Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart, needed" in lines
    members = [line.partition(" : ")[0] for line in lines[lines.index("-------") + 1 :]]
    assert set(members) == closeup_client.TableFields.__required_keys__ | closeup_client.TableFields.__optional_keys__
