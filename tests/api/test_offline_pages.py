"""What lets a browser keep the pages: manifest, icons, service worker, and the page that stands in."""

import io
import json
import re
from urllib.parse import urljoin

import pytest
from flask.testing import FlaskClient
from PIL import Image

from closeup_service.http.app import create_app
from closeup_service.language import LANGUAGES
from closeup_service.pages.tasks import TASKS
from closeup_service.pages.texts import LESSON, READING
from closeup_service.running.settings import Settings
from page_reading import read


def told(api: FlaskClient) -> dict[str, object]:
    """What the worker is told before its own script."""
    first, _, _ = api.get("/service-worker.js").text.partition("\n")
    found: dict[str, object] = json.loads(first.removeprefix("const KEPT = ").removesuffix(";"))
    return found


def kept(api: FlaskClient) -> list[str]:
    addresses = told(api)["addresses"]
    assert isinstance(addresses, list)
    return addresses


@pytest.mark.parametrize(("segment", "language"), [("", "en"), ("/en", "en"), ("/de", "de")])
def test_every_page_names_the_manifest_of_its_language_and_the_script_that_keeps_it(
    api: FlaskClient, segment: str, language: str
) -> None:
    for address in ("/", "/tasks/light", "/privacy", "/offline"):
        text = api.get(segment + address).text
        assert f'<link rel="manifest" href="/pages/{language}.webmanifest">' in text
        assert '<script src="/pages/page.js" defer></script>' in text


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_manifest_names_icons_and_pages_that_are_there(api: FlaskClient, language: str) -> None:
    address = f"/pages/{language}.webmanifest"
    answer = api.get(address)
    assert answer.content_type == "application/manifest+json"
    manifest = answer.get_json()
    assert (manifest["lang"], manifest["display"]) == (language, "standalone")
    assert urljoin(address, manifest["start_url"]) == f"/{language}/"
    assert urljoin(address, manifest["scope"]) == "/"
    for link in [*(each["src"] for each in manifest["icons"]), *(each["url"] for each in manifest["shortcuts"])]:
        assert not link.startswith("/")
        assert api.get(urljoin(address, link)).status_code == 200


def test_manifests_describe_the_pages_in_their_language(api: FlaskClient) -> None:
    english, german = (api.get(f"/pages/{language}.webmanifest").get_json() for language in LANGUAGES)
    assert english["name"] == german["name"]
    assert english["description"] != german["description"]


def test_icons_are_as_large_as_the_manifest_says(api: FlaskClient) -> None:
    drawn = [each for each in api.get("/pages/en.webmanifest").get_json()["icons"] if each["type"] == "image/png"]
    assert {each.get("purpose", "any") for each in drawn} == {"any", "maskable"}
    for each in drawn:
        answer = api.get(f"/pages/{each['src']}")
        assert answer.content_type == "image/png"
        picture = Image.open(io.BytesIO(answer.data)).convert("RGBA")
        assert f"{picture.width}x{picture.height}" == each["sizes"]
        corner = picture.getpixel((0, 0))
        assert isinstance(corner, tuple)
        assert corner[3] == (255 if each.get("purpose") else 0)


def test_the_worker_keeps_what_is_wanted_at_the_table(api: FlaskClient) -> None:
    wanted = {"/", "/lesson", LESSON.address, *(f"/tasks/{task.slug}" for task in TASKS)}
    wanted |= {text.address for text in READING if text.address.startswith("/reading/")} | {"/offline"}
    pages = {f"/{language}{address}" for language in LANGUAGES for address in wanted}
    files = {"/pages/page.css", "/pages/page.js", "/pages/icon.svg", "/pages/en.webmanifest", "/pages/de.webmanifest"}
    assert pages | files <= {f"/{each}" for each in kept(api)}


def test_everything_that_the_worker_keeps_is_there_as_it_is_named(api: FlaskClient) -> None:
    for address in kept(api):
        answer = api.get(f"/{address}")
        assert answer.status_code == 200, address
        assert "no-store" not in answer.headers["Cache-Control"]


def test_every_file_that_a_kept_page_refers_to_is_kept_too(api: FlaskClient) -> None:
    addresses = kept(api)
    for address in addresses:
        answer = api.get(f"/{address}")
        if answer.content_type.startswith("text/html"):
            referred = re.findall(r'<(?:link|script)(?! rel="alternate")[^>]*? (?:href|src)="/([^"]+)"', answer.text)
            assert referred
            assert {each for each in referred if each not in addresses} == set(), address


def test_a_kept_page_leads_to_kept_pages_of_its_language(api: FlaskClient) -> None:
    addresses = kept(api)
    for language in LANGUAGES:
        links = read(api, f"/{language}/tasks/light").links
        tasks = {link.removeprefix("/") for link in links if link.startswith(f"/{language}/tasks/") and "?" not in link}
        assert len(tasks) == len(TASKS)
        assert tasks <= set(addresses)


def test_the_worker_says_in_each_language_from_when_a_page_is(api: FlaskClient) -> None:
    notices = told(api)["notices"]
    assert isinstance(notices, dict)
    assert set(notices) == set(LANGUAGES)
    texts = [text for notice in notices.values() for text in notice.values()]
    assert all("{time}" in text for text in texts)
    assert len(set(texts)) == len(texts)


def test_the_worker_is_asked_for_anew_and_is_the_same_below_a_prefix(api: FlaskClient) -> None:
    answer = api.get("/service-worker.js")
    assert answer.headers["Cache-Control"] == "no-cache"
    below = create_app(Settings(prefix="/closeup")).test_client().get("/closeup/service-worker.js")
    assert below.data == answer.data


def test_only_this_service_gives_workers_and_manifests(api: FlaskClient) -> None:
    policy = api.get("/").headers["Content-Security-Policy"]
    assert "worker-src 'self'" in policy
    assert "manifest-src 'self'" in policy


@pytest.mark.parametrize("sent", [{}, {"tick_pitch_mm": "1"}])
def test_what_is_posted_says_that_it_must_not_be_kept(api: FlaskClient, sent: dict[str, str]) -> None:
    answer = api.post("/tasks/ruler", data=sent, content_type="multipart/form-data")
    assert answer.headers["Cache-Control"] == "no-store"


def test_the_page_that_stands_in_is_in_order(api: FlaskClient) -> None:
    page = read(api, "/offline")
    assert page.headings[:2] == [1, 2]
    assert "kept" in page.ids


def test_the_privacy_page_says_what_the_browser_keeps(api: FlaskClient) -> None:
    page = read(api, "/privacy")
    assert {"kept", "erase-kept", "erased"} <= set(page.ids)
    assert f"the last {told(api)['most_results']} results" in page.shown
