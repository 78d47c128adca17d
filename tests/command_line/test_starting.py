"""What is loaded to answer a command: what it needs, and no more."""

import subprocess
import sys
from collections.abc import Callable

import pytest

from closeup_client.command_line import parsing
from closeup_client.command_line.parsing import parser_for
from closeup_client.command_line.table import table

Run = Callable[..., tuple[int, str, str]]

SCRIPT = """
import sys
from closeup_client.cli import main
code = main(sys.argv[1:])
print(*sys.modules, file=sys.stderr)
sys.exit(code)
"""


def loaded_by(*words: str) -> set[str]:
    """Modules that are loaded when the command has ended."""
    ended = subprocess.run([sys.executable, "-c", SCRIPT, *words], capture_output=True, text=True, check=True)
    return set(ended.stderr.split())


def first_parts(modules: set[str]) -> set[str]:
    return {name.partition(".")[0] for name in modules}


@pytest.mark.parametrize("word", ["--version", "--help"])
def test_neither_version_nor_help_loads_what_asks_operations(word: str) -> None:
    loaded = loaded_by(word)
    assert "closeup_client.command_line.parsing" in loaded
    assert {"requests", "closeup_service", "numpy", "importlib.metadata"}.isdisjoint(loaded)
    assert not any(f"closeup_client.{name}" in loaded for name in ("client", "in_process", "results", "fields"))
    assert not any(
        f"closeup_client.command_line.{name}" in loaded for name in ("wording", "arguments", "export.command")
    )


def test_the_help_of_a_command_asks_nothing() -> None:
    loaded = loaded_by("evaluate", "--help")
    assert "closeup_client.command_line.helping" in loaded
    assert {"requests", "closeup_service"}.isdisjoint(first_parts(loaded))


def test_a_command_in_process_needs_no_http_and_no_record() -> None:
    loaded = loaded_by("effective-f-number", "--f-number", "8", "--magnification", "1.5")
    assert "closeup_client.in_process" in loaded
    assert "closeup_service.in_process" in loaded
    assert {"requests", "urllib3", "flask", "werkzeug"}.isdisjoint(first_parts(loaded))
    assert not any(name.startswith("closeup_client.") and name.endswith(("_results", "_fields")) for name in loaded)
    assert not any(f"closeup_client.{name}" in loaded for name in ("client", "over_http", "results", "fields"))
    assert not any(
        f"closeup_client.command_line.{name}" in loaded
        for name in ("export.command", "scale_bars.command", "completion")
    )


def test_the_parser_of_the_asked_command_alone_is_built(monkeypatch: pytest.MonkeyPatch) -> None:
    built: list[str] = []
    build = parsing.build_operation_parser

    def noted(known: object, name: str, **told: object) -> object:
        built.append(name)
        return build(known, name, **told)  # type: ignore[arg-type]

    monkeypatch.setattr(parsing, "build_operation_parser", noted)
    given = parser_for(table()).parse_args(["effective-f-number", "--f-number", "8", "--magnification", "1.5"])
    assert given.command == "effective-f-number"
    assert built == ["effective-f-number"]
