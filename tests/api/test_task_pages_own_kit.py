"""Every task with one's own kit, without JavaScript: by POST, kept nowhere, and linked to where a link can hold it."""

import json
import re
from html import unescape
from typing import Any

import pytest
from flask.testing import FlaskClient

from closeup_service.gear.kit_building import demo_text
from closeup_service.operations.asking.limits import MOST_KIT_BYTES
from closeup_service.pages.task import Example, Task
from closeup_service.pages.tasks import TASKS
from kit_pages import kit_file, own_kit, post
from page_reading import EXAMPLES, Reading, example_id, result_of

SET_UP, SEARCH = "/tasks/set-up", "/tasks/find-set-up"
REVERSED: dict[str, Any] = {
    **{"camera": "my-field-camera", "lens": "my-normal-50", "reversed": "yes", "f_number": "f/8"},
    "part": ["my-reversing-49", "my-tube-16"],
}
SEEDS = {"camera": "my-field-camera", "subject_width_mm": "12", "subject_depth_mm": "1"}
FIGURES = re.compile(r'class="figure">([^<]+)')
posted = [(task, example) for task, example in EXAMPLES if task.photograph is None]


def ask(api: FlaskClient, address: str, kit: dict[str, Any], **typed: Any) -> Reading:
    return Reading(post(api, address, kit=json.dumps(kit), **typed).text)


def figures(page: Reading) -> list[str]:
    return FIGURES.findall(result_of(page))


def link_of(page: Reading) -> str:
    found = re.search(r'class="again" href="([^"]+)"', page.text)
    assert found
    return unescape(found[1])


@pytest.mark.parametrize(("task", "example"), posted, ids=example_id)
def test_every_task_gives_with_an_own_kit_what_it_gives_with_the_same_of_the_service(
    api: FlaskClient, task: Task, example: Example
) -> None:
    typed = {name: list(text) if isinstance(text, tuple) else text for name, text in example.typed.items()}
    plain = Reading(api.get(f"/tasks/{task.slug}", query_string=typed).text)
    own = ask(api, f"/tasks/{task.slug}", json.loads(demo_text()), **typed)
    assert figures(own) == figures(plain)


@pytest.mark.parametrize("task", [task for task in TASKS if task.photograph is None], ids=example_id)
def test_a_task_asked_with_a_kit_is_kept_by_no_cache(api: FlaskClient, task: Task) -> None:
    answer = post(api, f"/tasks/{task.slug}", kit=json.dumps(own_kit()))
    assert answer.headers["Cache-Control"] == "no-store"


def test_a_form_offers_the_parts_of_the_kit_and_takes_it_along(api: FlaskClient) -> None:
    page = Reading(post(api, SET_UP, kit_file=kit_file(own_kit())).text)
    assert "My 50 mm f/2" in page.text
    assert 'value="normal-50"' not in page.text
    held = next(each["value"] for each in page.controls if each.get("name") == "kit")
    assert json.loads(held) == own_kit()
    assert re.search(r'<form method="post" enctype="multipart/form-data" action="/tasks/set-up"', page.text)


def test_a_result_is_linked_to_with_the_parts_that_it_uses_alone(api: FlaskClient) -> None:
    page = ask(api, SET_UP, own_kit(), **REVERSED, drawn_width_mm="8", units="in")
    link = link_of(page)
    assert "enlarger" not in link
    assert "SSL-0050" not in link
    again = Reading(api.get(link).text)
    assert figures(again) == figures(page)
    assert "My 50 mm f/2 of the old screw mount" in again.text
    assert again.text.count("inches") == page.text.count("inches")


def test_drawings_and_the_printed_sheet_are_at_addresses_of_their_own(api: FlaskClient) -> None:
    page = ask(api, SET_UP, own_kit(), **REVERSED, drawn_width_mm="8", subject_depth_mm="1")
    assert len(page.pictures) == 3
    for picture in page.pictures:
        assert api.get(picture, headers={"Accept": "image/svg+xml"}).mimetype == "image/svg+xml"
    (sheet,) = (link for link in page.links if link.startswith("/v1/set-ups/sheet"))
    printed = api.get(sheet, headers={"Accept": "text/html"}).text
    for name in ("My 50 mm f/2 of the old screw mount", "My Reversing ring 49 mm", "My Tube, 16 mm", "My Field camera"):
        assert name in unescape(printed)


def test_what_is_estimated_of_an_own_lens_is_the_same_at_its_link(api: FlaskClient) -> None:
    kit = own_kit()
    kit["lenses"].append({"id": "bare-28", "name": "28 mm", "mount": "M42x1", "focal_length_mm": 28})
    page = ask(
        api, SET_UP, kit, camera="my-field-camera", lens="bare-28", reversed="yes", tube_mm="20", barrel_length_mm="40"
    )
    assert "estimated" in page.text
    again = Reading(api.get(link_of(page)).text)
    assert figures(again)[:5] == figures(page)[:5]


def test_a_search_goes_through_the_own_kit_and_says_that_no_link_holds_it(api: FlaskClient) -> None:
    page = ask(api, SEARCH, own_kit(), **SEEDS)
    assert "my-" in result_of(page)
    assert "No link can hold this result" in page.text
    assert 'class="again"' not in page.text
    for link in (link for link in page.links if link.startswith(f"{SET_UP}?")):
        assert 'class="faults"' not in api.get(link).text


def test_a_document_that_was_opened_names_parts_of_the_own_kit(api: FlaskClient) -> None:
    train = [
        {"element": "kit-part", "use": "my-normal-50", "reversed": True},
        {"element": "kit-part", "use": "my-tube-16"},
    ]
    document = json.dumps({"camera": {"use": "my-field-camera"}, "train": train})
    page = ask(api, SET_UP, own_kit(), document=document)
    assert "1. My 50 mm f/2 of the old screw mount" in page.text
    assert figures(page)
    again = Reading(api.get(link_of(page)).text)
    assert "1. My 50 mm f/2 of the old screw mount" in again.text
    assert figures(again) == figures(page)


def test_a_lens_that_was_typed_is_linked_to_without_any_kit(api: FlaskClient) -> None:
    page = ask(api, SET_UP, own_kit(), register_mm="44", reversed="yes", focal_length_mm="28", tube_mm="7")
    assert "kit" not in link_of(page)


def test_faults_of_a_form_stand_beside_the_own_kit(api: FlaskClient) -> None:
    page = ask(api, SET_UP, own_kit(), **{**REVERSED, "f_number": "wide"})
    assert 'class="faults"' in page.text
    assert "My 50 mm f/2" in page.text


@pytest.mark.parametrize("address", [SET_UP, SEARCH, "/kit"])
def test_more_than_a_kit_may_be_is_refused_before_it_is_read(api: FlaskClient, address: str) -> None:
    page = post(api, address, kit="x" * (3 * MOST_KIT_BYTES)).text
    assert "too large" in page
    assert len(page) < 100_000


def test_a_form_of_another_kind_is_refused(api: FlaskClient) -> None:
    answer = api.post(SET_UP, data={"kit": "{}"})
    assert 'role="alert"' in answer.text


@pytest.mark.parametrize("own", [False, True], ids=["kit of the service", "own kit"])
def test_a_set_up_that_was_found_opens_with_its_parts_by_their_names(api: FlaskClient, own: bool) -> None:
    typed = {name: text if own else text.removeprefix("my-") for name, text in SEEDS.items()}
    page = ask(api, SEARCH, own_kit(), **typed) if own else Reading(api.get(SEARCH, query_string=typed).text)
    links = [unescape(link) for link in page.links if link.startswith(f"{SET_UP}?")]
    assert links
    for link in links:
        opened = Reading(api.get(link).text)
        assert figures(opened)
        assert re.search(r"Part \d: (My )?(\d+ mm f|Zoom|Table)", opened.text)
