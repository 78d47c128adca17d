"""What a published document takes back of a released one: whatever a client of the release may notice.

A request may take more and never less; an answer may come narrower or with more members, never otherwise. So one
comparison serves both: a request's released schema must lie within the current one, an answer's current schema within
the released one. What is told of one component is told once, with its place in the released document.

Decisions:

- A closed list of values in an answer is a promise, since clients choose by it: a value more is a break. Names that are
  to grow (codes of remarks, types of problems) have a pattern, not a list.
- Any named member or header of an answer that goes is a break, the optional ones too: somebody reads it.
- A new successful status of an old operation is a break; new refusals, and refusals that no longer come, are not.
- A pattern, format or unit that changes is a break both ways: nothing here judges whether one pattern holds another.
- A value that may now be null is none where `x-null-with` names a member of the request that the release does not know:
  its clients never send that.
- Renaming a component is none: it is not on the wire. What an object takes over by allOf is its own.
- A keyword unknown to this module is always told, even unchanged: teach the module before publishing it.
"""

import json
from collections.abc import Iterator
from typing import Any

from references import without_all_of
from schema_breaks import Node, Pair, Walk, Way, schema_breaks, unknown

METHODS = ("get", "put", "post", "delete", "options", "head", "patch", "trace")


Found = Iterator[str | Pair]
"""Breaks, and pairs of schemas still to be compared."""


def breaking_changes(released: dict[str, Any], current: dict[str, Any]) -> list[str]:
    """Every way in which the current document breaks a client of the released one, a line for each."""
    released, current = without_all_of(released), without_all_of(current)
    was, now = Node(released, "#", released), Node(current, "#", current)
    found = [*_servers(was, now), *_paths(was.child("paths"), now.child("paths"))]
    lines = [line for line in found if isinstance(line, str)]
    pairs = {(pair.was.pointer, pair.now.pointer, pair.way): pair for pair in found if isinstance(pair, Pair)}
    walk = Walk()
    for pair in pairs.values():
        lines += schema_breaks(pair, walk)
    return list(dict.fromkeys(lines))


def _servers(was: Node, now: Node) -> Iterator[str]:
    urls = [server["url"] for server in now.get("servers", [])]
    for server in was.get("servers", []):
        if server["url"] not in urls:
            yield f"server {server['url']}: removed"


def _paths(was: Node, now: Node) -> Found:
    for path, item in was.children().items():
        if not now.has(path):
            yield f"{path}: path removed"
            continue
        yield from unknown(path, now.child(path), {*METHODS, "parameters"})
        for method in METHODS:
            if item.has(method):
                yield from _method(f"{method.upper()} {path}", method, item, now.child(path))


def _method(place: str, method: str, was: Node, now: Node) -> Found:
    if not now.has(method):
        yield f"{place}: method removed"
        return
    old, new = was.child(method), now.child(method)
    known = {"operationId", "parameters", "requestBody", "responses", "security"}
    yield from unknown(place, new, known)
    if old.get("operationId") != new.get("operationId"):
        yield f"{place}: operationId {old.get('operationId')} became {new.get('operationId')}"
    yield from _security(place, old, new)
    yield from _parameters(place, _parameters_of(was, old), _parameters_of(now, new))
    yield from _body(place, old, new)
    yield from _responses(place, old.child("responses"), new.child("responses"))


def _security(place: str, was: Node, now: Node) -> Iterator[str]:
    allowed = _ways_in(now)
    for way_in in _ways_in(was):
        if way_in not in allowed and {} not in allowed:
            yield f"{place}: security {json.dumps(way_in) if way_in else 'none'} no longer enough"


def _ways_in(operation: Node) -> list[Any]:
    security: list[Any] = operation.get("security", operation.document.get("security", []))
    return security or [{}]


def _parameters_of(item: Node, operation: Node) -> dict[tuple[str, str], Node]:
    both = [*item.entries("parameters"), *operation.entries("parameters")]
    return {(node.get("in"), _parameter_name(node)): node for node in both}


def _parameter_name(node: Node) -> str:
    name: str = node.get("name")
    return name.lower() if node.get("in") == "header" else name


def _parameters(place: str, was: dict[tuple[str, str], Node], now: dict[tuple[str, str], Node]) -> Found:
    for key, new in now.items():
        named = f"{place}: {key[0]} parameter {key[1]}"
        if new.get("required", False) and not (key in was and was[key].get("required", False)):
            yield f"{named} is newly required"
    for key, old in was.items():
        named = f"{place}: {key[0]} parameter {key[1]}"
        if key not in now:
            yield f"{named} removed"
            continue
        yield from _parameter(named, old, now[key])


def _parameter(named: str, was: Node, now: Node) -> Found:
    yield from unknown(named, now, {"name", "in", "required", "schema", "content", "style", "explode"})
    for key in ("style", "explode"):
        if was.get(key) != now.get(key):
            yield f"{named}: {key} {was.get(key)} became {now.get(key)}"
    if was.has("schema") != now.has("schema"):
        yield f"{named}: is written another way (schema or content)"
        return
    yield Pair(was, now, Way.REQUEST).both("schema")
    yield from _content(named, Pair(was, now, Way.REQUEST))


def _body(place: str, was: Node, now: Node) -> Found:
    old, new = was.child("requestBody"), now.child("requestBody")
    if new.get("required", False) and not old.get("required", False):
        yield f"{place}: request body is newly required"
    if was.has("requestBody") and not now.has("requestBody"):
        yield f"{place}: request body removed"
        return
    yield from _content(f"{place}: request body", Pair(old, new, Way.REQUEST))


def _content(place: str, pair: Pair) -> Found:
    content = pair.both("content")
    for media_type in content.was.children():
        if not content.now.has(media_type):
            yield f"{place}: media type {media_type} removed"
            continue
        yield content.both(media_type).both("schema")


def _responses(place: str, was: Node, now: Node) -> Found:
    for status in now.value:
        if status.startswith("2") and not was.has(status):
            yield f"{place}: status {status} may now come"
    for status, old in was.children().items():
        if now.has(status):
            pair = Pair(old, now.child(status), Way.ANSWER)
            yield from _headers(f"{place}: status {status}", pair.both("headers"))
            yield from _content(f"{place}: status {status}", pair)
        elif status.startswith("2"):
            yield f"{place}: status {status} removed"


def _headers(place: str, headers: Pair) -> Found:
    now = {name.lower(): node for name, node in headers.now.children().items()}
    for name, old in headers.was.children().items():
        new = now.get(name.lower())
        if new is None:
            yield f"{place}: header {name} removed"
            continue
        if old.get("required", False) and not new.get("required", False):
            yield f"{place}: header {name} is no longer always present"
        yield Pair(old, new, Way.ANSWER).both("schema")
