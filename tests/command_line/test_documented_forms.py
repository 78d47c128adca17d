"""The command lines of the documentation run as shown."""

import io
import json
import shlex
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from closeup_service.operations.operation import Example, Operation
from documented_forms import forms, straight

Run = Callable[..., tuple[int, str, str]]
END = " <<'END'"


@pytest.mark.parametrize(("operation", "example", "text"), forms("command"))
def test_each_command_gets_the_answer_to_its_example(
    closeup: Run,
    photographs: Path,
    operation: Operation,
    example: Example | None,
    text: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    line, _, document = text.partition("\n")
    assert line.endswith(END) == bool(document)
    monkeypatch.setattr(sys, "stdin", io.StringIO(document.removesuffix("\nEND")))
    program, *words = shlex.split(line.removesuffix(END))
    assert program == "closeup"
    code, out, err = closeup(*words)
    assert (code, bool(out)) == (0, True), err
    _, told, _ = again(closeup, words, document, monkeypatch)
    assert json.loads(told) == straight(operation, example)


def again(closeup: Run, words: list[str], document: str, monkeypatch: pytest.MonkeyPatch) -> tuple[int, str, str]:
    monkeypatch.setattr(sys, "stdin", io.StringIO(document.removesuffix("\nEND")))
    return closeup(*words, "--json")
