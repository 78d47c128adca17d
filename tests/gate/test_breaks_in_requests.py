"""The check of breaking changes on every member of every request."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from breaking_changes import breaking_changes
from document_changes import FOCAL, REAL, SENSOR, TRAIN, Json, after, at, drop, put
from thoroughness import up_to


def schemas_of_requests(document: Json) -> set[str]:
    """Pointers of all schemas that a request comes to, found without the check's own walk."""
    seen: set[str] = set()
    for path, item in document["paths"].items():
        for media_type in item.get("post", {}).get("requestBody", {}).get("content", ()):
            content = f"#/paths/{escaped(path)}/post/requestBody/content/{escaped(media_type)}"
            walk(document, at(document, content)["schema"], f"{content}/schema", seen)
    return seen


def escaped(name: str) -> str:
    return name.replace("/", "~1")


def walk(document: Json, schema: Any, place: str, seen: set[str]) -> None:
    if isinstance(schema, list):
        for index, entry in enumerate(schema):
            walk(document, entry, f"{place}/{index}", seen)
    if not isinstance(schema, dict) or place in seen:
        return
    seen.add(place)
    if "$ref" in schema:
        walk(document, at(document, schema["$ref"]), schema["$ref"], seen)
    for name, member in schema.get("properties", {}).items():
        walk(document, member, f"{place}/properties/{name}", seen)
    for keyword in ("items", "oneOf", "anyOf"):
        walk(document, schema.get(keyword), f"{place}/{keyword}", seen)


MEMBERS = {place: sorted(at(REAL, place).get("properties", {})) for place in sorted(schemas_of_requests(REAL))}
POINTERS = [f"{place}/properties/{name}" for place, names in MEMBERS.items() for name in names]
WITHOUT_ANSWERS = after(
    *(put(f"#/paths/{escaped(path)}/{method}", responses={}) for path, item in REAL["paths"].items() for method in item)
)


def test_the_members_of_requests_were_found() -> None:
    assert {SENSOR, FOCAL, TRAIN} <= set(POINTERS)
    assert len(POINTERS) > 500


def test_no_member_of_a_request_may_go() -> None:
    """One of each schema at a time; where that hides a schema within it, that schema's own member comes again."""
    left = {place: list(names) for place, names in MEMBERS.items() if names}
    while left:
        current = after(*(drop(f"{place}/properties/{names[0]}") for place, names in left.items()), of=WITHOUT_ANSWERS)
        seen = left.keys() & schemas_of_requests(current)
        expected = {f"request {place}: member {left[place].pop(0)} removed" for place in seen}
        told = breaking_changes(WITHOUT_ANSWERS, current)
        assert (len(told), set(told)) == (len(expected), expected)
        left = {place: names for place, names in left.items() if names}


@settings(max_examples=up_to(20))
@given(st.sets(st.sampled_from(POINTERS), min_size=2, max_size=6))
def test_however_many_members_of_requests_go_it_is_told(gone: set[str]) -> None:
    assert breaking_changes(WITHOUT_ANSWERS, after(*(drop(pointer) for pointer in gone), of=WITHOUT_ANSWERS))
