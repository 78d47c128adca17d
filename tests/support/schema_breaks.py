"""What a schema takes back of a released one; beside `breaking_changes`, which tells the rules."""

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from math import inf
from typing import Any, NamedTuple

NULL_WITH = "x-null-with"
"""Keyword that names the member of a request without which a value is never null."""
TYPES = frozenset({"null", "boolean", "integer", "number", "string", "array", "object"})
UNIONS = ("oneOf", "anyOf")
TEXTS = {"title", "summary", "description", "example", "examples", "deprecated", "externalDocs", "tags", "$comment"}
NOT_UNDERSTOOD = "is not understood by this check"


class Way(StrEnum):
    """Which way a value goes."""

    REQUEST = "request"
    ANSWER = "answer"


@dataclass(frozen=True)
class Node:
    """A place of a document and what stands there, references followed."""

    document: Any
    pointer: str
    value: Any

    def has(self, key: str) -> bool:
        return isinstance(self.value, dict) and key in self.value

    def get(self, key: str, default: Any = None) -> Any:
        return self.value[key] if self.has(key) else default

    def child(self, key: str) -> "Node":
        """What stands under the key, or an empty node."""
        escaped = key.replace("~", "~0").replace("/", "~1")
        return _followed(Node(self.document, f"{self.pointer}/{escaped}", self.get(key, {})))

    def children(self) -> dict[str, "Node"]:
        return {key: self.child(key) for key in self.value}

    def entries(self, key: str) -> list["Node"]:
        inner = self.child(key)
        return [
            _followed(Node(self.document, f"{inner.pointer}/{index}", value))
            for index, value in enumerate(self.get(key, []))
        ]


def _followed(node: Node) -> Node:
    """The node a reference leads to; a reference with more than texts beside it stays, as not understood."""
    if not node.has("$ref") or set(node.value) - TEXTS - {"$ref"}:
        return node
    target = Node(node.document, "#", node.document)
    for key in node.value["$ref"].removeprefix("#/").split("/"):
        name = key.replace("~1", "/").replace("~0", "~")
        if not target.has(name):
            raise LookupError(f"{node.pointer} leads nowhere: {node.value['$ref']}")
        target = target.child(name)
    return target


class Pair(NamedTuple):
    """The same place in the released and in the current document, and which way its value goes."""

    was: Node
    now: Node
    way: Way

    def both(self, key: str) -> "Pair":
        return Pair(self.was.child(key), self.now.child(key), self.way)

    @property
    def inner(self) -> Node:
        return self.was if self.way is Way.REQUEST else self.now

    @property
    def outer(self) -> Node:
        return self.now if self.way is Way.REQUEST else self.was

    def line(self, text: str) -> str:
        elsewhere = f" (now {self.now.pointer})" if self.now.pointer != self.was.pointer else ""
        return f"{self.way} {self.was.pointer}{elsewhere}: {text}"

    def lost(self, what: str) -> str:
        return self.line(f"{what} no longer taken" if self.way is Way.REQUEST else f"{what} may now come")


Place = tuple[str, str, Way]


@dataclass(frozen=True)
class Walk:
    """Pairs being compared just now, so that a schema that holds itself comes to an end, and all that were."""

    within: frozenset[Place] = frozenset()
    compared: set[Place] = field(default_factory=set)

    def into(self, place: Place) -> "Walk":
        self.compared.add(place)
        return Walk(self.within | {place}, self.compared)

    def trial(self) -> "Walk":
        """Another look at what may have been told already."""
        return Walk(self.within)


def schema_breaks(pair: Pair, walk: Walk) -> Iterator[str]:
    """What the inner schema permits and the outer does not, told once in a walk."""
    here = (_identity(pair.was), _identity(pair.now), pair.way)
    if here in walk.within or here in walk.compared or pair.inner.value is False:
        return
    if pair.outer.value is False:
        yield pair.lost("a value here")
        return
    walk = walk.into(here)
    yield from _keywords_known(pair)
    yield from _units(pair)
    if _union(pair.outer) or not _union(pair.inner):
        yield from _plain(pair, walk)
    yield from _kinds(pair, walk)


def _identity(schema: Node) -> str:
    """The place of a schema; all that say nothing are one."""
    return schema.pointer if schema.value else "anything"


def _plain(pair: Pair, walk: Walk) -> Iterator[str]:
    for rule in (_types, _values, _limits):
        yield from rule(pair)
    types = _type_set(pair.inner)
    if "array" in types and pair.outer.has("items"):
        yield from schema_breaks(pair.both("items"), walk)
    if "object" in types:
        yield from _members(pair, walk)


def unknown(place: str, node: Node, known: set[str]) -> Iterator[str]:
    for key in node.value:
        if key not in known and key not in TEXTS and not key.startswith("x-"):
            yield f"{place}: {key} {NOT_UNDERSTOOD}"


def _keywords_known(pair: Pair) -> Iterator[str]:
    for node in (pair.was, pair.now):
        if isinstance(node.value, dict):
            yield from unknown(f"{pair.way} {pair.was.pointer}", node, KEYWORDS)
        if all(node.has(keyword) for keyword in UNIONS):
            yield pair.line(f"{' beside '.join(UNIONS)} {NOT_UNDERSTOOD}")


def _units(pair: Pair) -> Iterator[str]:
    old, new = pair.was.get("x-unit"), pair.now.get("x-unit")
    if old is not None and old != new:
        yield pair.line(f"unit {old} became {new}")


def _type_set(schema: Node) -> frozenset[str]:
    named = schema.get("type")
    if named is None:
        return TYPES
    types = frozenset([named] if isinstance(named, str) else named)
    return types | {"integer"} if "number" in types else types


def _nulls_asked_for(pair: Pair) -> frozenset[str]:
    """Null, where it only comes to who sends a member that the release does not know."""
    member = pair.now.get(NULL_WITH)
    is_new = pair.way is Way.ANSWER and member is not None and f'"{member}"' not in json.dumps(pair.was.document)
    return frozenset({"null"} if is_new else ())


def _named(types: frozenset[str]) -> list[str]:
    return sorted(types - {"integer"} if "number" in types else types)


def _types(pair: Pair) -> Iterator[str]:
    lost = _type_set(pair.inner) - _type_set(pair.outer) - _nulls_asked_for(pair)
    if lost and not pair.inner.has("type"):
        yield pair.lost(f"any type beside {pair.outer.get('type')}")
        return
    for name in _named(lost):
        yield pair.lost(f"type {name}")


def _value_list(schema: Node) -> list[str] | None:
    values = [schema.get("const")] if schema.has("const") else schema.get("enum")
    return None if values is None else [json.dumps(value, sort_keys=True) for value in values]


def _values(pair: Pair) -> Iterator[str]:
    inner, outer = _value_list(pair.inner), _value_list(pair.outer)
    if outer is None:
        return
    if inner is None:
        yield pair.lost(f"any value beside {', '.join(outer)}")
        return
    for value in inner:
        if value not in outer:
            yield pair.lost(f"value {value}")


class Limit(NamedTuple):
    """Keywords that together limit values of one type, what they come to, and whether an inner one fits an outer one."""

    kind: str
    keywords: tuple[str, ...]
    read: Callable[[Node], Any]
    fits: Callable[[Any, Any], bool]


def _lowest(schema: Node) -> tuple[float, int]:
    return max((schema.get("minimum", -inf), 0), (schema.get("exclusiveMinimum", -inf), 1))


def _highest(schema: Node) -> tuple[float, int]:
    return min((schema.get("maximum", inf), 0), (schema.get("exclusiveMaximum", inf), -1))


def _at_least(kind: str, keyword: str) -> Limit:
    return Limit(kind, (keyword,), lambda schema: schema.get(keyword, 0), lambda inner, outer: bool(inner >= outer))


def _at_most(kind: str, keyword: str) -> Limit:
    return Limit(kind, (keyword,), lambda schema: schema.get(keyword, inf), lambda inner, outer: bool(inner <= outer))


def _same(kind: str, keyword: str) -> Limit:
    return Limit(kind, (keyword,), lambda schema: schema.get(keyword), lambda inner, outer: outer in (None, inner))


LIMITS = (
    Limit("integer", ("minimum", "exclusiveMinimum"), _lowest, lambda inner, outer: bool(inner >= outer)),
    Limit("integer", ("maximum", "exclusiveMaximum"), _highest, lambda inner, outer: bool(inner <= outer)),
    _at_least("string", "minLength"),
    _at_most("string", "maxLength"),
    _same("string", "pattern"),
    _at_least("array", "minItems"),
    _at_most("array", "maxItems"),
    _at_least("object", "minProperties"),
    _at_most("object", "maxProperties"),
    *(_same(kind, "format") for kind in ("integer", "string")),
    *(_same("string", keyword) for keyword in ("contentEncoding", "contentMediaType")),
)


KEYWORDS = {
    *("type", "enum", "const", "items", "properties", "required", "additionalProperties", *UNIONS, "discriminator"),
    *(keyword for limit in LIMITS for keyword in limit.keywords),
}


def _limits(pair: Pair) -> Iterator[str]:
    types = _type_set(pair.inner)
    for limit in LIMITS:
        if limit.kind in types and not limit.fits(limit.read(pair.inner), limit.read(pair.outer)):
            yield pair.line(f"{_said(pair.was, limit)} became {_said(pair.now, limit)}")


def _said(schema: Node, limit: Limit) -> str:
    said = [f"{keyword} {schema.get(keyword)}" for keyword in limit.keywords if schema.has(keyword)]
    return " and ".join(said) or f"no {limit.keywords[0]}"


def _members(pair: Pair, walk: Walk) -> Iterator[str]:
    old, new = pair.was.child("properties").children(), pair.now.child("properties").children()
    became_union = _union(pair.now) and not _union(pair.was)
    for name in old if not became_union else ():
        if name not in new:
            yield pair.line(f"member {name} removed")
            continue
        yield from schema_breaks(Pair(old[name], new[name], pair.way), walk)
    rest = Pair(_rest(pair.was), _rest(pair.now), pair.way)
    for name in new:
        if name not in old:
            yield from schema_breaks(Pair(rest.was, new[name], pair.way), walk)
    if pair.outer.has("additionalProperties"):
        yield from schema_breaks(rest, walk)
    yield from _required(pair)


def _rest(schema: Node) -> Node:
    """The schema of members without a name of their own: any, unless it says otherwise."""
    rest = schema.child("additionalProperties")
    return Node(rest.document, rest.pointer, {}) if rest.value is True else rest


def _required(pair: Pair) -> Iterator[str]:
    old, new = set(pair.was.get("required", [])), set(pair.now.get("required", []))
    if pair.way is Way.REQUEST:
        for name in sorted(new - old):
            yield pair.line(f"member {name} is newly required")
        return
    for name in sorted(old - new):
        if pair.now.child("properties").has(name) or not pair.was.child("properties").has(name):
            yield pair.line(f"member {name} is no longer always present")


def _union(schema: Node) -> str | None:
    return next((keyword for keyword in UNIONS if schema.has(keyword)), None)


def _kinds(pair: Pair, walk: Walk) -> Iterator[str]:
    """Each kind of the inner union must lie within one of the outer; if none holds it, the one of its name tells why."""
    if not (_union(pair.was) or _union(pair.now)):
        return
    yield from _discriminator(pair)
    theirs = _kinds_of(pair.outer)
    for name, kind in _kinds_of(pair.inner).items():
        if any(_lies_within(_facing(pair, kind, other), walk) for other in theirs.values()):
            continue
        if name in theirs:
            yield from schema_breaks(_facing(pair, kind, theirs[name]), walk)
        else:
            yield pair.lost(f"kind {name}")


def _discriminator(pair: Pair) -> Iterator[str]:
    old, new = (node.child("discriminator").get("propertyName") for node in (pair.was, pair.now))
    if old is not None and old != new:
        yield pair.line(f"discriminator {old} became {new}")


def _kinds_of(schema: Node) -> dict[str, Node]:
    """The kinds of a union by name: of the discriminator, of the component, or of the place."""
    union = _union(schema)
    if union is None:
        return {f"of type {name}": _of_type(schema, name) for name in _named(_type_set(schema))}
    names = {target: name for name, target in schema.child("discriminator").get("mapping", {}).items()}
    return {names.get(kind.pointer, kind.pointer): kind for kind in schema.entries(union)}


def _of_type(schema: Node, name: str) -> Node:
    return Node(schema.document, f"{schema.pointer} ({name})", {**schema.value, "type": name})


def _facing(pair: Pair, inner: Node, outer: Node) -> Pair:
    was, now = (inner, outer) if pair.way is Way.REQUEST else (outer, inner)
    return Pair(was, now, pair.way)


def _lies_within(pair: Pair, walk: Walk) -> bool:
    return next(schema_breaks(pair, walk.trial()), None) is None
