"""Examples of the operations that take photographs; the photographs are invented, and drawn by the tests.

Their answers stand in answers.json, since the document is made without the photographs; a test asks anew.
"""

import json
from collections.abc import Mapping
from importlib.resources import files
from typing import Any

from closeup_service.operations.operation import Example

ANSWERS: Mapping[str, Any] = json.loads(files(__package__).joinpath("answers.json").read_text(encoding="utf-8"))

PHOTO_EXAMPLES = (
    Example(
        "steel-rule",
        "A steel rule with marks every half millimetre, lens reversed on its bellows (invented kit)",
        {"tick_pitch_mm": 0.5, "sensor": "23.5x15.6", "perspective_distance_mm": 62, "scale_error": 0.0005},
        ("ruler.jpg",),
        ANSWERS.get("steel-rule"),
    ),
)
COMPARISON_EXAMPLES = (
    Example(
        "two-apertures",
        "The same rule at two apertures (invented kit)",
        {"tick_pitch_mm": 0.5},
        ("ruler-f8.jpg", "ruler-f4.jpg"),
        ANSWERS.get("two-apertures"),
    ),
)
