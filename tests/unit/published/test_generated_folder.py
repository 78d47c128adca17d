"""Files that are generated: written where they differ, and told to be stale where they are."""

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from closeup_service.published import generated_file
from closeup_service.published.generated_folder import write_or_check

Run = Callable[..., int]
FILES = {"one.py": "ONE = 1\n", "two.py": "TWO = 2\n"}


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch) -> Run:
    def called(function: Callable[..., int], content: object, *words: str) -> int:
        monkeypatch.setattr(sys, "argv", ["command", *words])
        return function("command", content)

    return called


def test_a_file_that_is_written_is_current_until_it_is_edited(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "file.txt"
    assert run(generated_file.write_or_check, "text", str(path), "--check") == 1
    assert run(generated_file.write_or_check, "text", str(path)) == 0
    assert run(generated_file.write_or_check, "text", str(path), "--check") == 0
    path.write_text("edited")
    assert run(generated_file.write_or_check, "text", str(path), "--check") == 1


def test_a_folder_that_is_written_is_current(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "records"
    assert run(write_or_check, FILES, str(folder), "--check") == 1
    assert run(write_or_check, FILES, str(folder)) == 0
    assert {path.name: path.read_text() for path in folder.iterdir()} == FILES
    assert run(write_or_check, FILES, str(folder), "--check") == 0


@pytest.mark.parametrize("stale", ["two.py", "three.py"])
def test_an_edited_file_and_one_too_many_are_stale(
    stale: str, run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run(write_or_check, FILES, str(tmp_path))
    (tmp_path / stale).write_text("edited")
    assert run(write_or_check, FILES, str(tmp_path), "--check") == 1
    assert f"{tmp_path / stale} stale" in capsys.readouterr().err
    run(write_or_check, FILES, str(tmp_path))
    assert {path.name for path in tmp_path.iterdir()} == FILES.keys()
