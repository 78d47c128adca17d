"""Problems, and the headers of every answer."""

import json
import re
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime

import pytest
from flask import Flask

from closeup_service.http import answering, problems
from closeup_service.http import headers as carried
from closeup_service.operations.asking.problem_types import PROBLEM_TYPES
from closeup_service.operations.operation import Operation
from closeup_service.operations.set_up.effective_f_number.schemas import EffectiveFNumberAnswer
from closeup_service.running.settings import Settings
from closeup_service.schemas.kit import demo_kit_in
from service_client import Service

PATH = "/v1/effective-f-number"
QUERY = PATH + "?f_number=8&magnification=1"
ANY = [QUERY, "/nothing", PATH, "/openapi.json", "/docs", "/healthz"]


@pytest.mark.parametrize("path", ["/nothing", "/v1/nothing", "/problems/nothing", "/%2e%2e/%2e%2e/etc/passwd"])
def test_nothing_there_is_a_problem(service: Service, path: str) -> None:
    """P01"""
    answer = service.get(path)
    assert answer.status_code == 404
    assert answer.json()["status"] == 404
    assert answer.headers["Content-Type"] == "application/problem+json"


def test_each_type_of_problem_leads_to_a_page(service: Service) -> None:
    """P02"""
    for kind in PROBLEM_TYPES.values():
        page = service.get(f"/problems/{kind.slug}")
        assert page.status_code == 200
        assert kind.title in page.text
    problem = service.get(PATH).json()
    assert service.get(problem["type"]).status_code == 200
    assert problem["title"] == PROBLEM_TYPES["invalid-fields"].title


@pytest.mark.parametrize("path", ANY)
def test_nothing_of_the_inside_shows(service: Service, path: str) -> None:
    """P03"""
    answer = service.get(path)
    told = answer.text + str(answer.headers)
    assert not re.search(r"Traceback|site-packages|[Ww]erkzeug|gunicorn/|Python/|\.py\b", told)
    assert not re.search(r"\d", answer.headers.get("Server", ""))


def test_hostile_input_comes_back_as_json_that_no_browser_sniffs(service: Service) -> None:
    """P04"""
    answer = service.get(PATH, params={"<script>alert(1)</script>": "1"})
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.json()["errors"]


@pytest.mark.parametrize("given", ["a", "4f2c-77", "A.b_c-9" * 9])
def test_a_sane_request_id_is_echoed(service: Service, given: str) -> None:
    """H01"""
    assert service.get(QUERY, headers={"X-Request-Id": given}).headers["X-Request-Id"] == given


@pytest.mark.parametrize("given", ["", "a b", "<b>", "x" * 65, "-a", "a;b", "é".encode().decode("latin-1")])
def test_a_hostile_request_id_is_replaced(service: Service, given: str) -> None:
    """H01"""
    answer = service.get(QUERY, headers={"X-Request-Id": given.encode("latin-1")})
    assert re.fullmatch(r"[0-9a-f]{32}", answer.headers["X-Request-Id"])


REFUSED: dict[str, tuple[str, str, dict[str, str], bytes]] = {
    "not found": ("GET", "/nothing", {}, b""),
    "doubled slash": ("GET", "//v1/magnification", {}, b""),
    "method": ("DELETE", PATH, {}, b""),
    "nothing acceptable": ("GET", QUERY, {"Accept": "image/gif"}, b""),
    "fields": ("GET", PATH, {}, b""),
    "optics": (
        "GET",
        "/v1/working-distance?focal_length_mm=35&magnification=0.1&front_principal_plane_mm=999",
        {},
        b"",
    ),
    "no JSON": ("POST", PATH, {"Content-Type": "application/json"}, b"{"),
    "media type": ("POST", PATH, {"Content-Type": "text/plain"}, b"{}"),
    "too large": ("POST", PATH, {"Content-Type": "application/json"}, b" " * 1_100_000),
    "no form": ("POST", "/v1/scale-reading/photo", {"Content-Type": "multipart/form-data"}, b""),
    "without a page": ("GET", "/problems/nothing", {"Accept": "application/json"}, b""),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_problem_states_the_id_of_its_request(service: Service, name: str) -> None:
    """H01"""
    method, path, headers, body = REFUSED[name]
    own = service.ask(method, path, headers=headers, data=body)
    named = service.ask(method, path, headers={**headers, "X-Request-Id": "mine-1"}, data=body)
    assert own.status_code >= 400
    assert own.json()["request_id"] == own.headers["X-Request-Id"]
    assert named.json()["request_id"] == named.headers["X-Request-Id"] == "mine-1"


def test_a_request_without_a_host_is_refused_with_its_id(service: Service) -> None:
    """H01"""
    with service.wire() as wire:
        wire.send(f"GET {QUERY} HTTP/1.1\r\nX-Request-Id: mine-2\r\n\r\n".encode())
        answer = wire.answer()
    assert answer.status == 400
    assert json.loads(answer.body)["request_id"] == "mine-2"


def test_an_unforeseen_error_states_the_id_of_its_request() -> None:
    """H01"""
    app = Flask("broken")
    carried.register(app, ("*",))
    problems.register(app)

    @app.get("/")
    def fail() -> str:
        raise RuntimeError

    answer = app.test_client().get("/", headers={"X-Request-Id": "mine-3"})
    assert answer.status_code == 500
    assert answer.get_json()["request_id"] == "mine-3"


@pytest.mark.parametrize("path", ANY)
def test_every_answer_has_a_fresh_request_id(service: Service, path: str) -> None:
    """H01"""
    assert service.get(path).headers["X-Request-Id"] != service.get(path).headers["X-Request-Id"]


def test_a_trace_is_taken_up_and_a_malformed_one_ignored(service: Service) -> None:
    """H02"""
    trace = "0af7651916cd43dd8448eb211c80319c"
    good = service.get(QUERY, headers={"traceparent": f"00-{trace}-b7ad6b7169203331-01"})
    assert good.headers["X-Request-Id"] == trace
    for bad in (
        f"00-{'0' * 32}-b7ad6b7169203331-01",
        f"ff-{trace}-b7ad6b7169203331-01",
        "00-x",
        f"00-{trace.upper()}-b7ad6b7169203331-01",
    ):
        answer = service.get(QUERY, headers={"traceparent": bad})
        assert answer.status_code == 200
        assert answer.headers["X-Request-Id"] != trace


@pytest.mark.parametrize("path", ANY)
def test_every_answer_is_protected(service: Service, path: str) -> None:
    """H03"""
    headers = service.get(path).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
    assert "default-src 'none'" in headers["Content-Security-Policy"]


@pytest.mark.parametrize("path", ANY)
def test_scripts_of_any_page_may_read_answers_and_errors_without_credentials(service: Service, path: str) -> None:
    """H04 H06"""
    headers = service.get(path, headers={"Origin": "https://club.example"}).headers
    assert headers["Access-Control-Allow-Origin"] == "*"
    assert "Access-Control-Allow-Credentials" not in headers
    assert {"ETag", "X-Request-Id"} <= {name.strip() for name in headers["Access-Control-Expose-Headers"].split(",")}


def test_the_preflight_of_a_json_post_succeeds(service: Service) -> None:
    """H05"""
    answer = service.ask(
        "OPTIONS",
        PATH,
        headers={
            "Origin": "https://club.example",
            "Access-Control-Request-Method": "POST",
            "Access-Control-Request-Headers": "content-type",
        },
    )
    assert answer.status_code in (200, 204)
    assert "POST" in answer.headers["Access-Control-Allow-Methods"]
    assert "content-type" in answer.headers["Access-Control-Allow-Headers"].lower()
    assert int(answer.headers["Access-Control-Max-Age"]) > 0


@pytest.mark.parametrize("path", ANY)
def test_one_date_no_field_twice_and_no_cookies(service: Service, path: str) -> None:
    """H08"""
    with service.wire() as wire:
        wire.send(f"GET {path} HTTP/1.1\r\nHost: localhost\r\nOrigin: https://club.example\r\n\r\n".encode())
        names = [name.lower() for name in wire.answer().headers]
    assert names.count("date") == 1
    assert len(set(names)) == len(names)
    assert "set-cookie" not in names


def test_deprecated_operations_say_so_and_when_they_end() -> None:
    """H09"""
    leaving = Operation(
        operation_id="leaving",
        path="/v1/leaving",
        tag="refer",
        summary="",
        description="",
        answer=lambda _: {},
        answer_type=EffectiveFNumberAnswer,
        by_query="none",
        deprecated_on=datetime(2026, 1, 1, tzinfo=UTC),
        sunset_on=datetime(2027, 1, 1, tzinfo=UTC),
    )
    app = Flask("leaving")
    answering.register(app, (leaving,), Settings().limits, demo_kit_in)
    headers = app.test_client().get("/v1/leaving").headers
    assert headers["Deprecation"] == "@1767225600"
    assert parsedate_to_datetime(headers["Sunset"]) == datetime(2027, 1, 1, tzinfo=UTC)


def test_the_kinds_of_problem_are_listed_on_the_documentation_page(service: Service) -> None:
    """P02"""
    answer = service.get("/problems")
    assert answer.status_code == 302
    assert answer.headers["Location"] == "/docs#problems"


@pytest.mark.parametrize(
    ("path", "meant"),
    [
        ("/v1/magnificaton", "/v1/magnification"),
        ("/magnification", "/v1/magnification"),
        ("/v1/v1/catalogue/sensors", "/v1/catalogue/sensors"),
    ],
)
def test_a_misspelt_address_is_told_the_nearest(service: Service, path: str, meant: str) -> None:
    assert service.get(path).json()["detail"].startswith(f"Did you mean {meant}? ")


def test_an_address_like_no_other_is_told_none(service: Service) -> None:
    assert "mean" not in service.get("/nothing/of/the/kind").json()["detail"]


def test_a_method_that_is_not_offered_is_told_which_are(service: Service) -> None:
    assert service.get("/v1/scale-reading/photo").json()["detail"] == "Offered here: OPTIONS, POST."
