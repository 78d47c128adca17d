"""Types of every request and answer, made from the schemas, for the client and for the service.

`python -m closeup_service.published.record_types client client/closeup_client/records` writes those of the client, and
`python -m closeup_service.published.record_types service service/closeup_service/records` those of the service; with
`--check` it fails when they are stale.
"""

import sys

from closeup_service.published.generated_folder import write_or_check
from closeup_service.published.record_types.client_text import client_modules
from closeup_service.published.record_types.service import service_modules

SIDES = {"client": client_modules, "service": service_modules}


def main() -> int:
    """Write the records of the side that the command line begins with, or check them."""
    side = sys.argv.pop(1) if len(sys.argv) > 1 else ""
    if side not in SIDES:
        sys.stderr.write("Say whose types: client or service; then the folder.\n")
        return 2
    files = {f"{name}.py": text for name, text in SIDES[side]().items()}
    return write_or_check(f"closeup_service.published.record_types {side}", files)


if __name__ == "__main__":
    sys.exit(main())
