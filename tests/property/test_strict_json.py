"""The strict reader against the standard one: what it takes, it reads the same."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.web import strict_json

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**30), 10**30)
    | st.floats(allow_nan=False, allow_infinity=False)
    | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
    max_leaves=20,
)


@given(VALUES, st.booleans())
def test_whatever_the_standard_writer_writes_is_read_back(value: Any, ascii_only: bool) -> None:
    assert strict_json.loads(json.dumps(value, ensure_ascii=ascii_only).encode()) == value


@given(VALUES)
def test_what_is_written_is_read_back(value: Any) -> None:
    written = json.loads(json.dumps(value), parse_int=float)
    assert strict_json.loads(strict_json.dumps(written)) == written


@given(st.binary(max_size=60) | st.text('{}[]",:0123456789.eE+-tfn\\u \n', max_size=40).map(str.encode))
def test_anything_at_all_is_read_as_the_standard_reader_does_or_refused(body: bytes) -> None:
    try:
        value = strict_json.loads(body)
    except strict_json.NotStrictJson:
        return
    assert value == json.loads(body)


@pytest.mark.parametrize("depth", [31, 32, 33, 34])
def test_the_depth_limit_is_exact(depth: int) -> None:
    body = b"[" * depth + b"]" * depth
    if depth <= strict_json.MOST_DEPTH:
        strict_json.loads(body)
        return
    with pytest.raises(strict_json.NotStrictJson, match="deeper"):
        strict_json.loads(body)


def test_brackets_within_strings_do_not_count_as_depth() -> None:
    assert strict_json.loads(json.dumps({"a": "[{" * 100 + '\\"'}).encode()) == {"a": "[{" * 100 + '\\"'}
