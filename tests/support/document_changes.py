"""Documents for the check of breaking changes: the published one with changes, and small ones of a single schema."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from references import objects_of, written_out

Json = dict[str, Any]
Change = Callable[[Json], None]
PUBLISHED: Json = json.loads((Path(__file__).parents[2] / "openapi" / "openapi.json").read_text())
REAL = written_out(PUBLISHED, objects_of(PUBLISHED))
"""The published document, written out where it counts, so that a change at one place changes nothing elsewhere."""
SENSOR = "#/components/schemas/Camera/properties/sensor"
LOSS = "#/components/schemas/SetUpAnswer/properties/light_loss_stops"
FOCAL = "#/components/schemas/Lens/properties/focal_length_mm"
ASK = "#/paths/~1v1~1magnification/get"
POST = "#/paths/~1v1~1magnification/post"
TRAIN = "#/components/schemas/SetUpRequest/properties/train"


def at(document: Any, pointer: str) -> Any:
    for key in pointer.split("/")[1:]:
        name = key.replace("~1", "/").replace("~0", "~")
        document = document[int(name)] if isinstance(document, list) else document[name]
    return document


def put(pointer: str, **members: Any) -> Change:
    return lambda document: at(document, pointer).update(members)


def drop(pointer: str) -> Change:
    place, name = pointer.rsplit("/", 1)
    key = name.replace("~1", "/")

    def dropped(document: Json) -> None:
        holder = at(document, place)
        holder.pop(int(name) if isinstance(holder, list) else key)

    return dropped


def drop_value(pointer: str, value: Any) -> Change:
    return lambda document: at(document, pointer).remove(value)


def add_value(pointer: str, value: Any) -> Change:
    return lambda document: at(document, pointer).append(value)


def after(*changes: Change, of: Json = REAL) -> Json:
    changed: Json = json.loads(json.dumps(of))
    for change in changes:
        change(changed)
    return changed


def asking(schema: Any, **components: Any) -> Json:
    body = {"content": {"application/json": {"schema": schema}}}
    return {"paths": {"/x": {"post": {"requestBody": body}}}, "components": {"schemas": components}}


def answering(schema: Any, **components: Any) -> Json:
    answer = {"content": {"application/json": {"schema": schema}}}
    return {"paths": {"/x": {"get": {"responses": {"200": answer}}}}, "components": {"schemas": components}}


CLOSED = {"type": "object", "additionalProperties": False}
