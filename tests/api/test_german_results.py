"""Results, comparisons, an own kit and the cards of a set-up in German: every sentence, with the figures of the English one."""

import re
from collections.abc import Iterator
from itertools import pairwise
from urllib.parse import quote

import pytest
from flask.testing import FlaskClient

from closeup_service.language import GERMAN, speaking, tr
from closeup_service.language.speaking import Later
from closeup_service.pages.comparing.differences import tell_difference
from closeup_service.pages.own_kit.groups import GROUPS
from closeup_service.pages.own_kit.kinds import kind_of
from closeup_service.pages.results import Row
from closeup_service.pages.task import Example, Group, Task
from html_pages import Page, read_page
from kit_pages import kit_file, own_kit, post
from page_reading import EXAMPLES, example_address, example_id

SAID = (
    *(("p", "headline"), ("li", "fine"), ("li", "limit"), ("li", "beyond"), ("span", "meaning")),
    *(("td", "basis"), ("span", "between"), ("span", "spread"), ("td", "difference")),
)
"""Elements that hold what this page itself says of a result."""
WORD = re.compile(r"[^\W\d_]{2,}")
NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
OF_PEOPLE = re.compile(r"„[^“]*“|“[^”]*”")
ENGLISH = re.compile(
    r"\b(the|and|with|of|is|are|from|for|that|which|your|you|between|about|calculated|given|assumed)\b", re.IGNORECASE
)
RESULTS = [pytest.param(task, example, id=example_id(example)) for task, example in EXAMPLES if not task.posted]
OLD = "/tasks/set-up?part1=typed_lens&part1_focal_length_mm=28&part1_reversed=yes&part2=typed_spacer&part2_length_mm=7"
KNOWN = f"{OLD}&register_mm=44&sensor=36x24"


def page(api: FlaskClient, address: str) -> Page:
    answer = api.get(address, follow_redirects=True)
    assert answer.status_code == 200, address
    return read_page(answer.text)


def said(read: Page) -> list[str]:
    """What a page says of its result, but for names that people gave."""
    return [OF_PEOPLE.sub("", node.words) for tag, name in SAID for node in read.all(tag, class_=name)]


def figures(text: str) -> list[str]:
    """Numbers of a text in the order of their digits, written with points."""
    return sorted(found.replace(",", ".") for found in NUMBER.findall(text))


def compare_languages(english: list[str], german: list[str]) -> None:
    """Each text in German, with the same figures."""
    assert len(english) == len(german)
    for one, other in zip(english, german, strict=True):
        assert figures(one) == figures(other), (one, other)
        assert not ENGLISH.search(other), other
        assert one != other or len(WORD.findall(one)) < 3, one


@pytest.mark.parametrize(("task", "example"), RESULTS)
def test_a_result_says_the_same_in_german(api: FlaskClient, task: Task, example: Example) -> None:
    address = example_address(task, example)
    english, german = said(page(api, address)), said(page(api, f"/de{address}"))
    assert english
    compare_languages(english, german)


def test_a_comparison_says_the_same_in_german(api: FlaskClient) -> None:
    results = [quote(example_address(task, example), "") for task, example in EXAMPLES if not task.posted]
    for first, second in pairwise(results):
        address = f"/compare?a={first}&b={second}"
        compare_languages(said(page(api, address)), said(page(api, f"/de{address}")))


@pytest.mark.parametrize(
    ("first", "second", "german"),
    [
        (Row("f_number", "", "f/8", 8.0), Row("f_number", "", "f/16", 16.0), "um 2 Blenden kleinere Öffnung"),
        (Row("f_number", "", "f/16", 16.0), Row("f_number", "", "f/11", 11.3), "um 1 Blende größere Öffnung"),
        (Row("t", "", "1 s", 1.0, "s"), Row("t", "", "4 s", 4.0, "s"), "um 2 Blenden länger"),
        (Row("t", "", "1 s", 1.0, "s"), Row("t", "", "1/2 s", 0.5, "s"), "um 1 Blende kürzer"),
        (Row("magnification", "", "1:1", 1.0), Row("magnification", "", "1.5:1", 1.5), "1,5-mal so groß"),
        (Row("total_mm", "", "1", 1.0, "mm"), Row("total_mm", "", "0.5", 0.5, "mm"), "0,5 mm weniger"),
        (Row("overlap", "", "20 %", 0.2), Row("overlap", "", "30 %", 0.3), "10 Prozentpunkte mehr"),
        (Row("frames", "", "4"), Row("frames", "", "3"), "1 weniger"),
        (Row("advice", "", "x"), Row("advice", "", "y"), "anders"),
        (Row("advice", "", "x"), Row("advice", "", "x"), "gleich"),
        (
            Row("total_mm", "", "1", 1.0, "mm"),
            Row("total_mm", "", "2", 2.0, "mm", between="zwischen 1 und 3 mm"),
            "etwa 1 mm mehr",
        ),
    ],
)
def test_a_difference_is_told_in_german(first: Row, second: Row, german: str) -> None:
    with speaking(GERMAN):
        assert tell_difference(first, second) == german


@pytest.mark.parametrize(
    ("address", "german"),
    [
        ("/tasks/nothing", "Das ist nicht die Adresse eines Ergebnisses."),
        ("/tasks/light", "Diese Adresse enthält keine Werte."),
        ("x" * 3001, "Diese Adresse hat 3001 Zeichen; höchstens 3000 lassen sich vergleichen."),
    ],
)
def test_an_address_that_cannot_be_compared_is_told_in_german(api: FlaskClient, address: str, german: str) -> None:
    assert german in api.get(f"/de/compare?a={address}").text


def texts_of(groups: tuple[Group, ...]) -> Iterator[str]:
    """Texts of the form of a part."""
    for group in groups:
        yield from (group.title, group.lead)
        for each in group.inputs:
            yield from (each.own_label, each.own_hint)
            choices = each.own_choices if isinstance(each.own_choices, tuple) else ()
            yield from (choice.label for choice in choices if not isinstance(choice.label, Later))


@pytest.mark.parametrize("group", GROUPS)
def test_the_form_of_a_part_is_german(group: str) -> None:
    words = GROUPS[group]
    forms = [kind_of(group, settings).groups for settings in ((0, 2) if group == "lenses" else (0,))]
    texts = {words.one, words.several, words.add, *(text for form in forms for text in texts_of(form) if text)}
    with speaking(GERMAN):
        for text in texts:
            german = tr(text)
            assert german != text or text == "name", text
            assert not ENGLISH.search(OF_PEOPLE.sub("", german)), german


@pytest.mark.parametrize(
    ("do", "german"),
    [
        ("show", "Das ist jetzt die eigene Ausrüstung."),
        ("remove:my-tube-16", "„My Tube, 16 mm“ ist nicht mehr in der Ausrüstung."),
        ("remove:house-bayonet", "lässt sich nicht entfernen, denn diese Teile haben es:"),
        ("remove:nothing", "Dieses Teil ist nicht in der Ausrüstung."),
    ],
)
def test_what_was_done_with_a_kit_is_told_in_german(api: FlaskClient, do: str, german: str) -> None:
    assert german in post(api, "/de/kit", kit_file=kit_file(own_kit()), do=do).text


def test_faults_of_a_kit_are_told_in_german(api: FlaskClient) -> None:
    wrong = {"name": "A kit", "tubes": [{"id": "short", "name": "Short", "length_mm": "1"}]}
    told = post(api, "/de/kit", kit_file=kit_file(wrong), do="show").text
    assert "Zwischenring „Short“, Länge: Eine Zahl angeben." in told
    assert "Zwischenring „Short“, vorn: Diese Angabe fehlt." in told
    assert "Eine Ausrüstungsdatei wählen." in post(api, "/de/kit", do="show").text


def test_a_kit_lists_its_parts_in_german(api: FlaskClient) -> None:
    told = [node.words for node in page(api, "/de/kit").all("span", class_="told")]
    assert any("nicht zur Hand" in each for each in told)
    assert any("Kleinste Länge" in each for each in told)
    assert not [each for each in told if re.search(r"\b(length|thread|mount|front|rear|register)\b", each)]


def test_the_cards_of_a_set_up_are_german(api: FlaskClient) -> None:
    read = page(api, f"/de{KNOWN}")
    shelves = [node.attributes["label"] or "" for node in read.all("optgroup")]
    assert {"Mit eigenen Daten", "Objektive der Ausrüstung", "Balgengeräte der Ausrüstung"} <= set(shelves)
    assert {"1. Objektiv: Auszug durch den Fokusring", "2. Zwischenring, Ring oder Balgen: Länge"} <= {
        node.words for node in read.all("option")
    }


def test_what_a_document_and_a_field_state_apart_is_told_in_german(api: FlaskClient) -> None:
    document = '{"camera":{"register_mm":18},"train":[{"element":"lens","focal_length_mm":50,"f_number":8}]}'
    told = page(api, f"/de/tasks/set-up?document={document}&part1_f_number=5.6&tube_mm=3")
    faults = " ".join(node.words for node in told.all("div", class_="faults"))
    assert "Im geöffneten Aufbau steht hier „8“. Eines von beiden behalten." in faults
    assert "Das zählt nicht neben einem geöffneten Aufbau" in faults


def test_whom_a_caution_concerns_is_german(api: FlaskClient) -> None:
    read = page(api, f"/de{KNOWN}")
    concerned = {node.words for node in read.all("strong")} & {"Menschen.", "Tiere.", "Ausrüstung."}
    assert concerned == {"Ausrüstung."}


def test_ranges_are_told_in_german(api: FlaskClient) -> None:
    read = page(api, f"/de{KNOWN}")
    assert "Dieser Aufbau ergibt etwa 2,1:1" in read.all("p", class_="headline")[0].words
    assert "zwischen 1,7:1 und 2,5:1" in {node.words for node in read.all("span", class_="between")}
    assert "aus veröffentlichten Rechnungen" in {node.words for node in read.all("td", class_="basis")}
