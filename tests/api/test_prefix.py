"""The service below a path of another site, behind a proxy that takes the path away and behind one that passes it on."""

import gzip
import json
import re
from functools import cache, partial
from urllib.parse import urlencode

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from markupsafe import escape

from closeup_service.http.app import create_app
from closeup_service.http.prefix import place_page
from closeup_service.running.settings import BadSettings, Settings
from crawling import Answer, Crawl
from page_reading import DRAWN

ROOT = "/closeup"
CAMERA = {"sensor": "23.5x15.6", "register_mm": 18}
TRAIN = [
    {"element": "lens", "focal_length_mm": 35, "f_number": 8, "reversed": True},
    {"element": "spacer", "length_mm": 40},
]
SHEET = f"/v1/set-ups/sheet?{urlencode({'document': json.dumps({'camera': CAMERA, 'train': TRAIN, 'estimate_unknown': True})})}"
HTML = {"Accept": "text/html,*/*;q=0.8"}
PASSING_ON, TAKING_AWAY = "the proxy passes the prefix on", "the proxy takes the prefix away"
either = pytest.mark.parametrize("kind", [PASSING_ON, TAKING_AWAY])
STARTS = (
    "/",
    DRAWN,
    "/nothing-there",
    "/tasks/fill-the-frame?subject_width_mm=x",
    "/embed/frame/flash",
    "/problems/not-found",
)


@cache
def service() -> FlaskClient:
    return create_app(Settings(prefix=ROOT)).test_client()


def sent(kind: str, path: str) -> str:
    """The path that the service gets when a browser asks for one below the prefix."""
    return path if kind == PASSING_ON else path.removeprefix(ROOT) or "/"


def get(kind: str, path: str) -> Answer:
    answer = service().get(sent(kind, path), headers=HTML)
    found = Answer(answer.status_code, answer.content_type, "", answer.headers.get("Location", ""))
    return Answer(200 if "nothing-there" in path else found.status, found.kind, answer.text, found.location)


@either
def test_every_address_of_every_page_stays_below_the_prefix(kind: str) -> None:
    crawl = Crawl(ROOT, partial(get, kind)).go(*STARTS)
    assert not crawl.outside
    assert not crawl.failed
    paths = {address.partition("?")[0].removeprefix(f"http://club.example{ROOT}") for address in crawl.statuses}
    assert {"/", "/docs", "/pages/page.css", "/pages/page.js", "/v1/set-ups/drawing", "/v1/set-ups/sheet"} <= paths
    assert {"/embed/frame.css", "/pages/sheet.css", "/tasks/ruler", "/openapi.json", "/lesson"} <= paths


@either
@pytest.mark.parametrize("path", [ROOT, f"{ROOT}/"])
def test_the_start_page_stands_at_the_prefix(kind: str, path: str) -> None:
    assert f'href="{ROOT}/docs"' in service().get(sent(kind, path)).text


@either
def test_redirects_lead_below_the_prefix(kind: str) -> None:
    blank = service().get(sent(kind, f"{ROOT}/tasks/fill-the-frame?subject_width_mm=15&sensor="))
    assert (blank.status_code, blank.headers["Location"]) == (303, f"{ROOT}/tasks/fill-the-frame?subject_width_mm=15")


@either
def test_problems_are_named_below_the_prefix(kind: str) -> None:
    told = service().get(sent(kind, f"{ROOT}/v1/flash?f_number=x")).get_json()
    assert told["type"] == f"{ROOT}/problems/invalid-fields"
    assert service().get(sent(kind, told["type"])).status_code == 200


def test_a_refusal_is_a_page_with_addresses_below_the_prefix() -> None:
    page = service().get(f"{ROOT}/nothing", headers=HTML)
    assert page.status_code == 404
    assert f'href="{ROOT}/pages/page.css"' in page.text


def test_a_posted_form_is_answered_with_addresses_below_the_prefix() -> None:
    page = service().post(f"{ROOT}/tasks/ruler", data={}, content_type="multipart/form-data")
    assert f'action="{ROOT}/tasks/ruler"' in page.text


@pytest.mark.parametrize("address", ["/", SHEET, "/openapi.json"])
def test_the_entity_tag_is_that_of_the_page_as_it_is_sent(address: str) -> None:
    plain = create_app().test_client().get(address, headers=HTML)
    answer = service().get(address, headers=HTML)
    packed = service().get(address, headers={**HTML, "Accept-Encoding": "gzip"})
    assert gzip.decompress(packed.data) == answer.data != plain.data
    assert answer.headers["ETag"] not in (plain.headers["ETag"], packed.headers["ETag"])
    again = service().get(address, headers={**HTML, "If-None-Match": answer.headers["ETag"]})
    assert again.status_code == 304


@either
def test_documents_state_where_the_service_is(kind: str) -> None:
    document = service().get(sent(kind, f"{ROOT}/openapi.json"))
    assert document.get_json()["servers"][0]["url"] == ROOT
    assert re.findall(r'"\^?(/[a-z]*/?problems/)', document.text)
    assert not re.search(r'"\^?/problems/', document.text)
    (listed,) = service().get(sent(kind, f"{ROOT}/.well-known/api-catalog")).get_json()["linkset"]
    assert listed["anchor"] == f"{ROOT}/"
    for relation in ("service-desc", "service-doc", "status"):
        assert service().get(sent(kind, listed[relation][0]["href"])).status_code == 200


def test_an_address_that_the_operator_states_is_left_alone() -> None:
    settings = Settings(prefix=ROOT, server_url="https://club.example/closeup/")
    document = create_app(settings).test_client().get(f"{ROOT}/openapi.json").get_json()
    assert document["servers"][0]["url"] == "https://club.example/closeup/"


@either
def test_what_is_pasted_leads_below_the_prefix(kind: str) -> None:
    page = service().get(sent(kind, f"{ROOT}/put-it-on-your-site"), base_url="https://club.example").text
    (script,) = re.findall(r"src=&#34;https://club\.example(/closeup/embed/[0-9.]+/closeup-sum\.js)&#34;", page)
    assert service().get(sent(kind, script)).status_code == 200
    assert "server=&#34;https://club.example/closeup&#34;" in page
    assert "script-src https://club.example; connect-src https://club.example<" in page


def test_without_a_prefix_pages_are_as_they_were() -> None:
    plain = create_app().test_client()
    assert plain.get("/", headers={"SCRIPT_NAME": "/evil"}).data == plain.get("/").data
    assert 'href="/docs"' in plain.get("/").text


def test_a_service_within_another_application_stands_where_that_says() -> None:
    page = create_app().test_client().get("/", environ_overrides={"SCRIPT_NAME": "/held/here"}).text
    assert 'href="/held/here/docs"' in page


@pytest.mark.parametrize("prefix", ["/docs", "/v1", "/embed", "/v1/flash", "/pages"])
def test_a_prefix_is_no_address_of_the_service(prefix: str) -> None:
    with pytest.raises(BadSettings, match="--prefix"):
        create_app(Settings(prefix=prefix))


@pytest.mark.parametrize(
    ("tag", "placed"),
    [
        ('<a href="/docs">', '<a href="/closeup/docs">'),
        ('<a class="x"\n href="/">', '<a class="x"\n href="/closeup/">'),
        ('<form method="get" action="/a"><button formaction="/b">', None),
        ('<a href="//other.example/docs">', '<a href="//other.example/docs">'),
        ('<source srcset="/wide"><img src="/narrow">', None),
        ('<a href="#part">', '<a href="#part">'),
        ('<a href="other?x=/docs">', '<a href="other?x=/docs">'),
        ('<input value="/docs" title="/docs">', '<input value="/docs" title="/docs">'),
        ('<p>href="/docs"</p>', '<p>href="/docs"</p>'),
    ],
)
def test_own_addresses_in_tags_alone_are_written_below(tag: str, placed: str | None) -> None:
    expected = placed or tag.replace('"/', '"/closeup/')
    assert place_page(tag.encode(), ROOT).decode() == expected


@given(st.text(st.sampled_from(" <>\"'/=&;hrefsrc"), max_size=60))
def test_what_people_type_is_never_taken_for_an_address(typed: str) -> None:
    page = (
        f'<p>{escape(typed)}</p><input value="{escape(typed)}"> href="/docs" {escape(typed)}<b title="{escape(typed)}">'
    )
    assert place_page(page.encode(), ROOT).decode() == page


def test_what_people_type_stays_as_it_was_on_a_page() -> None:
    forged = '"><a href="/docs" src="/x" action=\'/y\'>'
    page = service().get(f"{ROOT}/tasks/fill-the-frame", query_string={"subject_width_mm": forged}).text
    assert str(escape(forged)) in page


@either
def test_the_list_of_resources_gives_addresses_below_the_prefix(kind: str) -> None:
    for segment in ("", "/de"):
        records = service().get(sent(kind, f"{ROOT}{segment}/v1/")).get_json()["records"]
        assert all(record["address"].startswith(f"{ROOT}{segment}/v1/") for record in records)
