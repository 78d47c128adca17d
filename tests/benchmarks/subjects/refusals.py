"""What a refusal costs beside what is taken: the dearest refused body against the dearest accepted one, for each kB of them."""

import json
from collections.abc import Mapping, Sequence

from flask import Flask

from closeup_service.http.app import create_app
from costly_requests import KIT, ONE_ROW, REFUSED, SPACER, TABLE, kit_of_tubes
from in_process_calls import wsgi
from rows import Effort, Measure, Row, cpu, in_turns, settle

PARTS = (80, 5000)
LONGER: Sequence[tuple[str, Mapping[str, object]]] = (
    (KIT, {"kit": {"tubes": [{}] * 100_000}}),
    (KIT, {"kit": {"tubes": [{f"member_{each}": 1 for each in range(900)}] * 50}}),
    (TABLE, {**ONE_ROW, "fields": ["x"] * 125_000}),
    (TABLE, {**ONE_ROW, "columns": {f"{SPACER}{each}": [1] * 20 for each in range(900)}}),
    (TABLE, {"kit": {"tubes": [{}] * 5_000_000}}),
)


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
    refused = per_kilobyte(app, [*REFUSED.values(), *LONGER], taken=False)
    taken = per_kilobyte(app, [(KIT, kit_of_tubes(parts)) for parts in PARTS], taken=True)
    return [in_turns("dearest refused body, per kB", refused, "a sound kit, per kB", taken, effort, goal=2)]
