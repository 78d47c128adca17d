"""What is refused, told to browsers as a page and to programs as problem details (RFC 9457)."""

import pytest
from flask.testing import FlaskClient

from closeup_service.http.app import create_app
from html_pages import read_page

BROWSER = "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"
FOR_PROGRAMS: tuple[dict[str, str], ...] = (
    {},
    {"Accept": "*/*"},
    {"Accept": "application/json"},
    {"Accept": "application/problem+json, text/html;q=0.5"},
    {"Accept": "text/html;q=0"},
)


@pytest.mark.parametrize(
    "path", ["/tasks/unknown", "/nothing", "/docs/nothing", "/problems/nothing", "/embed/frame/no-sum"]
)
def test_a_browser_that_goes_astray_gets_a_page_that_leads_on(api: FlaskClient, path: str) -> None:
    answer = api.get(path, headers={"Accept": BROWSER})
    assert (answer.status_code, answer.content_type) == (404, "text/html; charset=utf-8")
    assert answer.headers["Cache-Control"] == "no-store"
    assert "ETag" not in answer.headers
    read = read_page(answer.text)
    assert [heading.words for heading in read.all("h1")] == ["There is nothing at this address"]
    assert {"/", "/docs", "/problems/not-found"} <= {link.attributes["href"] for link in read.all("a")}


def test_a_browser_is_told_the_method_that_is_allowed(api: FlaskClient) -> None:
    answer = api.post("/privacy", headers={"Accept": BROWSER})
    assert (answer.status_code, answer.mimetype) == (405, "text/html")
    assert "GET" in answer.headers["Allow"]


def test_a_mistake_of_the_service_is_told_on_a_page_without_a_word_about_the_inside() -> None:
    app = create_app()

    @app.get("/broken")
    def broken() -> str:
        raise RuntimeError("hidden-detail")

    answer = app.test_client().get("/broken", headers={"Accept": BROWSER})
    assert (answer.status_code, answer.mimetype) == (500, "text/html")
    assert "It has been logged." in answer.text
    assert "hidden-detail" not in answer.text


@pytest.mark.parametrize("headers", FOR_PROGRAMS)
def test_programs_get_problem_details_at_any_address(api: FlaskClient, headers: dict[str, str]) -> None:
    answer = api.get("/tasks/unknown", headers=headers)
    assert answer.status_code == 404
    assert answer.mimetype in ("application/problem+json", "application/json")
    assert answer.get_json()["type"] == "/problems/not-found"


@pytest.mark.parametrize(
    "path", ["/v1/nothing", "/v1/magnification/x", "/v1/magnification?magnification=x", "/v1/magnification"]
)
def test_the_programs_own_addresses_never_answer_a_refusal_by_a_page(api: FlaskClient, path: str) -> None:
    answer = api.get(path, headers={"Accept": BROWSER})
    assert answer.status_code >= 400
    assert answer.mimetype == "application/problem+json"
