"""Completion: scripts that the shells accept, and that complete what the help names."""

import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from closeup_client.command_line.completion.command import script
from closeup_client.command_line.completion.scripts import SHELLS
from closeup_client.command_line.operation import Operation
from closeup_client.command_line.options import OF_OWN_COMMANDS, options_of
from closeup_client.command_line.table import table

Run = Callable[..., tuple[int, str, str]]
CHECKS = {"bash": ["bash", "-n"], "zsh": ["zsh", "-n"], "fish": ["fish", "--no-execute"]}
needs_bash = pytest.mark.skipif(shutil.which("bash") is None, reason="bash is not here")


@pytest.mark.parametrize("shell", SHELLS)
def test_the_script_is_printed(closeup: Run, shell: str) -> None:
    assert closeup("completion", shell) == (0, script(shell, table()), "")


@pytest.mark.parametrize("shell", SHELLS)
def test_the_shell_accepts_its_script(tmp_path: Path, shell: str) -> None:
    if shutil.which(shell) is None:
        pytest.skip(f"{shell} is not here")
    path = tmp_path / "script"
    path.write_text(script(shell, table()), encoding="utf-8")
    ended = subprocess.run([*CHECKS[shell], str(path)], capture_output=True, text=True, check=False)
    assert (ended.returncode, ended.stderr) == (0, "")


@pytest.mark.parametrize("operation", table().operations, ids=lambda operation: operation.name)
def test_every_option_of_the_help_is_completed_and_no_other(closeup: Run, operation: Operation) -> None:
    _, text, _ = closeup(*operation.words, "--help")
    usage = text.partition("\n\n")[0]
    named = set(re.findall(r"--[a-z][a-z0-9-]*", usage)) | {"--help"}
    assert {option.name for option in options_of(operation)} == named


@pytest.mark.parametrize("command", OF_OWN_COMMANDS)
def test_so_is_every_option_of_a_command_that_is_no_operation(closeup: Run, command: str) -> None:
    usage = closeup(command, "--help")[1].partition("\n\n")[0]
    named = set(re.findall(r"--[a-z][a-z0-9-]*", usage)) | {"--help"}
    assert {option.name for option in OF_OWN_COMMANDS[command] if option.name} == named


def completed(*words: str, folder: Path | None = None) -> list[str]:
    """What bash proposes for the last of these words."""
    line = " ".join(f"'{word}'" for word in words)
    program = f"{script('bash', table())}\nCOMP_WORDS=({line}); COMP_CWORD={len(words) - 1}; _closeup\n"
    program += 'printf "%s\\n" "${COMPREPLY[@]}"'
    ended = subprocess.run(["bash", "-c", program], capture_output=True, text=True, check=True, cwd=folder)
    assert ended.stderr == ""
    return ended.stdout.split()


@needs_bash
def test_bash_completes_commands() -> None:
    assert completed("closeup", "ma") == ["magnification", "magnification-chart"]
    assert set(completed("closeup", "")) >= {operation.words[0] for operation in table().operations} | {"completion"}
    assert completed("closeup", "scale-reading", "ph") == ["photo"]


@needs_bash
@pytest.mark.parametrize("operation", table().operations, ids=lambda operation: operation.name)
def test_bash_completes_every_option_of_a_command(operation: Operation) -> None:
    assert completed("closeup", *operation.words, "--") == [each.name for each in options_of(operation)]


@needs_bash
@pytest.mark.parametrize(
    ("words", "proposed"),
    [
        (("magnification", "--sensor", "36"), ["36.7x49", "36x24"]),
        (("depth-of-field", "--mounting", "r"), ["reversed"]),
        (("evaluate", "--train", "be"), ["bellows"]),
        (("evaluate", "--camera", "reg"), ["register="]),
        (("evaluate", "--target", "w"), ["wd=", "width="]),
        (("effective-f-number", "--f-number", ""), []),
        (("completion", "z"), ["zsh"]),
        (("scale-reading", "photo", "--sensor", "36x"), ["36x24"]),
    ],
)
def test_bash_completes_values(words: tuple[str, ...], proposed: list[str]) -> None:
    assert completed("closeup", *words) == proposed


@needs_bash
def test_bash_completes_files_of_a_document(tmp_path: Path) -> None:
    (tmp_path / "rig.json").write_text("{}", encoding="utf-8")
    assert completed("closeup", "evaluate", "--document", "ri", folder=tmp_path) == ["rig.json"]


@needs_bash
@pytest.mark.parametrize(
    "words",
    [("scale-reading", "photo"), ("scale-bars",), ("scale-reading", "comparison", "a.jpg", "--tick-pitch-mm", "1")],
)
def test_bash_completes_files_that_stand_alone(tmp_path: Path, words: tuple[str, ...]) -> None:
    (tmp_path / "ruler.jpg").write_bytes(b"")
    assert completed("closeup", *words, "ru", folder=tmp_path) == ["ruler.jpg"]


@pytest.mark.skipif(shutil.which("fish") is None, reason="fish is not here")
@pytest.mark.parametrize(
    ("line", "proposed"),
    [
        ("closeup ma", ["magnification", "magnification-chart"]),
        ("closeup magnification --sensor 36x", ["36x24"]),
        ("closeup magnification --sens", ["--sensor", "--sensor-height-mm", "--sensor-width-mm"]),
        ("closeup evaluate --train be", ["bellows"]),
        ("closeup completion z", ["zsh"]),
        ("closeup scale-reading ph", ["photo"]),
        ("closeup scale-reading photo --over", ["--overlay"]),
        ("closeup scale-reading photo --first", []),
    ],
)
def test_fish_completes_commands_options_and_values(tmp_path: Path, line: str, proposed: list[str]) -> None:
    path = tmp_path / "script"
    path.write_text(script("fish", table()), encoding="utf-8")
    words = ["fish", "--no-config", "-c", f"source {path}; complete -C '{line}'"]
    ended = subprocess.run(words, capture_output=True, text=True, check=True)
    assert sorted(row.split("\t")[0] for row in ended.stdout.splitlines()) == proposed


@pytest.mark.skipif(shutil.which("zsh") is None, reason="zsh is not here")
@pytest.mark.parametrize(
    ("words", "proposed"),
    [
        (("closeup", "ma"), "magnification:Magnification by framing, by extension or by working distance"),
        (("closeup", "magnification", "--sensor", ""), "36x24"),
        (("closeup", "working-distance", "--"), "--lens-register-mm:Register of the mount that the lens was made for."),
        (("closeup", "evaluate", "--document", ""), "(files)"),
        (("closeup", "completion", ""), "zsh"),
        (
            ("closeup", "scale-reading", ""),
            "comparison:Which of several photographs of a ruler is sharper, zone by zone",
        ),
        (("closeup", "scale-reading", "photo", "--sensor", ""), "36x24"),
        (("closeup", "scale-reading", "photo", "--overlay", ""), "(files)"),
    ],
)
def test_zsh_proposes_commands_options_and_values(words: tuple[str, ...], proposed: str) -> None:
    """The functions that zsh offers to completions are replaced by ones that print what they are given."""
    stand_ins = (
        '_describe() { print -l -- ${(P)2} }; compadd() { print -l -- $@ }; _files() { print "(files)" }; compdef() { }'
    )
    line = " ".join(f"'{word}'" for word in words)
    text = f"{stand_ins}\n{script('zsh', table())}\nwords=({line}); CURRENT={len(words)}; _closeup"
    ended = subprocess.run(["zsh", "-f", "-c", text], capture_output=True, text=True, check=True)
    assert proposed in ended.stdout.splitlines()


def test_a_meaning_with_an_apostrophe_keeps_the_scripts_whole(tmp_path: Path) -> None:
    text = script("fish", table())
    for line in text.splitlines():
        assert line.replace("\\'", "").count("'") % 2 == 0, line
