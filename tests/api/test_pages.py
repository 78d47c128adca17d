"""The pages for people: well formed, their headings in order, every link leading somewhere, every caution from its home."""

import re
from functools import cache
from itertools import pairwise
from urllib.parse import parse_qs, urlsplit

import pytest
from flask.testing import FlaskClient

from closeup_service.advice.caution_texts import TEXTS
from closeup_service.advice.figures import space_thousands
from closeup_service.http.app import create_app
from closeup_service.operations.asking.problem_types import PROBLEM_TYPES
from closeup_service.operations.operation import Operation
from closeup_service.operations.registry import operations
from closeup_service.pages.measured import MEASURED
from closeup_service.pages.texts import ANSWERS, LESSON, READING, Text
from closeup_service.running.exit_codes import EXIT_CODES
from closeup_service.running.settings import Settings, option, variable
from html_pages import Node, NotWellFormed, Page, read_page

TEXT_PAGES = [text.address for text in (*READING, LESSON, ANSWERS)]
PAGES = [
    *TEXT_PAGES,
    "/docs",
    *(f"/docs/{operation.operation_id}" for operation in operations()),
    *(f"/docs/{name}" for name in ("isAlive", "isReady", "readDocument")),
    *(f"/problems/{slug}" for slug in PROBLEM_TYPES),
]


@cache
def client() -> FlaskClient:
    return create_app().test_client()


@cache
def page(address: str) -> Page:
    answer = client().get(address)
    assert (answer.status_code, answer.content_type) == (200, "text/html; charset=utf-8")
    return read_page(answer.text)


@pytest.mark.parametrize("address", PAGES)
def test_a_page_is_well_formed_and_says_what_it_is(address: str) -> None:
    read = page(address)
    title, *drawn = read.all("title")
    assert len(drawn) == len(read.all("svg")), "each drawing says what it is"
    (heading,) = read.all("h1")
    assert heading.words
    assert title.words.endswith(" – closeup-optics")
    assert read.all("html")[0].attributes["lang"] == "en"
    assert [node.tag for node in read.all("main", "footer")] == ["main", "footer"]
    assert not read.all("style", "img")
    assert [each.attributes["src"] for each in read.all("script")] == ["/pages/page.js"]
    assert not [node for node in read.nodes if "style" in node.attributes]


@pytest.mark.parametrize("address", PAGES)
def test_headings_go_down_one_step_at_a_time(address: str) -> None:
    levels = [int(node.tag[1]) for node in page(address).all("h1", "h2", "h3", "h4")]
    assert levels[0] == 1
    assert all(below <= above + 1 for above, below in pairwise(levels))


@pytest.mark.parametrize("address", PAGES)
def test_every_link_of_a_page_leads_somewhere(address: str) -> None:
    for link in page(address).links:
        parts = urlsplit(link)
        if parts.netloc:
            assert link == Settings().contact_url
            continue
        target = parts.path or address
        if parts.fragment:
            assert parts.fragment in page(target).ids, link
        else:
            assert client().get(target).status_code == 200, link


@pytest.mark.parametrize("address", PAGES)
def test_the_keyboard_reaches_the_text_first_and_every_field_has_its_label(address: str) -> None:
    read = page(address)
    assert read.all("a")[0].attributes["href"] == "#main"
    fields = read.all("input", "select", "textarea")
    labelled = {node.attributes["for"] for node in read.all("label")}
    assert {node.attributes["id"] for node in fields} == labelled


@pytest.mark.parametrize("text", [*READING, LESSON, ANSWERS], ids=lambda text: text.address)
def test_the_cautions_of_a_text_are_those_of_their_one_home_people_first(text: Text) -> None:
    words = {each.code: each.record()["text"] for each in TEXTS}
    shown = [node for node in page(text.address).all("li") if "data-caution" in node.attributes]
    assert {node.attributes["data-caution"] for node in shown} == {each.code for each in text.cautions}
    whom = [node.words.partition(". ")[0].lower() for node in shown]
    assert whom == sorted(whom, key=["people", "animals", "gear"].index)
    for node in shown:
        assert node.words.partition(". ")[2] == words[node.attributes["data-caution"] or ""]


def test_the_templates_hold_no_copy_of_a_cautions_words() -> None:
    own = {address: page(address) for address in TEXT_PAGES}
    sentences = {
        sentence for each in TEXTS for sentence in re.split(r"(?<=\.) ", each.record()["text"]) if len(sentence) > 40
    }
    for address, read in own.items():
        paragraphs = [node.words for node in read.all("p", "dd", "li") if "data-caution" not in node.attributes]
        assert not [each for each in paragraphs if any(sentence in each for sentence in sentences)], address


@pytest.mark.parametrize("address", [text.address for text in READING if text.address.startswith("/reading/")])
def test_reading_states_its_source(address: str) -> None:
    assert "common practice, no source" in page(address).all("p", class_="source")[0].words


def test_the_reading_names_both_threads_of_39_mm() -> None:
    rows = [node.words for node in page("/reading/enlarger-lenses").all("tr")]
    assert "M39x26tpi39 mm0.977 mm" in rows  # 25.4 mm / 26 = 0.9769 mm
    assert "M39x139 mm1 mm" in rows


def test_privacy_names_the_operators_contact() -> None:
    told = create_app(Settings(contact_url="https://club.example/ask")).test_client().get("/privacy").text
    assert 'href="https://club.example/ask"' in told


def test_limits_are_those_of_the_operator() -> None:
    told = create_app(Settings(most_upload_mb=7, most_megapixels=3)).test_client().get("/docs").text
    assert "<td>7 MB</td>" in told
    assert "<td>3 megapixels" in told


def test_examples_name_the_address_of_the_service() -> None:
    told = create_app(Settings(server_url="https://club.example/closeup/")).test_client().get("/docs/findFlash").text
    assert "curl -s https://club.example/closeup/v1/flash" in told
    assert "127.0.0.1" not in told


@pytest.mark.parametrize(
    "operation", [each for each in operations() if "GET" in each.methods], ids=lambda each: each.path
)
def test_what_the_form_holds_at_first_can_be_asked(operation: Operation) -> None:
    read = page(f"/docs/{operation.operation_id}")
    if not read.all("form"):
        assert operation.path in read.links
        return
    (form,) = read.all("form")
    assert form.attributes["method"] == "get"
    fields = {named(node): node.attributes["value"] or "" for node in read.all("input")}
    fields |= {named(node): node.text for node in read.all("textarea")}
    fields |= chosen(read)
    led = client().get(form.attributes["action"], query_string=fields)
    assert led.status_code == 302
    target = urlsplit(led.headers["Location"])
    assert target.path == operation.path
    assert all(value.strip() for values in parse_qs(target.query).values() for value in values)
    assert client().get(led.headers["Location"]).status_code == 200


def named(node: Node) -> str:
    return node.attributes["name"] or ""


def chosen(read: Page) -> dict[str, str]:
    """Values of the lists of choices: what is selected, else the blank first one."""
    found, name = {}, ""
    for node in read.all("select", "option"):
        if node.tag == "select":
            name = named(node)
            found[name] = ""
        elif "selected" in node.attributes:
            found[name] = node.text
    return found


def test_blank_fields_are_dropped_and_everything_else_is_passed_on() -> None:
    led = client().get("/docs/findMagnification/try?sensor=+&subject_width_mm=+15&nonsense=a%26b")
    assert led.headers["Location"] == "/v1/magnification?subject_width_mm=15&nonsense=a%26b"
    assert client().get("/docs/findMagnification/try?sensor=").headers["Location"] == "/v1/magnification"


@pytest.mark.parametrize("address", ["/docs/nothing", "/docs/nothing/try", "/reading/nothing", "/lesson/nothing"])
def test_what_is_not_there_is_not_found(address: str) -> None:
    assert client().get(address).status_code == 404


@pytest.mark.parametrize(
    "text",
    [
        "<p></p>",
        "<!doctype html>\n<p>",
        "<!doctype html>\n<p><b></p></b>",
        '<!doctype html>\n<p id="a"></p><p id="a"></p>',
        '<!doctype html>\n<p id="a" id="b"></p>',
        "<!doctype html>\n<p><ul></ul></p>",
    ],
)
def test_the_strict_reader_refuses_what_is_not_well_formed(text: str) -> None:
    with pytest.raises(NotWellFormed):
        read_page(text)


def test_every_setting_and_exit_code_is_on_the_page_about_running() -> None:
    told = page("/running").all("code")
    words = {node.words for node in told}
    for name in Settings.__struct_fields__:
        assert {option(name), variable(name)} <= words
    assert {str(code) for code in EXIT_CODES} <= words


def test_the_page_of_growth_that_1_0_had_leads_to_its_table() -> None:
    answer = client().get("/growth")
    assert answer.status_code == 308
    address, _, place = answer.headers["Location"].partition("#")
    assert place in page(address).ids
    told = [node.words for node in page(address).all("td") if node.attributes.get("data-label") == "Size"]
    assert told == [
        space_thousands(size).replace("\u202f", " ") for each in MEASURED.growth for size in each.milliseconds
    ]


@pytest.mark.parametrize(("access_log", "logged"), [("off", False), ("plain", True), ("full", True)])
def test_privacy_says_what_is_logged(access_log: str, logged: bool) -> None:
    told = create_app(Settings(access_log=access_log)).test_client().get("/privacy").text
    assert ("stands in the line of that request" in told) == logged
    assert ("the address that was asked, so with the numbers in it" in told) == (access_log == "full")
