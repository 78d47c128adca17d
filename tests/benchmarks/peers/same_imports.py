"""The bare Flask view in a process that has imported all that the service imports, but none of the service itself."""

import contextlib
import os
from importlib import import_module
from pathlib import Path

from peers.bare_flask import app

for name in Path(os.environ["IMPORTED_MODULES"]).read_text().split():
    with contextlib.suppress(ImportError):
        import_module(name)

__all__ = ["app"]
