"""The API below /de: every text in German, every figure and every name as in English."""

import re
from typing import Any

import pytest
from flask.testing import FlaskClient

from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.registry import operations

SVG = "image/svg+xml"
EXAMPLES = [
    pytest.param(operation, example, id=example.name)
    for operation in operations()
    for example in operation.examples
    if not example.photographs
]
OF_PEOPLE = re.compile(r"/(name|heading|kit|parts/\d+|caption|label|formula|numbers|marked_as|link)(/|$)|/rings/|/buy/")
"""Names that people gave, and texts of numbers and signs alone."""


def asked(api: FlaskClient, address: str, operation: Operation, example: Example) -> Any:
    """Ask an example, with its steps where it has them."""
    steps = {} if operation.steps is None else {"show_steps": True}
    if "POST" not in operation.methods:
        return api.get(address).get_json()
    return api.post(address, json={**example.request, **steps}).get_json()


def texts(english: Any, german: Any, where: str = "") -> list[tuple[str, str, str]]:
    """Texts of both answers side by side; all else is the same in both."""
    if isinstance(english, dict):
        assert list(english) == list(german)
        return [each for name in english for each in texts(english[name], german[name], f"{where}/{name}")]
    if isinstance(english, list):
        assert len(english) == len(german)
        pairs = zip(english, german, strict=True)
        return [each for place, (one, other) in enumerate(pairs) for each in texts(one, other, f"{where}/{place}")]
    if isinstance(english, str):
        return [(where, english, german)]
    assert english == german, where
    return []


@pytest.mark.parametrize(("operation", "example"), EXAMPLES)
def test_an_example_says_the_same_in_german(api: FlaskClient, operation: Operation, example: Example) -> None:
    english = asked(api, operation.path, operation, example)
    german = asked(api, f"/de{operation.path}", operation, example)
    for where, one, other in texts(english, german):
        is_sentence = one.endswith((".", "!")) and " " in one
        if is_sentence and not OF_PEOPLE.search(where):
            assert one != other, where


@pytest.mark.parametrize(("operation", "example"), [each for each in EXAMPLES if SVG in each.values[0].renderers])  # type: ignore[union-attr]
def test_a_drawing_speaks_german(api: FlaskClient, operation: Operation, example: Example) -> None:
    def drawn(address: str) -> str:
        return api.post(address, json=example.request, headers={"Accept": SVG}).get_data(as_text=True)

    title = re.compile(r"<title[^>]*>([^<]*)</title>")
    (english, *_), (german, *_) = title.findall(drawn(operation.path)), title.findall(drawn(f"/de{operation.path}"))
    assert english != german


@pytest.mark.parametrize(
    ("members", "german"),
    [
        ({"magnification": 1}, "Diese Angabe ist nötig."),
        ({"magnification": 1, "f_number": 0.1}, "Eine Zahl von 0,5 bis 256 angeben."),
        ({"magnification": 1, "f_number": "8"}, "Eine Zahl angeben."),
        ({"magnification": 1, "f_number": 8, "f_numbr": 8}, "Unbekannt; ist f_number gemeint?"),
        ({"magnification": 1, "f_number": 8, "mounting": "round"}, "Eines von diesen angeben: normal, reversed."),
    ],
)
def test_a_fault_of_a_field_is_told_in_german(api: FlaskClient, members: dict[str, Any], german: str) -> None:
    told = api.post("/de/v1/effective-f-number", json=members).get_json()
    assert told["title"] == "Einige Angaben sind nicht gültig"
    assert [each["detail"] for each in told["errors"]] == [german]


def test_what_the_physics_refuses_is_told_in_german(api: FlaskClient) -> None:
    asked = {"magnification": 30, "f_number": 0.6, "pupil_magnification": 5}
    told = api.post("/de/v1/effective-f-number", json=asked).get_json()
    assert told["title"] == "Dieser Aufbau ist nicht möglich"
    assert "Blende" in told["detail"]


def test_the_api_speaks_english_whatever_the_client_accepts(api: FlaskClient) -> None:
    plain = api.get("/v1/cautions")
    assert api.get("/v1/cautions", headers={"Accept-Language": "de"}).data == plain.data
    assert "Accept-Language" not in plain.headers.get("Vary", "")
    assert api.get("/en/v1/cautions").data == plain.data


def test_no_answer_leaves_its_language_to_the_next(api: FlaskClient) -> None:
    before = api.get("/v1/cautions").data
    assert api.get("/de/v1/cautions").data != before
    assert api.get("/v1/cautions").data == before
