"""Files that are generated: written where they differ, and told to be stale where they are."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from closeup_service.published.__main__ import FOLDERS
from closeup_service.published.generated_folder import stale_files, update

TOP = Path(__file__).parents[3]
FILES = {"one.py": "ONE = 1\n", "two.py": "TWO = 2\n"}


def test_a_folder_that_is_written_is_current(tmp_path: Path) -> None:
    folder = tmp_path / "records"
    assert stale_files(folder, FILES) == sorted(FILES)
    update(folder, FILES)
    assert {path.name: path.read_text() for path in folder.iterdir()} == FILES
    assert stale_files(folder, FILES) == []


@pytest.mark.parametrize("stale", ["two.py", "three.py"])
def test_an_edited_file_and_one_too_many_are_stale(stale: str, tmp_path: Path) -> None:
    update(tmp_path, FILES)
    (tmp_path / stale).write_text("edited")
    assert stale_files(tmp_path, FILES) == [stale]
    update(tmp_path, FILES)
    assert {path.name for path in tmp_path.iterdir()} == FILES.keys()


def test_the_command_tells_what_is_stale_and_writes_it(tmp_path: Path) -> None:
    for name in FOLDERS:
        shutil.copytree(TOP / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__", "released"))
    changed = tmp_path / "client/closeup_client/operations/diffraction.json"
    former = changed.with_name("former.json")
    changed.write_text(changed.read_text(encoding="utf-8").replace("Wavelength", "Wave length"), encoding="utf-8")
    former.write_text("{}", encoding="utf-8")
    ended = run(tmp_path, "--check")
    assert ended.returncode == 1
    assert ended.stderr.strip() == f"{changed}, {former} stale: run python -m closeup_service.published"
    assert run(tmp_path).returncode == 0
    assert run(tmp_path, "--check").returncode == 0


def run(top: Path, *words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "closeup_service.published", "--top", str(top), *words]
    return subprocess.run(command, capture_output=True, text=True, check=False)
