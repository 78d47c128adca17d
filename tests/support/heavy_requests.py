"""The dearest requests that are accepted, and some that are just too dear."""

import json
from collections.abc import Sequence
from typing import Any

from large_kit import many_parts

TABLE = "/v1/set-ups/table"
SEARCH = "/v1/set-ups/search"
LENS = {"element": "lens", "focal_length_mm": 35, "f_number": 8, "register_mm": 45.46}
BY_CONTRAST = {"depth_of_field_model": "contrast", "sensor_detail_lp_per_mm": 40}


def table(rows: int, fields: Sequence[str] = ("depth_of_field.total_mm",), **members: Any) -> bytes:
    """A table of a lens on a bellows, by the contrast model."""
    request = {
        "camera": {"register_mm": 18, "sensor": "23.5x15.6"},
        "train": [LENS, {"element": "spacer", "length_mm": 31}],
        "columns": {"/train/1/length_mm": [10 + 50 * row / rows for row in range(rows)]},
        "fields": list(fields),
        **BY_CONTRAST,
        **members,
    }
    return json.dumps(request).encode()


def search(**more: Any) -> bytes:
    """A search of a large kit that meets nothing; with a budget it then looks for what to buy."""
    wishes = {"least_working_distance_mm": 5000, "longest_rig_mm": 1, "subject_depth_mm": 1, **more}
    return json.dumps({"subject_width_mm": 300, "camera": {"use": "camera"}, "kit": many_parts(1), **wishes}).encode()


HEAVY = {
    "table in white light": (TABLE, table(2000, light="white")),
    "search that meets nothing": (SEARCH, search(budget=1e6)),
    "table with estimates": (TABLE, table(50, light="white", estimate_unknown=True)),
}
