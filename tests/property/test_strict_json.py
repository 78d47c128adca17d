"""The strict reader against the standard one: what it takes, it reads the same."""

import json
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from closeup_service.operations.asking import strict_json

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
    read = strict_json.loads(json.dumps(value, ensure_ascii=ascii_only).encode())
    assert as_64_bits(read) == as_64_bits(value)


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
    assert as_64_bits(value) == as_64_bits(json.loads(body))


def by_both(body: bytes) -> tuple[Any, Any]:
    """What the fast reader and the strict one make of a text; None where they leave or refuse it."""
    try:
        fast = [strict_json.read_fast(body)]
    except strict_json.InDoubt:
        fast = None
    try:
        strict = [as_64_bits(strict_json.read_strictly(body))]
    except strict_json.NotStrictJson:
        strict = None
    return fast, strict


def as_64_bits(value: Any) -> Any:
    """Integers beyond 64 bits as floats."""
    if isinstance(value, dict):
        return {name: as_64_bits(member) for name, member in value.items()}
    if isinstance(value, list):
        return [as_64_bits(item) for item in value]
    return float(value) if isinstance(value, int) and not -(2**63) <= value < 2**64 else value


TEXTS = st.lists(
    st.sampled_from(
        [
            "{",
            "}",
            "[",
            "]",
            ",",
            ":",
            '"a"',
            '"b"',
            '"a:["',
            '""',
            "1",
            "-0.5",
            "1e9",
            "true",
            "null",
            " ",
            "\n",
            "NaN",
        ]
    ),
    max_size=14,
).map("".join)


@given((TEXTS | VALUES.map(json.dumps)).map(str.encode) | st.binary(max_size=40))
@example(b'{"a":1,"a":2}')
@example(b'{"a":[1,2],"b":[],"b":[]}')
@example(b'[1,{"a":1,"a":2}]')
@example(b'{"a":1,"":[1,"a"],"a":"["}')
@example(b"[0," + b"[" * 40 + b"]" * 40 + b"]")
@example(b"[" * 40 + b"]" * 40)
@example(b'{"' + b"n" * 300 + b'":1}')
@example(b"{" + b",".join(b'"%d":0' % number for number in range(1001)) + b"}")
@example(b"\xef\xbb\xbf{}")
@example(b'{"a":1e999}')
def test_the_fast_reader_reads_what_the_strict_one_does_or_leaves_it(body: bytes) -> None:
    fast, strict = by_both(body)
    if fast is not None and b"\\" not in body:
        assert fast == strict


@given(VALUES)
def test_the_fast_reader_takes_most_of_what_is_well_formed(value: Any) -> None:
    body = json.dumps(value, ensure_ascii=False).encode()
    mixed = any(isinstance(item, list) for item in [value]) or b"[" in body
    fast, strict = by_both(body)
    assert strict is not None
    assert b"\\" in body or mixed or fast == strict


@pytest.mark.parametrize("padding", [0, 16 * 1024])
@pytest.mark.parametrize(
    ("text", "refusal"),
    [
        ('{"a": 1, "a": 2}', "twice"),
        ('{"a": NaN}', "NaN"),
        ('{"a": 1}}', "Not JSON"),
        ('{"a": "\\ud800"}', "surrogate"),
    ],
)
def test_large_texts_are_refused_in_the_words_of_small_ones(text: str, refusal: str, padding: int) -> None:
    with pytest.raises(strict_json.NotStrictJson, match=refusal):
        strict_json.loads(text.encode() + b" " * padding)


def test_a_large_text_with_escapes_is_read_by_the_strict_reader() -> None:
    body = b'{"a\\u0062": 1}' + b" " * 16 * 1024
    assert strict_json.loads(body) == {"ab": 1}


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
