"""The reference for trains: the ray-matrix library `raytracing` (DCC-Lab, MIT licence), brought in quietly.

On import that library asks the package index for a newer version of itself, keeps a preference file in the home folder
and changes the warning filters. Tests do none of that: it finds a home of its own, with a preference file that says that
it has asked already.
"""

import importlib
import json
import os
import tempfile
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from types import ModuleType
from typing import Any


@contextmanager
def home_at(folder: Path) -> Iterator[None]:
    """Let the process find its home folder elsewhere."""
    before = os.environ.get("HOME")
    os.environ["HOME"] = str(folder)
    try:
        yield
    finally:
        if before is None:
            del os.environ["HOME"]
        else:
            os.environ["HOME"] = before


def imported_quietly(name: str) -> ModuleType:
    """Import the library without network, traces in the home folder, or changed warnings."""
    format_before = warnings.formatwarning
    with tempfile.TemporaryDirectory() as folder, warnings.catch_warnings():
        settings = Path(folder) / ".config"
        settings.mkdir()
        asked = (datetime.now() + timedelta(hours=1)).isoformat(timespec="microseconds")
        text = json.dumps({"lastVersionCheck": asked, "mode": "silent"})
        (settings / "ca.dcclab.python.raytracing.json").write_text(text, encoding="utf-8")
        with home_at(Path(folder)):
            module = importlib.import_module(name)
    warnings.formatwarning = format_before
    return module


raytracing = imported_quietly("raytracing")


class ProbedPath(raytracing.ImagingPath):  # type: ignore[misc, name-defined]
    """A path of the library, its aperture stop found by a ray that passes every opening.

    The library sends a ray of slope 0.1; when an opening blocks that ray, it follows it no further and takes that opening
    for the stop, though a later one may be narrower (version 1.4.7). The slope of the probe is all that is changed.
    """

    PROBE_SLOPE = 1e-9

    def apertureStop(self) -> Any:
        openings = self.trace(raytracing.Ray(y=0, theta=self.PROBE_SLOPE))
        narrowest = max(openings, key=lambda ray: abs(ray.y) / ray.apertureDiameter)
        return raytracing.imagingpath.Stop(z=narrowest.z, diameter=narrowest.apertureDiameter)
