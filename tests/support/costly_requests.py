"""Requests that are refused for many faults or long lists, and the sound kits that they are compared with."""

from collections.abc import Mapping

KIT, TABLE = "/v1/kit", "/v1/set-ups/table"
GROUPS = (
    *("mounts", "cameras", "lenses", "tubes", "bellows", "step_rings", "close_up_lenses", "converters", "objectives"),
)
FACES = {"front": {"thread": "M42x1", "gender": "internal"}, "rear": {"thread": "M42x1", "gender": "external"}}
SPACER = "/train/0/length_mm"
SET_UP = {"camera": {"register_mm": 18, "sensor": "23.5x15.6"}, "train": [{"element": "spacer", "length_mm": 9}]}
ONE_ROW: Mapping[str, object] = SET_UP | {"columns": {SPACER: [1]}, "fields": ["magnification"]}


def kit_of_tubes(count: int) -> Mapping[str, object]:
    """A kit of so many sound tubes, which costs least of all that is taken."""
    tube = {"name": "t", "length_mm": 10, **FACES}
    return {"kit": {"name": "x", "tubes": [tube | {"id": f"tube-{number:04}"} for number in range(count)]}}


REFUSED: Mapping[str, tuple[str, Mapping[str, object]]] = {
    "empty tubes": (KIT, {"kit": {"tubes": [{}] * 3000}}),
    "too many empty tubes": (KIT, {"kit": {"tubes": [{}] * 30_000}}),
    "empty parts of every group": (KIT, {"kit": {group: [{}] * 500 for group in GROUPS}}),
    "numbers for parts": (KIT, {"kit": {group: [1] * 500 for group in GROUPS}}),
    "parts of unknown members": (KIT, {"kit": {"tubes": [{f"member_{each}": 1 for each in range(900)}] * 3}}),
    "members near to others": (KIT, {f"register_{each}": 1 for each in range(900)}),
    "many names": (TABLE, {**ONE_ROW, "fields": ["x"] * 30_000}),
    "many elements": (TABLE, {**ONE_ROW, "train": [{}] * 5000}),
    "many columns": (TABLE, {**ONE_ROW, "columns": {f"{SPACER}{each}": [1] for each in range(900)}}),
    "a column of words": (TABLE, {**ONE_ROW, "columns": {SPACER: ["x"] * 10_000}}),
}
"""From 9 kB on, so that it is not what every request costs that is measured."""
