"""Two results side by side: from their addresses alone, with differences in words and numbers."""

import re
from math import sqrt
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest
from flask.testing import FlaskClient
from hypothesis import assume, given
from hypothesis import strategies as st

from closeup_service.pages.comparing.differences import difference, tell_difference
from closeup_service.pages.comparing.side import LONGEST_ADDRESS
from closeup_service.pages.results import Row
from page_reading import DRAWN, EXAMPLES, Reading, example_address, read

FILL = "/tasks/fill-the-frame?subject_width_mm=12&sensor=23.5x15.6"
OTHER_STOP = DRAWN.replace("f_number=8", "f_number=16")
DOCUMENT = (
    '/tasks/set-up?document={"camera":{"register_mm":18,"sensor":"36x24"},"train":[{"element":"lens","focal_length_mm":50,'
    '"f_number":8,"register_mm":44},{"element":"spacer","length_mm":40}]}'
)


def compared(api: FlaskClient, first: str, second: str = "") -> Reading:
    return read(api, f"/compare?{urlencode({'a': first, 'b': second})}")


def lines(page: Reading) -> dict[str, tuple[str, ...]]:
    """Rows of the tables: what is compared, and the cells beside it, without tags."""
    rows = re.findall(r'<tr><th scope="row">(.*?)</th>(.*?)</tr>', page.text)
    cells = {label: re.findall(r"<td[^>]*>(.*?)</td>", rest) for label, rest in rows}
    return {label: tuple(re.sub(r"<[^>]+>", "", each) for each in found) for label, found in cells.items()}


def test_another_aperture_is_told_in_stops_and_lengths(api: FlaskClient) -> None:
    page = compared(api, DRAWN, OTHER_STOP)
    told = lines(page)
    assert told["Effective f-number"][-1] == "2 stops smaller opening"
    assert re.fullmatch(r"[0-9.]+ mm more", told["Total depth of field"][-1])
    assert told["Marked f-number"][:2] == ("First: f/8 given", "Second: f/16 given")
    assert "What a set-up gives: f/16" in page.shown
    assert "Magnification" not in told
    assert re.search(r"The same in both \([1-9][0-9]*\)", page.shown)


def test_the_other_way_round_every_difference_turns_round(api: FlaskClient) -> None:
    told = lines(compared(api, OTHER_STOP, DRAWN))
    assert told["Effective f-number"][-1] == "2 stops larger opening"
    assert told["Total depth of field"][-1].endswith("mm less")


def test_the_numbers_are_those_of_the_pages(api: FlaskClient) -> None:
    first, second, _ = lines(compared(api, DRAWN, OTHER_STOP))["Total depth of field"]
    assert first.removeprefix("First: ") in read(api, DRAWN).shown
    assert second.removeprefix("Second: ") in read(api, OTHER_STOP).shown


def test_cautions_for_people_stay_in_view(api: FlaskClient) -> None:
    flash = next(example_address(*each) for each in EXAMPLES if "guide number" in each[1].summary)
    page = compared(api, DRAWN, flash)
    seen = page.text.partition('id="cautions"')[2].partition("<details>")[0]
    assert {"People", "Animals"} <= set(re.findall(r"<li><strong>(\w+)", seen))


@pytest.mark.parametrize("around", ["https://club.example/closeup{}", " {} ", "{}#result"])
def test_addresses_are_taken_as_they_are_copied(api: FlaskClient, around: str) -> None:
    assert lines(compared(api, around.format(DRAWN), OTHER_STOP)) == lines(compared(api, DRAWN, OTHER_STOP))


def test_a_document_is_compared_with_a_change_of_it(api: FlaskClient) -> None:
    changed = f"{DOCUMENT}&{urlencode({'/train/0/f_number': '11'})}"
    assert "stop smaller opening" in lines(compared(api, DOCUMENT, changed))["Effective f-number"][-1]


def test_results_of_different_tasks_are_compared_where_they_match(api: FlaskClient) -> None:
    page = compared(api, FILL, DRAWN)
    assert "different tasks" in page.shown
    assert "In the second result alone" in page.shown


def test_results_without_a_common_figure_say_so(api: FlaskClient) -> None:
    ruler = next(example_address(task, each) for task, each in EXAMPLES if task.slug == "ruler")
    light = next(example_address(task, each) for task, each in EXAMPLES if task.slug == "light")
    assert "nothing can be compared" in compared(api, ruler, light).shown or lines(compared(api, ruler, light))


def test_the_same_result_differs_nowhere(api: FlaskClient) -> None:
    page = compared(api, FILL, FILL)
    assert "Every figure that both results have is the same." in page.shown
    assert lines(page) == {}


@pytest.mark.parametrize(
    ("second", "told"),
    [
        ("https://other.example/", "not the address of a result"),
        ("/tasks/nothing?f_number=8", "not the address of a result"),
        ("http://[", "not the address of a result"),
        ("/tasks/light", "holds no values"),
        ("/tasks/fill-the-frame?subject_width_mm=wide", "is not a number"),
        (f"/tasks/light?{'x' * LONGEST_ADDRESS}", "can be compared"),
        ("/tasks/light?" + "&".join(f"{n}=" for n in range(450)), "not the address of a result"),
    ],
)
def test_what_cannot_be_compared_is_said(api: FlaskClient, second: str, told: str) -> None:
    answer = api.get(f"/compare?{urlencode({'a': FILL, 'b': second})}")
    page = Reading(answer.text)
    assert told in page.shown
    assert lines(page) == {}
    assert answer.headers["Cache-Control"] == "no-store"


def test_a_result_leads_to_its_form_and_the_change_to_both(api: FlaskClient) -> None:
    (link,) = (each for each in read(api, FILL).links if each.startswith("/compare"))
    page = read(api, link)
    assert ("subject_width_mm", "12") in {(each["name"], each.get("value", "")) for each in page.controls}
    sent = {"a": FILL, "subject_width_mm": "24", "subject_height_mm": "", "sensor": "23.5x15.6"}
    answer = api.get(f"/compare?{urlencode(sent)}")
    assert answer.status_code == 303
    both = parse_qs(urlsplit(answer.headers["Location"]).query)
    assert both == {"a": [FILL], "b": [FILL.replace("=12", "=24")]}
    assert lines(read(api, answer.headers["Location"]))["Magnification"][-1] == "0.5 times as large"


def test_the_blank_page_asks_for_two_addresses(api: FlaskClient) -> None:
    page = read(api, "/compare")
    assert {each["id"] for each in page.controls} == {"a", "b"} <= page.labelled
    assert "photograph cannot be compared" in page.shown


def test_the_sides_can_be_swapped(api: FlaskClient) -> None:
    (swap,) = (each for each in compared(api, DRAWN, OTHER_STOP).links if each.startswith("/compare"))
    assert parse_qs(urlsplit(swap.replace("&amp;", "&")).query) == {"a": [OTHER_STOP], "b": [DRAWN]}


def test_every_example_can_be_compared_with_itself(api: FlaskClient) -> None:
    for task, example in EXAMPLES:
        address = example_address(task, example)
        if task.slug != "find-set-up":
            assert lines(compared(api, address, address)) == {}, address


def test_estimates_differ_about(api: FlaskClient) -> None:
    known = Row("total_mm", "depth", "1.2 mm", number=1.2, unit="mm")
    estimated = Row("total_mm", "depth", "about 1.5 mm", number=1.5, unit="mm", between="between 1.3 mm and 1.8 mm")
    assert tell_difference(known, estimated) == "about 0.3 mm more"


@pytest.mark.parametrize(
    ("before", "after", "name", "unit", "told"),
    [
        (1.5, 2.0, "magnification", "", "1.33 times as large"),
        (5.6, 8.0, "f_number", "", "1 stop smaller opening"),
        (0.01, 0.02, "exposure_time_s", "s", "1 stop longer"),
        (1 / 8, 1 / 32, "flash_power_fraction", "", "2 stops less"),
        (100.0, 400.0, "iso", "", "2 stops more"),
        (1.0, 3.0, "light_loss_stops", "stops", "2 stops more"),
        (40.0, 36.8, "working_distance_mm", "mm", "3.2 mm less"),
        (0.25, 0.4, "nyquist_contrast", "", "15 percentage points more"),
        (2.0, 4.0, "exposure_factor", "", "2 times as large"),
        (0.0, 1.0, "magnification", "", "1 more"),
    ],
)
def test_differences_are_said_in_the_way_of_the_quantity(
    before: float, after: float, name: str, unit: str, told: str
) -> None:
    assert difference(before, after, name, unit) == told


@given(st.floats(0.7, 64), st.floats(0.7, 64))
def test_a_smaller_opening_one_way_is_a_larger_one_the_other_way(before: float, after: float) -> None:
    assume(abs(before / after - 1) > 1e-3)
    one, other = (difference(*pair, "f_number", "") for pair in ((before, after), (after, before)))
    assert one.replace("smaller", "larger") == other.replace("smaller", "larger")
    assert ("smaller" in one) is (after > before)


@given(st.floats(1, 32))
def test_two_stops_halve_the_opening(number: float) -> None:
    assert difference(number, number * sqrt(2) ** 2, "f_number", "") == "2 stops smaller opening"
