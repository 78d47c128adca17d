"""The texts below /de: every sentence in German, every number, link and code as in English; the kit and the catalogue too."""

import re
from functools import cache
from itertools import takewhile

import pytest
from flask.testing import FlaskClient

from closeup_service.gear.catalogue import MOUNTS, SENSORS, THREADS
from closeup_service.http.app import create_app
from closeup_service.language import GERMAN, speaking, tr
from closeup_service.pages.embedding.snippets import RUNGS
from closeup_service.pages.texts import ANSWERS, LESSON, READING
from closeup_service.running.settings import Settings
from closeup_service.schemas.kit import demo_kit, read_kit
from html_pages import Node, Page, read_page
from kits import SOUND

ADDRESSES = [
    *(text.address for text in (*READING, LESSON, ANSWERS)),
    *(f"/put-it-on-your-site?rung={rung}" for rung in RUNGS),
]
BLOCKS = ("h1", "h2", "h3", "h4", "p", "li", "dt", "dd", "th", "td", "caption", "label", "option", "button", "a")
ATTRIBUTES = ("data-label", "aria-label")
WORD = re.compile(r"[^\W\d_]{2,}")
ENGLISH_IN_BOTH = re.compile(r"GET effective-f-number|POST set-ups/evaluate|https?://\S+|.* = .*|[\w.]*in-\d+\w*")
"""Operations and addresses; formulas, in which words are names of functions; ids of threads."""
NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
DECIMAL_POINT = re.compile(r"(?<![\w.,/:-])\d+\.\d+(?![\w./-])")
WITH_POINT = re.compile(
    r"\b8\.5 und 8\.8|4\.2\)|CPython 3\.11|127\.0\.0\.1|6x4\.5|f/5\.6|App\.C\.1|ANSI B1\.1|W26 x 0\.706|1/32\+0\.3"
)
"""Sections of books, versions, addresses, names of film and threads, displays of flash heads, and what may be typed."""


@cache
def client(access_log: str = "plain") -> FlaskClient:
    return create_app(Settings(access_log=access_log)).test_client()


@cache
def page(address: str, access_log: str = "plain") -> Page:
    answer = client(access_log).get(address)
    assert answer.status_code == 200
    return read_page(answer.text)


def content(read: Page) -> list[Node]:
    """Elements of the page's own content."""
    start = next(place for place, node in enumerate(read.nodes) if node.tag == "main")
    return list(takewhile(lambda node: node.tag != "footer", read.nodes[start:]))


def texts(read: Page) -> list[str]:
    """What people read or hear of a page, element by element."""
    found = [node.words for node in content(read) if node.tag in BLOCKS]
    named = [node.attributes[name] or "" for node in content(read) for name in ATTRIBUTES if name in node.attributes]
    return [*found, *named, read.all("title")[0].words.removesuffix(" – closeup-optics")]


def description(read: Page) -> str:
    """What a page says of itself to search engines."""
    (found,) = [node for node in read.all("meta") if node.attributes.get("name") == "description"]
    return found.attributes["content"] or ""


@pytest.mark.parametrize("access_log", ["off", "plain", "full"])
@pytest.mark.parametrize("address", ADDRESSES)
def test_no_text_of_a_page_is_left_in_english(address: str, access_log: str) -> None:
    english, german = (texts(page(f"/{language}{address}", access_log)) for language in ("en", "de"))
    assert len(english) == len(german)
    code = {node.words for node in page(f"/en{address}", access_log).all("code")}
    assert not [
        one
        for one, other in zip(english, german, strict=True)
        if one == other and len(WORD.findall(one)) > 1 and one not in code and not ENGLISH_IN_BOTH.fullmatch(one)
    ]


@pytest.mark.parametrize("address", [each for each in ADDRESSES if not each.startswith("/put-it")])
def test_the_description_of_a_page_is_german(address: str) -> None:
    english, german = (description(page(f"/{language}{address}")) for language in ("en", "de"))
    assert english != german != description(page("/de/"))


@pytest.mark.parametrize("address", ADDRESSES)
def test_links_and_structure_are_the_same(address: str) -> None:
    english, german = (page(f"/{language}{address}") for language in ("en", "de"))
    assert [node.tag for node in content(english)] == [node.tag for node in content(german)]
    assert english.ids == german.ids
    for one, other in zip(content(english), content(german), strict=True):
        assert one.attributes.get("href", "") == (other.attributes.get("href") or "").replace("/de/", "/en/").replace(
            "lang=de", "lang=en"
        )


@pytest.mark.parametrize("address", [each for each in ADDRESSES if each != "/physics"])
def test_numbers_have_a_decimal_comma(address: str) -> None:
    told = [node.words for node in content(page(f"/de{address}")) if node.tag in BLOCKS and not has_code(node, address)]
    assert not [text for text in told if DECIMAL_POINT.search(WITH_POINT.sub("", text))]


def has_code(node: Node, address: str) -> bool:
    """Whether an element holds ids or what is to be pasted."""
    return address.startswith("/put-it") or bool(re.search(r"M\d+(\.\d+)?x\d", node.words))


@pytest.mark.parametrize("address", [LESSON.address, ANSWERS.address])
def test_the_lesson_has_the_same_numbers_in_both_languages(address: str) -> None:
    english, german = (
        [node.words for node in content(page(f"/{language}{address}")) if node.tag in ("li", "td", "th")]
        for language in ("en", "de")
    )
    for one, other in zip(english, german, strict=True):
        assert sorted(NUMBER.findall(one)) == sorted(NUMBER.findall(other.replace(",", "."))), one


@pytest.mark.parametrize("language", ["en", "de"])
def test_what_is_pasted_is_in_the_language_that_was_chosen(api: FlaskClient, language: str) -> None:
    query = f"?sum=magnification&rung=form&lang={language}"
    english, german = (pasted(api.get(f"{prefix}/put-it-on-your-site{query}").text) for prefix in ("/en", "/de"))
    assert labels(english) == labels(german)


def pasted(text: str) -> str:
    """What a page gives to paste."""
    (found,) = read_page(text).all("pre")
    return found.text


def labels(form: str) -> list[str]:
    """Labels of a form, and words of its button."""
    return re.findall(r"<(?:label|button)[^>]*>([^<]*)", form)


def test_the_guide_of_a_task_speaks_german(api: FlaskClient) -> None:
    assert "Maßstabsbalken für einen ganzen Ordner" in api.get("/de/tasks/scale-bar").text
    assert "Scale bars for a whole folder" in api.get("/en/tasks/scale-bar").text


def test_every_name_of_the_catalogue_has_its_translation() -> None:
    names = {name for each in (SENSORS, MOUNTS, THREADS) for entry in each.values() for name in entry.names}
    with speaking(GERMAN):
        left = {name for name in names if len(WORD.findall(name)) > 1 and tr(name) == name}
    assert not left


def test_the_demo_kit_is_the_same_in_german_but_for_its_words(api: FlaskClient) -> None:
    english, german = (api.get(f"{prefix}/v1/kit").get_json()["kit"] for prefix in ("", "/de"))
    assert english == {**demo_kit().listing, "lenses": english["lenses"]}
    assert without_words(english) == without_words(german)
    for group in (name for name, parts in english.items() if isinstance(parts, list)):
        for one, other in zip(english[group], german[group], strict=True):
            assert one["name"] != other["name"]
            assert ("location" in one) is ("location" in other)


def without_words(listing: object) -> object:
    """Listing without what it says in words."""
    if isinstance(listing, dict):
        return {name: without_words(each) for name, each in listing.items() if name not in ("name", "location")}
    return [without_words(each) for each in listing] if isinstance(listing, list) else listing


def test_a_kit_of_ones_own_is_shown_as_written() -> None:
    own = create_app(Settings(kit=read_kit(SOUND, "file"))).test_client()
    assert own.get("/de/v1/kit").get_json()["kit"]["name"] == SOUND["name"]
    assert own.get("/de/v1/kit").get_json()["revision"] == own.get("/v1/kit").get_json()["revision"]
