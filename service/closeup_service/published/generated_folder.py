"""Folders of files that are generated and committed."""

from collections.abc import Mapping
from pathlib import Path


def update(folder: Path, texts: Mapping[str, str]) -> None:
    """Write the texts by the names of their files, and remove other files of their kinds."""
    folder.mkdir(exist_ok=True)
    for name in stale_files(folder, texts):
        if name in texts:
            (folder / name).write_text(texts[name], encoding="utf-8")
        else:
            (folder / name).unlink()


def stale_files(folder: Path, texts: Mapping[str, str]) -> list[str]:
    """Names of files that are missing, differ, or are no longer wanted."""
    kinds = {Path(name).suffix for name in texts}
    paths = [path for kind in kinds for path in folder.glob(f"*{kind}")]
    found = {path.name: path.read_text(encoding="utf-8") for path in paths}
    return sorted(name for name in {*found, *texts} if found.get(name) != texts.get(name))
