"""What a refusal costs beside what is taken: the dearest refused body against the dearest accepted one, for each kB of them."""

import json
from collections.abc import Mapping, Sequence

from flask import Flask

from closeup_service.http.app import create_app
from in_process_calls import wsgi
from requests_asked import TABLE
from rows import Effort, Measure, Row, cpu, in_turns, settle

KIT = "/v1/kit"
GROUPS = (
    "mounts",
    "cameras",
    "lenses",
    "tubes",
    "bellows",
    "step_rings",
    "close_up_lenses",
    "converters",
    "objectives",
)
FACES = {"front": {"thread": "M42x1", "gender": "internal"}, "rear": {"thread": "M42x1", "gender": "external"}}
SET_UP = {"camera": {"register_mm": 18, "sensor": "23.5x15.6"}, "train": [{"element": "spacer", "length_mm": 9}]}
SPACER = "/train/0/length_mm"
PARTS = (80, 5000)
REFUSED: Sequence[tuple[str, Mapping[str, object]]] = (
    (KIT, {"kit": {"tubes": [{}] * 3000}}),
    (KIT, {"kit": {"tubes": [{}] * 100_000}}),
    (KIT, {"kit": {group: [{}] * 500 for group in GROUPS}}),
    (KIT, {"kit": {"tubes": [{f"member_{each}": 1 for each in range(900)}] * 50}}),
    (KIT, {f"register_{each}": 1 for each in range(900)}),
    (TABLE, SET_UP | {"columns": {SPACER: [1]}, "fields": ["x"] * 125_000}),
    (TABLE, SET_UP | {"columns": {SPACER: [1]}, "fields": ["magnification"], "train": [{}] * 5000}),
    (TABLE, SET_UP | {"columns": {SPACER: ["x"] * 10_000}, "fields": ["magnification"]}),
    (TABLE, SET_UP | {"columns": {f"{SPACER}{each}": [1] * 20 for each in range(900)}, "fields": ["magnification"]}),
    (TABLE, {"kit": {"tubes": [{}] * 5_000_000}}),
)
"""From 12 kB on, so that it is not what every request costs that is measured."""


def sound(parts: int) -> Mapping[str, object]:
    """A kit of so many tubes: what costs least of all that is taken, so that no heavy calculation excuses a refusal."""
    tube = {"name": "t", "length_mm": 10, **FACES}
    return {"kit": {"name": "x", "tubes": [tube | {"id": f"tube-{number}"} for number in range(parts)]}}


def per_kilobyte(app: Flask, asked: Sequence[tuple[str, Mapping[str, object]]], taken: bool) -> Measure:
    """CPU of the dearest of these requests for each kB of its body."""
    bodies = [(path, json.dumps(request, separators=(",", ":")).encode()) for path, request in asked]
    status = "200" if taken else "4"
    calls = [(wsgi(app, "POST", path, body, status_begins=status), len(body) / 1000) for path, body in bodies]
    return lambda: max(cpu(call, 1)() / kilobytes for call, kilobytes in calls)


def rows(effort: Effort) -> list[Row]:
    """The one comparison."""
    app = create_app()
    settle()
    refused = per_kilobyte(app, REFUSED, taken=False)
    taken = per_kilobyte(app, [(KIT, sound(parts)) for parts in PARTS], taken=True)
    return [in_turns("dearest refused body, per kB", refused, "a sound kit, per kB", taken, effort, goal=2)]
