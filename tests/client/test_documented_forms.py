"""The Python forms of the documentation run as shown."""

import ast
from pathlib import Path

import pytest

from closeup_service.operations.operation import Example, Operation
from documented_forms import forms, straight
from ruler_pictures import draw

ADDRESS = 'Client("http://127.0.0.1:8000")'


@pytest.mark.parametrize(("operation", "example", "text"), forms("python"))
def test_each_snippet_prints_the_answer_to_its_example(
    operation: Operation,
    example: Example | None,
    text: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    draw(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert ADDRESS in text
    exec(compile(text.replace(ADDRESS, "Client.in_process()"), "documentation", "exec"), {})
    printed = capsys.readouterr().out
    if example is None:
        assert len(printed.splitlines()) == len(straight(operation, example)["records"])
    else:
        assert ast.literal_eval(printed) == straight(operation, example)
