"""The help: every option with its meaning, unit and bounds, and examples that run."""

import re
import shlex
from collections.abc import Callable
from importlib.metadata import version

import pytest

from closeup_client.command_line import exit_codes
from closeup_client.command_line.figures import with_signs
from closeup_client.command_line.helping import meaning
from closeup_client.command_line.operation import Operation
from closeup_client.command_line.paragraphs import wrapped
from closeup_client.command_line.table import table
from closeup_client.command_line.wording import NAME, Wording

Run = Callable[..., tuple[int, str, str]]
COMMANDS = [operation.name for operation in table().operations]


def helped(closeup: Run, *words: str) -> str:
    code, out, err = closeup(*" ".join(words).split(), "--help")
    assert (code, err) == (0, "")
    return out


def examples_in(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.startswith("  closeup ")]


@pytest.mark.usefixtures("photographs")
@pytest.mark.parametrize("command", [*COMMANDS, "completion"])
def test_every_example_of_the_help_runs(closeup: Run, command: str) -> None:
    shown = examples_in(helped(closeup, command))
    assert shown
    for line in shown:
        program, *words = shlex.split(line)
        code, out, err = closeup(*words)
        assert (program, code) == ("closeup", 0), line
        assert err == "" or command == "table", line  # the notes of a table stand beside its CSV
        assert out


@pytest.mark.parametrize("operation", table().operations, ids=lambda operation: operation.name)
def test_every_option_tells_its_meaning_unit_and_bounds(closeup: Run, operation: Operation) -> None:
    text = " ".join(helped(closeup, operation.name).split())
    wording = Wording(table(), operation)
    fields = [f for option in operation.options for f in (option.fields or (option,))]
    for field in fields:
        assert wording.in_help(meaning(field)) in text
        if field.minimum is not None:
            assert f"From {field.minimum:.15g} to {field.maximum:.15g} {with_signs(field.unit)}".strip() in text
    for option in operation.options:
        assert option.option in text
        assert ", ".join(wording.choices(option)) in text


def test_the_help_of_a_train_tells_every_member_of_every_part(closeup: Run) -> None:
    text = " ".join(helped(closeup, "evaluate").split())
    wording = Wording(table(), table().operation("evaluate"))
    for part in table().parts.values():
        assert part.meaning in text
        assert [field.name for field in part.fields if wording.in_help(meaning(field)) not in text] == []


@pytest.mark.parametrize("operation", table().operations, ids=lambda operation: operation.name)
def test_the_help_names_options_and_quantities_in_words_for_people(closeup: Run, operation: Operation) -> None:
    """Names of columns and of the kit's members are typed as they stand."""
    raw = NAME.findall(helped(closeup, operation.name).partition("Examples:")[0].replace("\n", " "))
    columns = {word for field in operation.options if operation.takes_columns for word in field.choices}
    typed = {name for choice in columns for name in choice.split(".")} | {"f_number", "sharp_from_f_number"}
    assert set(raw) <= typed


def test_a_name_too_long_for_its_column_stands_above_its_meaning() -> None:
    assert wrapped(["  p=\tpupils", "  pupil-magnification=\tpupils"]) == (
        f"  p={' ' * 14}pupils\n  pupil-magnification=\n{' ' * 18}pupils"
    )


def test_the_help_fits_the_terminal_but_for_examples_to_be_copied(closeup: Run) -> None:
    lines = helped(closeup, "evaluate").splitlines()
    assert [line for line in lines if len(line) > 80 and not line.startswith("  closeup ")] == []


@pytest.mark.parametrize("columns", range(60, 90, 3))
def test_options_in_the_text_are_not_broken_at_their_hyphens(
    closeup: Run, monkeypatch: pytest.MonkeyPatch, columns: int
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    paragraphs = helped(closeup, "magnification").partition("options:")[0].splitlines()
    assert [line for line in paragraphs if line.endswith("-")] == []


def test_the_first_help_names_every_command_and_every_exit_code(closeup: Run) -> None:
    text = helped(closeup)
    assert [command for command in COMMANDS if command not in text] == []
    assert "Ends with 0 when done, 1 when" in text
    assert [
        code for code in exit_codes_known() if not re.search(rf"\b{code} (?:when|for)\b", " ".join(text.split()))
    ] == []


def exit_codes_known() -> list[int]:
    return [value for name, value in vars(exit_codes).items() if name.isupper() and isinstance(value, int)]


def test_the_version_is_that_of_the_package(closeup: Run) -> None:
    assert closeup("--version") == (0, f"closeup {version('closeup-optics')}\n", "")


@pytest.mark.parametrize("operation", table().operations, ids=lambda operation: operation.name)
def test_needed_options_come_first(closeup: Run, operation: Operation) -> None:
    usage = helped(closeup, operation.name).partition("\n\n")[0].replace("[", " ").split()
    places = {option: usage.index(option.option) for option in operation.options}
    needed = [place for option, place in places.items() if option.required]
    assert max(needed, default=0) <= min((p for o, p in places.items() if not o.required), default=len(usage))


def test_help_leaves_out_what_a_command_cannot_use(closeup: Run) -> None:
    assert "--all-cautions" not in helped(closeup, "mounts")
    assert "--all-cautions" in helped(closeup, "evaluate")
    assert "in a query" not in " ".join(helped(closeup, "diffraction").split())


def test_a_sentence_of_the_help_that_begins_with_a_label_begins_with_a_capital(closeup: Run) -> None:
    text = " ".join(helped(closeup, "effective-f-number").split())
    assert "mounted normally. Light loss and exposure factor" in text
