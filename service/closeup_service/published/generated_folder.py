"""Folders of files that are generated and committed: one command writes them, or with --check says whether they are current."""

import argparse
import sys
from collections.abc import Mapping
from pathlib import Path


def write_or_check(command: str, texts: Mapping[str, str]) -> int:
    """Write the texts by the names of their files, and remove other files of their kind; with --check only compare."""
    parser = argparse.ArgumentParser(prog=f"python -m {command}", description="Write the generated files of a folder.")
    parser.add_argument("folder", type=Path, help="the folder")
    parser.add_argument("--check", action="store_true", help="write nothing; fail when a file is stale")
    given = parser.parse_args()
    stale = [given.folder / name for name in stale_files(given.folder, texts)]
    if given.check and stale:
        told = ", ".join(map(str, stale))
        sys.stderr.write(f"{told} stale: run python -m {command} {given.folder}\n")
        return 1
    given.folder.mkdir(exist_ok=True)
    for path in stale:
        if path.name in texts:
            path.write_text(texts[path.name], encoding="utf-8")
        else:
            path.unlink()
    return 0


def stale_files(folder: Path, texts: Mapping[str, str]) -> list[str]:
    """Names of files that are missing, differ, or are no longer wanted."""
    kinds = {Path(name).suffix for name in texts}
    paths = [path for kind in kinds for path in folder.glob(f"*{kind}")]
    found = {path.name: path.read_text(encoding="utf-8") for path in paths}
    return sorted(name for name in {*found, *texts} if found.get(name) != texts.get(name))
