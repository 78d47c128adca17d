"""Released scripts stay byte for byte as they were: foreign pages name them by their hash."""

import base64
import hashlib
from pathlib import Path

from closeup_service.pages.embedding.scripts import NAMES, current_version

EMBED = Path(__file__).parents[2] / "service/closeup_service/pages/static/embed"
RELEASED = EMBED / "released"
HASHES = "hashes.txt"


def hash_of(path: Path) -> str:
    return "sha384-" + base64.b64encode(hashlib.sha384(path.read_bytes()).digest()).decode()


def recorded(folder: Path) -> dict[str, str]:
    lines = (folder / HASHES).read_text().splitlines()
    return {path: value for value, path in (line.split() for line in lines if line and not line.startswith("#"))}


def edited(folder: Path) -> list[str]:
    there = {path.relative_to(folder).as_posix(): hash_of(path) for path in folder.glob("*/*") if path.is_file()}
    known = recorded(folder)
    return sorted(path for path in there.keys() | known.keys() if there.get(path) != known.get(path))


def test_no_released_script_was_edited_added_or_lost() -> None:
    assert edited(RELEASED) == []


def test_a_released_version_is_not_worked_on() -> None:
    copy = RELEASED / current_version()
    if copy.is_dir():
        assert {name: hash_of(copy / name) for name in NAMES} == {name: hash_of(EMBED / name) for name in NAMES}


def test_an_edit_an_addition_and_a_loss_are_told(tmp_path: Path) -> None:
    for name in ("kept.js", "edited.js", "added.js"):
        (tmp_path / "1.0.0").mkdir(exist_ok=True)
        (tmp_path / "1.0.0" / name).write_text(f"// {name}")
    kept = hash_of(tmp_path / "1.0.0" / "kept.js")
    (tmp_path / HASHES).write_text(
        f"# hash, file\n{kept} 1.0.0/kept.js\n{kept} 1.0.0/edited.js\n{kept} 1.0.0/lost.js\n"
    )
    assert edited(tmp_path) == ["1.0.0/added.js", "1.0.0/edited.js", "1.0.0/lost.js"]
