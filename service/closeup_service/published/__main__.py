"""Write everything that is made from the operations and committed: `python -m closeup_service.published` in the repository.

With `--check` nothing is written, and the command fails where something is stale.
"""

import argparse
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

from closeup_service.published.command_table import write_table
from closeup_service.published.document import write_document
from closeup_service.published.generated_folder import stale_files, update
from closeup_service.published.record_types.client_text import client_modules
from closeup_service.published.record_types.service import service_modules

FOLDERS: Mapping[str, Callable[[], Mapping[str, str]]] = {
    "openapi": write_document,
    "client/closeup_client/operations": write_table,
    "client/closeup_client/records": client_modules,
    "service/closeup_service/records": service_modules,
}
"""What writes the files of each folder, by their names."""


def main() -> int:
    """Write all folders, or check them."""
    parser = argparse.ArgumentParser(
        prog="python -m closeup_service.published", description="Write the generated files."
    )
    parser.add_argument("--check", action="store_true", help="write nothing; fail when a file is stale")
    parser.add_argument("--top", type=Path, default=Path(), help="top of the repository (here)")
    given = parser.parse_args()
    stale = []
    for name, write in FOLDERS.items():
        folder, texts = given.top / name, write()
        stale += [folder / each for each in stale_files(folder, texts)]
        if not given.check:
            update(folder, texts)
    if given.check and stale:
        sys.stderr.write(f"{', '.join(map(str, stale))} stale: run python -m closeup_service.published\n")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
