"""Bring the catalogue up to date: `python -m closeup_service.translating` in the repository; it needs Babel.

With `--check` nothing is written, and the command fails where a file is stale or a text lacks its translation.
"""

import argparse
import sys

from closeup_service.translating.files import COMPILED, EDITED, compiled_bytes, edited_text, update_catalogue


def main() -> int:
    """Write both files, or check them, and say which texts lack their translation."""
    parser = argparse.ArgumentParser(prog="python -m closeup_service.translating", description="Update the catalogue.")
    parser.add_argument("--check", action="store_true", help="write nothing; fail when a file is stale")
    check = parser.parse_args().check
    catalogue = update_catalogue()
    edited = edited_text(catalogue)
    texts = {EDITED: edited, COMPILED: compiled_bytes(edited)}
    stale = [path for path, written in texts.items() if not path.exists() or path.read_bytes() != written]
    missing = [message.id for message in catalogue if message.id and not is_translated(message.string)]
    sys.stderr.writelines(f"not translated: {text!r}\n" for text in missing)
    if check:
        sys.stderr.writelines(f"{path.name} is stale: run python -m closeup_service.translating\n" for path in stale)
        return 1 if stale or missing else 0
    for path, written in texts.items():
        path.write_bytes(written)
    return 0


def is_translated(translation: object) -> bool:
    """Whether a translation is there in all its forms."""
    return all(translation) if isinstance(translation, tuple | list) else bool(translation)


if __name__ == "__main__":
    sys.exit(main())
