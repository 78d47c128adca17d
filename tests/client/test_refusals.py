"""What the client makes of answers: those of the service, and those of whatever else may answer at its address."""

import io
import json
import math
import pickle
from collections.abc import Iterator, Mapping
from fractions import Fraction
from http import HTTPStatus
from typing import Any

import pytest
import requests
from numpy import float32
from requests.adapters import BaseAdapter
from requests.structures import CaseInsensitiveDict

from closeup_client import AnswerNotUnderstood, Client, Element, FieldFault, ServiceRefused, camera, lens, spacer

ANSWER = {
    "magnification": 1,
    "extension_mm": None,
    "subject_width_mm": 36.0,
    "subject_height_mm": 24.0,
    "assumed": {"mounting": "normal"},
    "remarks": [{"code": "a", "text": "b"}],
    "cautions": [{"code": "a", "text": "b", "concerns": "people"}],
}
JSON = {"Content-Type": "application/json"}
PROBLEM = {"Content-Type": "application/problem+json"}
HTML = {"Content-Type": "text/html"}


class Canned(BaseAdapter):
    """Answers everything with one canned answer, and keeps what was asked."""

    def __init__(self, body: bytes, status: int = 200, headers: Mapping[str, str] = JSON) -> None:
        super().__init__()
        self.body, self.status, self.headers = body, status, headers
        self.asked: list[requests.PreparedRequest] = []
        self.closed = False

    def send(self, request: requests.PreparedRequest, *args: Any, **kwargs: Any) -> requests.Response:
        self.asked.append(request)
        response = requests.Response()
        response.status_code = self.status
        response.headers = CaseInsensitiveDict(self.headers)
        response.raw = io.BytesIO(self.body)
        response.url = str(request.url)
        response.request = request
        return response

    def close(self) -> None:
        self.closed = True


def client_of(adapter: Canned) -> Client:
    session = requests.Session()
    session.mount("http://", adapter)
    return Client("http://canned.invalid", session=session)


def answered_with(**changes: Any) -> Client:
    return client_of(Canned(json.dumps(ANSWER | changes).encode()))


def refused(client: Client) -> ServiceRefused:
    with pytest.raises(ServiceRefused) as caught:
        client.magnification(subject_width_mm=36, sensor="36x24")
    return caught.value


def test_a_refusal_names_every_field_at_fault(client: Client) -> None:
    with pytest.raises(ServiceRefused) as caught:
        client.effective_f_number(f_number=-1, magnification=0)
    error = caught.value
    assert error.status == 422
    assert error.type == "/problems/invalid-fields"
    assert error.code is None
    assert [fault.pointer for fault in error.fields] == ["/f_number", "/magnification"]
    first_line, *lines = str(error).splitlines()
    assert first_line == f"{error.title} (422): {error.detail}"
    assert lines == [f"  {fault.pointer}: {fault.detail}" for fault in error.fields]


def test_a_refusal_points_into_the_train(client: Client) -> None:
    with pytest.raises(ServiceRefused) as caught:
        client.evaluate(
            camera=camera(register_mm=44.0), train=[lens(focal_length_mm=50, register_mm=44.0), spacer(length_mm=-3)]
        )
    assert [fault.pointer for fault in caught.value.fields] == ["/train/1/length_mm"]


def test_what_the_optics_refuse_has_a_code_and_is_said_once(client: Client) -> None:
    with pytest.raises(ServiceRefused) as caught:
        client.magnification(extension_mm=0, focal_length_mm=50)
    error = caught.value
    assert error.type == "/problems/impossible"
    assert error.code == "focused-at-infinity"
    assert error.fields == (FieldFault("/extension_mm", error.detail),)
    assert str(error) == f"{error.title} (422): {error.detail}\n  /extension_mm"


def test_a_fault_of_the_whole_request_is_readable() -> None:
    error = ServiceRefused(422, "No", "", "about:blank", None, (FieldFault("", "Too little."),))
    assert str(error) == "No (422)\n  (the whole request): Too little."


def test_a_wrong_address_is_refused(service_url: str) -> None:
    with Client(service_url + "/elsewhere") as client:
        assert refused(client).status == 404


def test_a_refusal_survives_pickling() -> None:
    error = ServiceRefused(422, "No", "Because.", "/problems/impossible", "code", (FieldFault("/a", "b"),))
    again = pickle.loads(pickle.dumps(error))
    assert (str(again), again.fields, again.code) == (str(error), error.fields, error.code)


def test_an_error_page_of_a_proxy_is_a_refusal_with_its_status() -> None:
    error = refused(client_of(Canned(b"<html><body>Bad gateway</body></html>", 502, HTML)))
    assert (error.status, error.title, error.type, error.fields) == (502, "Bad Gateway", "about:blank", ())
    assert "proxy" in error.detail


@pytest.mark.parametrize(
    "problem",
    [
        [],
        {"title": 3, "detail": [], "type": None, "code": 1, "errors": {}},
        {"errors": [1, {"pointer": 2}]},
        {"errors": None},
    ],
)
def test_a_deformed_problem_is_still_a_refusal(problem: Any) -> None:
    error = refused(client_of(Canned(json.dumps(problem).encode(), 422, PROBLEM)))
    assert (error.status, error.title, error.code) == (422, HTTPStatus(422).phrase, None)


def test_an_unknown_status_is_still_a_refusal() -> None:
    assert str(refused(client_of(Canned(b"", 599, {})))).startswith("Refused (599)")


def test_a_redirect_is_not_followed_but_told() -> None:
    adapter = Canned(b"", 301, {"Location": "https://canned.invalid/v1/magnification"})
    assert "https://canned.invalid/v1/magnification" in refused(client_of(adapter)).detail
    assert len(adapter.asked) == 1


@pytest.mark.parametrize("status", [500, 502, 503, 504, 429])
def test_no_status_is_tried_again(status: int) -> None:
    adapter = Canned(b"{}", status, PROBLEM)
    assert refused(client_of(adapter)).status == status
    assert len(adapter.asked) == 1


@pytest.mark.parametrize(
    "body",
    [b"", b"<!doctype html><title>Welcome</title>", b"\xff\xfe", b'{"magnification": NaN}', b"[" * 100_000],
    ids=["empty", "html", "not-utf-8", "nan", "too-deep"],
)
def test_what_is_no_json_is_not_understood(body: bytes) -> None:
    with pytest.raises(AnswerNotUnderstood, match="not JSON") as caught:
        client_of(Canned(body, headers=HTML)).magnification(subject_width_mm=36, sensor="36x24")
    assert "text/html" in str(caught.value)
    assert caught.value.__cause__ is not None


@pytest.mark.parametrize(
    ("changes", "place"),
    [
        ({"magnification": {}}, "/magnification"),
        ({"magnification": "1"}, "/magnification"),
        ({"magnification": True}, "/magnification"),
        ({"extension_mm": []}, "/extension_mm"),
        ({"remarks": {}}, "/remarks"),
        ({"remarks": [{"code": "a"}]}, "/remarks/0/text"),
        ({"remarks": [{"code": "a", "text": 1}]}, "/remarks/0/text"),
        ({"cautions": ["mind"]}, "/cautions/0"),
        ({"assumed": []}, "/assumed"),
    ],
)
def test_a_member_of_the_wrong_shape_is_named(changes: Mapping[str, Any], place: str) -> None:
    with pytest.raises(AnswerNotUnderstood, match=place):
        answered_with(**changes).magnification(subject_width_mm=36, sensor="36x24")


def test_a_number_too_large_for_a_float_is_not_understood() -> None:
    body = json.dumps(ANSWER).replace('"magnification": 1', '"magnification": 1e999').encode()
    with pytest.raises(AnswerNotUnderstood, match="/magnification is not a finite number"):
        client_of(Canned(body)).magnification(subject_width_mm=36, sensor="36x24")


@pytest.mark.parametrize("body", [b"[]", b"1", b"null"])
def test_an_answer_that_is_no_object_is_not_understood(body: bytes) -> None:
    with pytest.raises(AnswerNotUnderstood, match="not an object"):
        client_of(Canned(body)).sensors()


def test_a_member_that_is_missing_is_named() -> None:
    short = {name: value for name, value in ANSWER.items() if name != "extension_mm"}
    with pytest.raises(AnswerNotUnderstood, match="lacks /extension_mm"):
        client_of(Canned(json.dumps(short).encode())).magnification(subject_width_mm=36, sensor="36x24")


def test_what_a_newer_service_adds_is_left_aside_and_kept_raw() -> None:
    answer = answered_with(uncertainty={"magnification": 0.1}).magnification(subject_width_mm=36, sensor="36x24")
    assert answer.magnification == 1.0
    assert answer.raw["uncertainty"] == {"magnification": 0.1}
    assert answer == answered_with().magnification(subject_width_mm=36, sensor="36x24")


def test_an_answer_survives_pickling_and_can_be_a_key() -> None:
    answer = answered_with().magnification(subject_width_mm=36, sensor="36x24")
    again = pickle.loads(pickle.dumps(answer))
    assert again == answer
    assert again.raw == answer.raw
    assert {answer: "kept"}[again] == "kept"


def test_a_server_of_another_kind_is_not_alive() -> None:
    assert not client_of(Canned(b"<html>hello</html>", headers=HTML)).is_alive()
    assert not client_of(Canned(b'{"status": "fail"}')).is_alive()
    assert not client_of(Canned(b"[]")).is_alive()
    assert not client_of(Canned(b'{"status": "pass"}', 503)).is_alive()
    assert client_of(Canned(b'{"status": "pass"}')).is_alive()


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, float32("nan")])
def test_a_number_that_is_not_finite_is_named_before_anything_is_sent(value: Any) -> None:
    adapter = Canned(b"{}")
    train: list[Element] = [lens(focal_length_mm=50), spacer(length_mm=value)]
    with pytest.raises(ValueError, match=r"finite; these are not: /train/1/length_mm\.$"):
        client_of(adapter).evaluate(camera=camera(register_mm=18.0), train=train)
    assert adapter.asked == []


def test_other_kinds_of_numbers_are_sent_as_plain_ones() -> None:
    adapter = Canned(json.dumps(ANSWER).encode())
    height: Any = float32(0.25)
    width: Any = Fraction(1, 4)
    client_of(adapter).magnification(subject_width_mm=width, subject_height_mm=height)
    assert json.loads(adapter.asked[0].body or b"") == {"subject_width_mm": 0.25, "subject_height_mm": 0.25}


def test_what_json_cannot_say_is_refused_before_anything_is_sent() -> None:
    adapter = Canned(b"{}")
    strange: Any = object()
    with pytest.raises(TypeError, match="cannot be sent as JSON"):
        client_of(adapter).magnification(sensor=strange)
    assert adapter.asked == []


@pytest.fixture
def lent() -> Iterator[tuple[requests.Session, Canned]]:
    session, adapter = requests.Session(), Canned(json.dumps(ANSWER).encode())
    session.mount("http://", adapter)
    yield session, adapter
    session.close()


def test_a_session_that_is_passed_in_is_left_as_it_is(lent: tuple[requests.Session, Canned]) -> None:
    session, adapter = lent
    before = (session.trust_env, dict(session.headers), dict(session.adapters))
    with Client("http://canned.invalid", session=session) as client:
        client.magnification(subject_width_mm=36, sensor="36x24")
    assert (session.trust_env, dict(session.headers), dict(session.adapters)) == before
    assert not adapter.closed
    assert adapter.asked[0].headers["User-Agent"] == session.headers["User-Agent"]


def test_sums_are_posted_as_json_and_listings_fetched() -> None:
    adapter = Canned(json.dumps(ANSWER).encode())
    client_of(adapter).magnification(subject_width_mm=36, sensor="36x24")
    adapter.body = b'{"records": []}'
    assert client_of(adapter).sensors() == ()
    summed, listed = adapter.asked
    assert (summed.method, summed.headers["Content-Type"]) == ("POST", "application/json")
    assert json.loads(summed.body or b"") == {"subject_width_mm": 36, "sensor": "36x24"}
    assert (listed.method, listed.body, "Content-Type" in listed.headers) == ("GET", None, False)


@pytest.mark.outside
def test_a_refusal_tells_the_id_by_which_the_log_names_the_request(by_socket: Client) -> None:
    with pytest.raises(ServiceRefused) as over_http:
        by_socket.effective_f_number(f_number=8)  # type: ignore[call-arg]
    assert over_http.value.request_id
    assert pickle.loads(pickle.dumps(over_http.value)).request_id == over_http.value.request_id
    without = client_of(Canned(b'{"title": "Gone", "status": 410}', 410, PROBLEM))
    with pytest.raises(ServiceRefused) as told:
        without.effective_f_number(f_number=8, magnification=1)
    assert told.value.request_id is None
