"""Pages in English and German: which language an answer is in, and how pages of one lead on and to the other."""

import json
import re
from functools import partial
from html import unescape
from io import BytesIO
from urllib.parse import urlencode

import pytest
from flask.testing import FlaskClient

from closeup_service.http.app import create_app
from closeup_service.language import LANGUAGES
from closeup_service.language.speaking import catalogue
from closeup_service.running.settings import Settings
from crawling import HOST, Answer, Crawl
from html_pages import Node, Page, read_page
from kit_pages import own_kit, post
from page_reading import DRAWN, STATES
from ruler_pictures import pictures

BROWSER = {"Accept": "text/html,*/*;q=0.8"}
ROOTS = ("", "/closeup")
OTHER = {"en": "de", "de": "en"}
RESULT = "/tasks/light?f_number=f%2F8&magnification=2%3A1"
ENGLISH_ALONE = ("/docs", "/docs/evaluateSetUp")
CAMERA = {"sensor": "23.5x15.6", "register_mm": 18}
TRAIN = [
    {"element": "lens", "focal_length_mm": 35, "f_number": 8, "reversed": True},
    {"element": "spacer", "length_mm": 40},
]
SHEET = f"/v1/set-ups/sheet?{urlencode({'document': json.dumps({'camera': CAMERA, 'train': TRAIN, 'estimate_unknown': True})})}"
in_each = pytest.mark.parametrize("language", LANGUAGES)


@pytest.fixture(scope="module", params=ROOTS, ids=["at the root", "below a prefix"])
def root(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def service(root: str) -> FlaskClient:
    return create_app(Settings(prefix=root or "/")).test_client()


def page_at(client: FlaskClient, address: str, accepted: str = "") -> Page:
    answer = client.get(address, headers={**BROWSER, "Accept-Language": accepted})
    assert answer.status_code == 200, address
    return read_page(answer.text)


def language_of(page: Page) -> str:
    return page.all("html")[0].attributes["lang"] or ""


def alternates(page: Page) -> dict[str, str]:
    """Where the head of a page leads, by language."""
    found = [each.attributes for each in page.all("link") if each.attributes.get("rel") == "alternate"]
    return {each["hreflang"] or "": each["href"] or "" for each in found}


def switch(page: Page) -> Node:
    """The link to the same page in the other language."""
    (found,) = [each for each in page.all("a") if "hreflang" in each.attributes]
    return found


@pytest.mark.parametrize(
    ("segment", "accepted", "language"),
    [
        ("", "", "en"),
        ("", "de", "de"),
        ("", "de-AT,de;q=0.9,en;q=0.8", "de"),
        ("", "en-GB,en;q=0.9,de;q=0.8", "en"),
        ("", "fr,de;q=0.5", "de"),
        ("", "fr", "en"),
        ("", "de;q=0", "en"),
        ("/de", "en", "de"),
        ("/de", "", "de"),
        ("/en", "de", "en"),
    ],
)
def test_a_segment_chooses_the_language_or_else_what_the_client_accepts(
    service: FlaskClient, root: str, segment: str, accepted: str, language: str
) -> None:
    answer = service.get(f"{root}{segment}{RESULT}", headers={"Accept-Language": accepted})
    assert language_of(read_page(answer.text)) == language
    assert answer.headers["Content-Language"] == language
    assert ("Accept-Language" in answer.headers["Vary"]) is (not segment)


@pytest.mark.parametrize("address", ENGLISH_ALONE)
def test_documentation_for_programs_is_english_and_leads_to_no_translation(api: FlaskClient, address: str) -> None:
    for segment in ("", "/de"):
        page = page_at(api, segment + address, "de")
        assert language_of(page) == "en"
        assert not alternates(page)


@in_each
@pytest.mark.parametrize("address", STATES)
def test_a_page_and_its_translation_lead_to_each_other_with_what_was_typed(
    api: FlaskClient, address: str, language: str
) -> None:
    other = OTHER[language]
    clean = api.get(address, follow_redirects=True).request
    query = f"?{clean.query_string.decode()}" if clean.query_string else ""
    page = page_at(api, f"/{language}{clean.path}{query}")
    assert language_of(page) == language
    there = switch(page).attributes
    assert (there["href"], there["lang"], there["hreflang"]) == (f"/{other}{clean.path}{query}", other, other)
    translated = page_at(api, there["href"] or "")
    assert language_of(translated) == other
    assert switch(translated).attributes["href"] == f"/{language}{clean.path}{query}"
    assert typed_in(translated) == typed_in(page)


@in_each
def test_search_engines_are_led_to_translations_where_the_service_knows_its_address(language: str) -> None:
    own = "https://closeup-optics.example"
    page = page_at(create_app(Settings(server_url=f"{own}/")).test_client(), f"/{language}{RESULT}")
    path = RESULT.partition("?")[0]
    assert alternates(page) == {each: f"{own}/{each}{path}" for each in LANGUAGES}


def test_no_address_is_made_up_for_search_engines(api: FlaskClient) -> None:
    assert alternates(page_at(api, RESULT)) == {}


def typed_in(page: Page) -> list[tuple[str | None, str | None]]:
    """What the fields of a page hold."""
    fields = [each.attributes for each in page.all("input") if each.attributes.get("type") in ("text", "checkbox")]
    return [
        (each["name"], each.get("value") if each["type"] == "text" or "checked" in each else None) for each in fields
    ]


def get(service: FlaskClient, address: str) -> Answer:
    answer = service.get(address, headers=BROWSER)
    return Answer(answer.status_code, answer.content_type, answer.text, answer.headers.get("Location", ""))


@in_each
def test_pages_of_a_language_lead_to_the_others_by_the_switch_alone(
    service: FlaskClient, root: str, language: str
) -> None:
    starts = ("/", DRAWN, RESULT, "/tasks/fill-the-frame?subject_width_mm=x", "/problems/not-found", "/kit")
    crawl = Crawl(f"{root}/{language}", partial(get, service)).go(*starts)
    assert not crawl.failed
    files, translations = f"{root}/pages/", f"{root}/{OTHER[language]}/"
    outside = {address.removeprefix(HOST) for address in crawl.outside}
    assert {each for each in outside if not each.startswith((files, translations))} == set()
    found = {each for each in outside if each.startswith(translations)}
    assert found
    assert {each for each in found if service.get(each, headers=BROWSER).status_code != 200} == set()


@pytest.mark.parametrize("segment", ["", "/en", "/de"])
def test_what_is_put_on_other_sites_stands_outside_every_language(
    service: FlaskClient, root: str, segment: str
) -> None:
    text = service.get(f"{root}{segment}/put-it-on-your-site", headers={"Accept-Language": "de"}).text
    assert f"http://localhost{root}/embed/" in text
    assert not re.search(r"http://localhost[^\s\"]*/(en|de)/embed/", text)


@in_each
def test_what_the_client_accepts_leads_on_into_its_language(service: FlaskClient, root: str, language: str) -> None:
    page = page_at(service, f"{root}/", language)
    own = [each for each in page.links if each.startswith("/") and not each.startswith(f"{root}/pages/")]
    ahead = f"{root}/de/" if language == "de" else f"{root}/"
    assert all(each.startswith(ahead) for each in own if each != switch(page).attributes["href"])
    drawings = [each.attributes["src"] or "" for each in page.all("img")]
    assert drawings
    assert all(each.startswith(f"{ahead}v1/") for each in drawings)


@in_each
def test_a_form_stays_in_its_language(service: FlaskClient, root: str, language: str) -> None:
    here = f"{root}/{language}"
    sent = service.get(f"{here}/tasks/light?f_number=f%2F8&magnification=2%3A1&iso=")
    assert (sent.status_code, sent.headers["Location"]) == (303, f"{here}{RESULT}")
    page = page_at(service, sent.headers["Location"])
    actions = [each.attributes["action"] or "" for each in page.all("form")]
    assert actions
    assert all(each.startswith(f"{here}/") for each in actions)
    (again,) = page.all("a", class_="again")
    assert again.attributes["href"] == f"{here}{RESULT}"


@pytest.mark.parametrize(("address", "there"), [("/growth", "/running#growth"), ("/problems", "/docs#problems")])
def test_a_page_that_moved_leads_on_in_its_language(service: FlaskClient, root: str, address: str, there: str) -> None:
    assert service.get(f"{root}/de{address}").headers["Location"] == f"{root}/de{there}"
    by_client = service.get(f"{root}{address}", headers={"Accept-Language": "de"})
    assert by_client.headers["Location"] == f"{root}/de{there}"
    assert "Accept-Language" in by_client.headers["Vary"]


def test_a_posted_photograph_is_answered_in_the_language_of_its_form(service: FlaskClient, root: str) -> None:
    def shown(language: str) -> str:
        parts = {
            "photo": (BytesIO(pictures()["ruler.jpg"]), "ruler.jpg"),
            "tick_pitch_mm": "0,5",
            "sensor": "23.5x15.6",
        }
        answer = service.post(f"{root}/{language}/tasks/ruler", data=parts, content_type="multipart/form-data")
        assert (answer.status_code, answer.headers["Content-Language"]) == (200, language)
        assert f'action="{root}/{language}/tasks/ruler"' in answer.text
        assert language_of(read_page(answer.text)) == language
        return answer.text

    assert "1.57:1" in shown("en")
    german = shown("de")
    assert 'class="figure">1,57:1' in german
    assert "Nur die Zeichnung" in german or "Worauf das Ergebnis beruht" in german


@in_each
def test_an_own_kit_is_answered_in_the_language_of_its_form(api: FlaskClient, language: str) -> None:
    kit = json.dumps(own_kit())
    for address, typed in (("/kit", {"do": "show"}), ("/tasks/set-up", {}), ("/kit", {"do": "add:lenses"})):
        answer = post(api, f"/{language}{address}", kit=kit, **typed)
        page = read_page(answer.text)
        assert language_of(page) == language
        assert {(each.attributes["action"] or "").split("/")[1] for each in page.all("form")} == {language}


@pytest.mark.parametrize(("method", "status"), [("GET", 404), ("DELETE", 405)])
def test_a_refusal_is_told_in_the_language_and_offers_no_translation(
    service: FlaskClient, root: str, method: str, status: int
) -> None:
    def refused(address: str, accepted: str = "") -> Page:
        path = f"{root}{address}{'/nowhere' if status == 404 else '/privacy'}"
        answer = service.open(path, method=method, headers={**BROWSER, "Accept-Language": accepted})
        assert (answer.status_code, answer.mimetype) == (status, "text/html")
        return read_page(answer.text)

    english, german, accepted = refused("", "en"), refused("/de"), refused("", "de")
    assert [language_of(each) for each in (english, german, accepted)] == ["en", "de", "de"]
    assert len({each.all("h1")[0].words for each in (english, german, accepted)}) == 2
    for page in (english, german, accepted):
        assert not alternates(page)
        assert not [each for each in page.all("a") if "hreflang" in each.attributes]
    assert f"{root}/de/problems/{'not-found' if status == 404 else 'method-not-allowed'}" in german.links


def test_a_mistake_of_the_service_is_told_in_german() -> None:
    app = create_app()

    @app.get("/broken")
    def broken() -> str:
        raise RuntimeError

    answer = app.test_client().get("/de/broken", headers=BROWSER)
    assert (answer.status_code, language_of(read_page(answer.text))) == (500, "de")
    assert "The service made a mistake" not in answer.text


@in_each
def test_kinds_of_problem_are_told_in_each_language(api: FlaskClient, language: str) -> None:
    page = page_at(api, f"/{language}/problems/invalid-fields")
    assert language_of(page) == language
    assert ("Some fields are not valid" in page.all("h1")[0].words) is (language == "en")


def test_the_sheet_speaks_german_and_is_led_to_from_german_pages(api: FlaskClient) -> None:
    english, german = page_at(api, SHEET), page_at(api, f"/de{SHEET}")
    assert (language_of(english), language_of(german)) == ("en", "de")
    both = {each.words for each in english.all("h2")} & {each.words for each in german.all("h2")}
    assert len(english.all("h2")) == len(german.all("h2")) > 2
    assert not both
    shown = api.get(f"/de{DRAWN}", follow_redirects=True)
    sheets = [each for each in read_page(shown.text).links if "/v1/set-ups/sheet" in each]
    assert sheets
    assert all(each.startswith("/de/v1/") for each in sheets)


WORDS_FOR_SCRIPTS = {
    RESULT: ["data-copy", "data-copied", "data-print", "data-incomplete", "data-retried", "data-blank"],
    "/tasks/set-up": ["data-incomplete", "data-retried", "data-blank", "data-use"],
    "/lesson": ["data-print"],
    SHEET: ["data-print"],
}


@pytest.mark.parametrize("address", WORDS_FOR_SCRIPTS)
def test_scripts_find_their_words_in_the_page_in_its_language(api: FlaskClient, address: str) -> None:
    def words(language: str) -> dict[str, str]:
        page = page_at(api, f"/{language}{address}")
        named = {
            name: each.attributes[name] for each in page.nodes for name in each.attributes if name.startswith("data-")
        }
        return {name: named.get(name) or "" for name in WORDS_FOR_SCRIPTS[address]}

    english, german = words("en"), words("de")
    for name, text in english.items():
        assert text, name
        assert german[name], name
        assert text != german[name]


@pytest.mark.parametrize("name", ["page.js", "workbench.js", "kit.js"])
def test_no_script_holds_words_of_its_own(api: FlaskClient, name: str) -> None:
    code = re.sub(r"//[^\n]*", "", api.get(f"/pages/{name}").text)
    assert not re.findall(r'"[A-Z][a-z]+(?:[ .][^"]*)?"', code.replace('"Escape"', "").replace('"DETAILS"', ""))


def test_a_page_is_kept_apart_for_each_language_and_asked_for_again_by_its_tag(api: FlaskClient) -> None:
    tags = [api.get("/privacy", headers={"Accept-Language": each}).headers["ETag"] for each in LANGUAGES]
    assert len(set(tags)) == len(LANGUAGES)
    again = api.get("/privacy", headers={"Accept-Language": "de", "If-None-Match": tags[1]})
    assert (again.status_code, "Accept-Language" in again.headers["Vary"]) == (304, True)
    assert api.get("/privacy", headers={"Accept-Language": "en", "If-None-Match": tags[1]}).status_code == 200


def test_files_have_no_language(api: FlaskClient) -> None:
    for address in ("/pages/page.css", "/service-worker.js", "/pages/icon.svg", "/robots.txt"):
        headers = api.get(address, headers={"Accept-Language": "de"}).headers
        assert "Accept-Language" not in headers.get("Vary", "")
        assert "Content-Language" not in headers


def test_switches_lead_back_and_forth_below_a_prefix(service: FlaskClient, root: str) -> None:
    page = page_at(service, f"{root}/de{RESULT}")
    there = switch(page).attributes["href"] or ""
    assert there == f"{root}/en{RESULT}"
    assert switch(page_at(service, there)).attributes["href"] == f"{root}/de{RESULT}"


WORDS = re.compile(r"[^\W\d_]{2,}")
PAGES = (
    *STATES,
    "/kit",
    "/compare",
    f"/compare?{urlencode({'a': RESULT, 'b': RESULT.replace('F8', 'F16')})}",
    "/offline",
)


def translated_texts() -> frozenset[str]:
    """English texts of several words that are said in other words in German, as far as they have no values in them."""
    known: dict[object, str] = catalogue("de")._catalog  # type: ignore[attr-defined]
    texts = {text for text, said in known.items() if isinstance(text, str) and said != text and "{" not in text}
    return frozenset(text for text in texts if "%(" not in text and len(WORDS.findall(text)) > 1)


TRANSLATED = translated_texts()


@pytest.mark.parametrize("address", PAGES)
def test_a_german_page_shows_no_english_text_that_has_a_translation(api: FlaskClient, address: str) -> None:
    answer = api.get(f"/de{address}", follow_redirects=True, headers=BROWSER)
    bare = re.sub(r"<(pre|code|script|style)\b[^>]*>.*?</\1>", "", answer.text, flags=re.DOTALL)
    attributes = re.findall(r' (?:aria-label|alt|title|content|data-[a-z]+|placeholder)="([^"]*)"', bare)
    shown = {" ".join(unescape(text).split()) for text in (*re.split(r"<[^>]+>", bare), *attributes)}
    assert shown & TRANSLATED == set()
