"""What is not strict JSON, and what is JSON but wrong."""

import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service_client import Service
from thoroughness import up_to

PATH = "/v1/effective-f-number"
SET_UPS = "/v1/set-ups/evaluate"


def refused(service: Service, body: bytes, *statuses: int, path: str = PATH) -> dict[str, Any]:
    answer = service.post(path, body)
    assert answer.status_code in statuses, (body[:80], answer.status_code, answer.text[:200])
    assert answer.headers["Content-Type"] == "application/problem+json"
    problem: dict[str, Any] = answer.json()
    assert problem["status"] == answer.status_code
    return problem


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999", "-1e999", "inf", "nan"])
def test_numbers_that_are_none_are_refused(service: Service, number: str) -> None:
    """J01"""
    refused(service, f'{{"f_number": {number}, "magnification": 1}}'.encode(), 400)


@pytest.mark.parametrize("number", ["08", "+8", "0x8", "8.", ".8", "8e", "1_000", "８"])
def test_number_forms_that_json_does_not_know_are_refused(service: Service, number: str) -> None:
    """J02"""
    refused(service, f'{{"f_number": {number}, "magnification": 1}}'.encode(), 400)


@pytest.mark.parametrize(
    "body", ['{"f_number": 8, "magnification": 1, "f_number": 8}', '{"a": {"b": 1, "b": 1}}', '{"a": 1, "\\u0061": 1}']
)
def test_a_member_given_twice_is_refused(service: Service, body: str) -> None:
    """J03"""
    assert "twice" in refused(service, body.encode(), 400)["detail"]


@pytest.mark.parametrize(
    "body",
    [
        '{"f_number": 8} x',
        '{"f_number": 8} {}',
        "{/**/}",
        '{"f_number": 8,}',
        "{'f_number': 8}",
        '{"f_number": 8',
        "{f_number: 8}",
    ],
)
def test_what_only_looks_like_json_is_refused(service: Service, body: str) -> None:
    """J04"""
    refused(service, body.encode(), 400)


@pytest.mark.parametrize(
    "body",
    [b'\xef\xbb\xbf{"f_number": 8}', '{"f_number": 8}'.encode("utf-16"), b'{"f_\xff": 8}', "{}".encode("utf-32")],
)
def test_other_encodings_are_refused(service: Service, body: bytes) -> None:
    """J05"""
    refused(service, body, 400)


@pytest.mark.parametrize("body", [b"", b"  \n", b"8", b'"text"', b"null", b"true", b"[]", b'[{"f_number": 8}]'])
def test_bodies_that_are_no_object_are_refused(service: Service, body: bytes) -> None:
    """J06"""
    refused(service, body, 400)


@pytest.mark.parametrize(
    "body",
    [
        b'{"a":' * 5000 + b"1" + b"}" * 5000,
        b'{"a":' + b"[" * 100_000 + b"]" * 100_000 + b"}",
        json.dumps({"x" * 5000: 1}).encode(),
        json.dumps({f"m{i}": 1 for i in range(5000)}).encode(),
        b'{"f_number": ' + b"9" * 5000 + b"}",
    ],
    ids=["deep objects", "deep lists", "long name", "many members", "long integer"],
)
def test_bombs_are_refused_before_they_go_off(service: Service, body: bytes) -> None:
    """J07"""
    refused(service, body, 400)


def test_a_long_string_is_refused_without_being_repeated(service: Service) -> None:
    """J07"""
    problem = refused(service, json.dumps({"f_number": "8" * 100_000, "mounting": "n" * 100_000}).encode(), 422)
    assert len(json.dumps(problem)) < 2000


@pytest.mark.parametrize("body", ['{"\\ud800": 1}', '{"mounting": "\\udfff"}', '{"a": ["\\ud83d"]}'])
def test_a_lone_surrogate_is_refused(service: Service, body: str) -> None:
    """J08"""
    refused(service, body.encode(), 400)


@pytest.mark.parametrize("name", ["\\u0000", "__proto__", "a\\nb", "", " ", "\\ud83d\\ude00"])
def test_odd_member_names_are_named_as_unknown(service: Service, name: str) -> None:
    """J08"""
    problem = refused(service, f'{{"f_number": 8, "magnification": 1, "{name}": 1}}'.encode(), 422)
    assert problem["errors"][0]["pointer"] == "/" + json.loads(f'"{name}"')


@pytest.mark.parametrize("value", ['"8"', "true", "null", "[8]", '{"value": 8}', "[]"])
def test_wrong_types_are_refused_with_a_pointer(service: Service, value: str) -> None:
    """J09"""
    problem = refused(service, f'{{"f_number": {value}, "magnification": 1}}'.encode(), 422)
    assert [error["pointer"] for error in problem["errors"]] == ["/f_number"]


@pytest.mark.parametrize("value", ["1e308", "-1e308", "5e-324", "1e-300", "0", "-0", "-1", "1" + "0" * 300])
@pytest.mark.parametrize("member", ["f_number", "magnification", "pupil_magnification"])
def test_extreme_values_are_refused_with_a_pointer(service: Service, member: str, value: str) -> None:
    """J10"""
    members = {"f_number": "8", "magnification": "1", "pupil_magnification": "1"} | {member: value}
    body = "{" + ", ".join(f'"{name}": {number}' for name, number in members.items()) + "}"
    problem = refused(service, body.encode(), 422)
    assert [error["pointer"] for error in problem["errors"]] == [f"/{member}"]


@settings(deadline=None, max_examples=up_to(150), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    values=st.fixed_dictionaries(
        {
            "f_number": st.floats(0.5, 256),
            "magnification": st.floats(1e-4, 1000),
            "pupil_magnification": st.floats(0.02, 50),
            "focal_length_mm": st.floats(0.5, 5000),
            "circle_of_confusion_mm": st.floats(1e-4, 10),
            "mounting": st.sampled_from(["normal", "reversed"]),
        }
    )
)
def test_any_values_in_bounds_give_a_finite_answer_or_a_reason(service: Service, values: dict[str, Any]) -> None:
    """J10"""
    answer = service.post("/v1/depth-of-field", json.dumps(values).encode())
    assert answer.status_code in (200, 422)
    if answer.status_code == 200:
        json.loads(answer.text, parse_constant=pytest.fail)
        assert (answer.json()["rear_depth_mm"] is None) == (answer.json()["rear_extent"] == "unlimited")
    else:
        assert answer.json()["type"] == "/problems/impossible"


def test_all_faults_are_reported_at_once(service: Service) -> None:
    """J11"""
    body = {
        "camera": {"register_mm": "44", "sensor": "12x12"},
        "train": [{"element": "lens", "f_number": -1, "focl_length_mm": 50}, {"element": "hose"}, 7],
        "wavelength_nm": 5,
        "extra/~": 1,
    }
    problem = refused(service, json.dumps(body).encode(), 422, path=SET_UPS)
    assert {error["pointer"] for error in problem["errors"]} == {
        "/camera/register_mm",
        "/camera/sensor",
        "/train/0/focal_length_mm",
        "/train/0/f_number",
        "/train/0/focl_length_mm",
        "/train/1/element",
        "/train/2",
        "/wavelength_nm",
        "/extra~1~0",
    }


@pytest.mark.parametrize("value", [1, False, "x", [], None, [[]]])
@pytest.mark.parametrize("place", ["camera", "train", "train/0", "train/1", "solve", "solve/target"])
def test_anything_in_place_of_a_nested_object_is_refused_with_its_pointer(
    service: Service, place: str, value: Any
) -> None:
    """J09"""
    body: dict[str, Any] = {
        "camera": {"register_mm": 18},
        "train": [{"element": "lens", "focal_length_mm": 35, "register_mm": 45}, {"element": "spacer"}],
        "solve": {"unknown": "/train/1/length_mm", "target": {"magnification": 1}},
    }
    *path, last = [int(step) if step.isdigit() else step for step in place.split("/")]
    within: Any = body
    for step in path:
        within = within[step]
    within[last] = value
    problem = refused(service, json.dumps(body).encode(), 422, path=SET_UPS)
    assert any(error["pointer"].startswith(f"/{place}") for error in problem["errors"])


def test_an_unknown_member_is_named_with_the_nearest_known_one(service: Service) -> None:
    """J12"""
    problem = refused(service, b'{"f_number": 8, "magnifcation": 1, "magnification": 1}', 422)
    assert problem["errors"] == [{"pointer": "/magnifcation", "detail": "Unknown; did you mean magnification?"}]


def test_a_missing_member_is_named(service: Service) -> None:
    """J13"""
    problem = refused(service, b'{"f_number": 8}', 422)
    assert problem["errors"] == [{"pointer": "/magnification", "detail": "This member is required."}]
