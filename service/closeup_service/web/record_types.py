"""Types of every request and answer, made from the schemas.

`python -m closeup_service.web.record_types client/closeup_client/records` writes those of the client; with `--check` it fails
when they are stale.
"""

import sys

from closeup_service.web.generated_file import write_or_check_folder
from closeup_service.web.record_types_client_text import client_modules

if __name__ == "__main__":
    files = {f"{name}.py": text for name, text in client_modules().items()}
    sys.exit(write_or_check_folder("closeup_service.web.record_types", files))
