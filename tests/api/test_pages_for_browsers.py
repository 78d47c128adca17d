"""What every HTML page of the service owes a browser and those who listen to it: an icon that is there, lists with words."""

import gzip
import json
import re
from base64 import b64encode
from hashlib import sha256
from html import unescape
from urllib.parse import urlencode, urljoin

import pytest
from flask.testing import FlaskClient

from closeup_service.operations.registry import operations
from closeup_service.pages.embedding.messages import LANGUAGES
from closeup_service.pages.embedding.sums import SUMS
from html_pages import read_page
from page_reading import STATES

BROWSER = {"Accept": "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"}
LENS = {"element": "lens", "focal_length_mm": 50, "register_mm": 18, "f_number": 8, "front_principal_plane_mm": 27}
SET_UP = {"camera": {"register_mm": 18, "sensor": "36x24"}, "train": [LENS, {"element": "spacer", "length_mm": 20}]}
FORMS = [f"/docs/{operation.operation_id}" for operation in operations()]
ADDRESSES = [
    *STATES,
    *FORMS,
    *(f"/embed/frame/{name}?lang={language}" for name in SUMS for language in LANGUAGES),
    f"/v1/set-ups/sheet?{urlencode({'document': json.dumps(SET_UP)})}",
    *("/docs", "/physics", "/lesson", "/running", "/privacy", "/put-it-on-your-site"),
    *("/nothing-there", "/problems/not-found"),
]


def html_at(api: FlaskClient, address: str) -> str:
    accepted = {"Accept": "text/html"} if "sheet" in address else BROWSER
    answer = api.get(address, headers=accepted, follow_redirects=True)
    assert answer.mimetype == "text/html", address
    return answer.text


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_page_names_an_icon_that_is_there(api: FlaskClient, address: str) -> None:
    icons = re.findall(r'<link rel="icon" href="([^"]+)"', html_at(api, address))
    assert len(icons) == 1
    found = api.get(urljoin(address, unescape(icons[0])))
    assert (found.status_code, found.mimetype) == (200, "image/svg+xml")


def test_what_a_browser_asks_for_unasked_is_there(api: FlaskClient) -> None:
    answer = api.get("/favicon.ico")
    assert (answer.status_code, answer.mimetype) == (200, "image/svg+xml")
    assert answer.data == api.get("/pages/icon.svg").data


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_choice_of_a_list_has_words(api: FlaskClient, address: str) -> None:
    options = read_page(html_at(api, address)).all("option")
    assert [option.attributes for option in options if not re.search(r"\w", option.words)] == []


def test_there_are_lists_in_the_forms_of_the_documentation(api: FlaskClient) -> None:
    lists = [address for address in FORMS if read_page(html_at(api, address)).all("option")]
    assert len(lists) > 5
    assert read_page(html_at(api, lists[0])).all("option")[0].words == "not given"


MOST_BYTES = {"page.css": 4_500, "page.js": 1_700}
"""Compressed."""


@pytest.mark.parametrize("name", MOST_BYTES)
def test_what_every_page_loads_is_light(api: FlaskClient, name: str) -> None:
    assert len(gzip.compress(api.get(f"/pages/{name}").data)) < MOST_BYTES[name]


def test_the_style_of_drawings_within_a_page_is_that_of_drawings_alone(api: FlaskClient) -> None:
    drawing = api.get(
        "/v1/charts/stack?f_number=8&magnification=1&subject_depth_mm=3&sensor=36x24",
        headers={"Accept": "image/svg+xml"},
    )
    style = api.get("/pages/drawing.css").data
    assert b"<style>" + style + b"</style>" in drawing.data
    named = b64encode(sha256(style).digest()).decode()
    assert f"style-src 'sha256-{named}'" in drawing.headers["Content-Security-Policy"]
