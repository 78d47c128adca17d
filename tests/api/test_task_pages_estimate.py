"""Task pages estimate what is not known of a lens, unless that is switched off, and tell figures with their ranges."""

import json
import re
from html import unescape
from urllib.parse import parse_qs, urlsplit

import pytest
from flask.testing import FlaskClient

from closeup_service.advice.estimate_remarks import narrow_ranges
from closeup_service.http.app import create_app
from closeup_service.pages.form import UNUSED
from closeup_service.running.settings import Settings
from closeup_service.schemas.kit import read_kit
from old_lenses import kit, lens
from page_reading import Reading, read, result_of

OLD = "/tasks/set-up?register_mm=44&reversed=yes&focal_length_mm=28&tube_mm=7"
LONG = "/tasks/set-up?register_mm=44&reversed=yes&focal_length_mm=135&tube_mm=7"
LIGHT = "/tasks/light?f_number=8&magnification=2&mounting=reversed&focal_length_mm=28"
FILL = (
    "/tasks/fill-the-frame?subject_width_mm=15&sensor=36x24&mounting=reversed&focal_length_mm=28&camera_register_mm=44"
)
SHARP = "/tasks/sharpness?f_number=8&magnification=2&sensor=36x24&mounting=reversed&focal_length_mm=28"
READING = "/reading/lenses-known-by-their-engravings"


def words_of(page: Reading) -> str:
    """What the result says, as it is read."""
    without_tags = re.sub(
        "<[^>]+>", "", re.sub('</(?:tr|th|td|p|dt|dd|li)>|<span class="basis">', " ", result_of(page))
    )
    return re.sub(r"\s+", " ", unescape(without_tags))


def ends(page: Reading, label: str) -> tuple[float, float]:
    """Ends of the range of a figure, without its unit."""
    found = re.search(
        rf"{label} about [^ ]+(?: [^ ]+)?, between (?:f/)?([\d.]+)[^ ]* and (?:f/)?([\d.]+)", words_of(page)
    )
    assert found, words_of(page)
    return float(found[1]), float(found[2])


def document_asked(page: Reading, path: str = "/v1/set-ups/evaluate") -> dict[str, object]:
    """Set-up that the page asks a resource for."""
    (link,) = (link for link in page.links if link.startswith(f"{path}?"))
    document: dict[str, object] = json.loads(parse_qs(urlsplit(link).query)["document"][0])
    return document


def test_the_first_question_is_answered_with_a_range(api: FlaskClient) -> None:
    page = read(api, OLD)
    # Documentation of the statistics: 1.48 to 2.23 without rings, 2.35 to 3.13 on 25 mm; 7 mm of rings add 7 / 28
    assert "Magnification about 2.1:1, between 1.7:1 and 2.5:1" in words_of(page)
    assert ends(page, "Working distance") == (57, 62)


def test_the_notice_follows_the_figures_says_why_and_leads_to_the_reading(api: FlaskClient) -> None:
    page = read(api, OLD)
    result = result_of(page)
    notice = result[result.index('class="notice"') : result.index("</div>", result.index('class="notice"'))]
    assert result.index('class="first"') < result.index('class="notice"')
    assert re.search(r"Estimated from \d+ published designs of prime lenses of single-lens reflex cameras: the", notice)
    assert narrow_ranges() in notice
    assert READING in page.links
    assert words_of(page).count("published designs of prime lenses") == 1
    folded = notice[notice.index("<details>") :]
    assert "Front principal plane of the lens of 28 mm" in folded
    assert "between 26 and 47 mm" in folded
    assert api.get(READING).status_code == 200


@pytest.mark.parametrize(
    ("address", "labels"),
    [
        (FILL, ("Extension", "Working distance")),
        (SHARP, ("Total depth of field", "Finest detail resolved")),
        (LIGHT, ("Effective f-number",)),
    ],
)
def test_the_other_tasks_estimate_too(api: FlaskClient, address: str, labels: tuple[str, ...]) -> None:
    page = read(api, address)
    for label in labels:
        low, high = ends(page, label)
        assert low < high
    assert UNUSED not in page.text


@pytest.mark.parametrize("address", [FILL, SHARP, LIGHT])
def test_nothing_is_estimated_where_that_is_switched_off(api: FlaskClient, address: str) -> None:
    page = read(api, f"{address}&estimate=no")
    assert "estimate_unknown" not in page.text
    assert 'class="notice"' not in page.text
    assert 'value="no" selected' in page.text


def test_a_set_up_that_misses_a_plane_is_refused_without_estimates(api: FlaskClient) -> None:
    page = read(api, f"{OLD}&estimate=no")
    assert 'id="result"' not in page.text
    assert "front principal plane" in page.shown


def test_the_clean_link_holds_the_choice_only_where_it_is_no(api: FlaskClient) -> None:
    answer = api.get(f"{LIGHT}&estimate=yes")
    assert (answer.status_code, answer.headers["Location"]) == (303, LIGHT)
    assert api.get(f"{LIGHT}&estimate=").headers["Location"] == LIGHT
    assert api.get(f"{LIGHT}&estimate=no").status_code == 200


def test_a_lens_of_which_all_is_known_is_asked_for_without_estimates(api: FlaskClient) -> None:
    known = "front_principal_plane_mm=21&principal_plane_separation_mm=9&pupil_magnification=1.3&lens_register_mm=45.5"
    page = read(api, f"{OLD}&{known}")
    assert "estimate_unknown" not in document_asked(page)
    assert ", between" not in words_of(page)


def test_figures_that_such_lenses_differ_in_too_much_say_measure_first(api: FlaskClient) -> None:
    told = words_of(read(api, LONG))
    assert "Magnification measure first" in told
    assert "Working distance measure first" in told
    assert "Photograph a ruler once" in told
    assert "Length found" not in told
    assert "Depth of field measure first" not in told, "it wants an f-number, which no ruler tells"


def test_what_stands_on_the_barrel_and_what_a_rule_tells_narrow_the_range(api: FlaskClient) -> None:
    plain = ends(read(api, OLD), "Magnification")
    page = read(api, f"{OLD}&lens_class=slr-prime&widest_f_number=2.8&barrel_length_mm=47&entrance_pupil_depth_mm=23")
    low, high = ends(page, "Magnification")
    assert plain[0] < low < high < plain[1]
    assert "Lens class prime lenses of single-lens reflex cameras given" in words_of(page)
    assert UNUSED not in page.text


def test_one_photograph_of_a_ruler_leaves_a_fifth_and_asks_for_no_more(api: FlaskClient) -> None:
    plain = ends(read(api, OLD), "Magnification")
    page = read(api, f"{OLD}&measured_extension_mm=0&measured_magnification=36:19")
    low, high = ends(page, "Magnification")
    assert (high - low) < (plain[1] - plain[0]) / 4
    assert low < 36 / 19 + 7 / 28 < high
    assert narrow_ranges() not in page.text
    lens = document_asked(page)["train"][0]  # type: ignore[index]
    (frame,) = lens["measured"]
    assert (frame["mounting"], frame["camera_register_mm"]) == ("reversed", 44)


def test_a_ruler_counts_with_the_camera_of_the_kit(api: FlaskClient) -> None:
    by_kit = OLD.replace("register_mm=44", "camera=field-camera")
    page = read(api, f"{by_kit}&measured_extension_mm=0&measured_magnification=1")
    lens = document_asked(page)["train"][0]  # type: ignore[index]
    assert lens["measured"][0]["camera_register_mm"] == 18


@pytest.mark.parametrize(
    ("address", "field"),
    [
        (f"{OLD}&measured_magnification=2", "part1_measured_extension_mm"),
        (f"{LIGHT}&measured_extension_mm=0&measured_magnification=2", "camera_register_mm"),
        (f"{OLD}&zoom_from_mm=70", "part1_zoom_to_mm"),
        (f"{LIGHT}&zoom_from_mm=70&zoom_to_mm=28", "zoom_from_mm"),
    ],
)
def test_what_is_missing_of_a_reading_stands_at_its_field(api: FlaskClient, address: str, field: str) -> None:
    page = read(api, address)
    assert f'id="{field}-fault"' in page.text
    assert 'id="result"' not in page.text


@pytest.mark.parametrize("known", ["widest_f_number=2.8", "lens_class=macro", "barrel_length_mm=40"])
def test_what_is_known_of_a_lens_counts_only_where_it_is_estimated(api: FlaskClient, known: str) -> None:
    for address in (f"{LIGHT}&estimate=no&{known}", f"/tasks/light?f_number=8&magnification=2&{known}"):
        assert UNUSED in result_of(read(api, address)), address


def test_a_document_is_estimated_unless_it_says_no(api: FlaskClient) -> None:
    document = {
        "camera": {"register_mm": 44},
        "train": [{"element": "lens", "focal_length_mm": 28, "reversed": True}, {"element": "spacer", "length_mm": 7}],
    }
    page = read(api, f"/tasks/set-up?document={json.dumps(document)}")
    assert ends(page, "Magnification") == (1.7, 2.5)
    refused = read(api, f"/tasks/set-up?document={json.dumps({**document, 'estimate_unknown': False})}")
    assert 'id="result"' not in refused.text
    changed = api.get("/tasks/set-up", query_string={"document": json.dumps(document), "estimate": "no"})
    assert "estimate=no" in changed.headers["Location"]


def test_the_command_line_of_a_page_writes_a_choice_as_an_option(api: FlaskClient) -> None:
    page = read(api, f"{LIGHT}&working=yes")
    command = next(text for text in re.findall("<code>(closeup [^<]*)</code>", page.text))
    assert command.endswith("--estimate-unknown --steps")


def test_lengths_of_a_range_stand_in_inches_too(api: FlaskClient) -> None:
    assert "2.24 in to 2.44 in" in words_of(read(api, f"{OLD}&units=in"))


def test_an_exposure_rests_on_the_same_lens(api: FlaskClient) -> None:
    frame = "unknown=exposure_time_s&before_magnification=1&before_exposure_time_s=1/60"
    page = read(api, f"{LIGHT}&light=continuous&{frame}".replace("&light=continuous", ""))
    assert "between" in words_of(page).partition("New setting")[2]
    assert UNUSED not in page.text


def test_labels_of_the_group_are_short_enough_for_a_phone(api: FlaskClient) -> None:
    page = read(api, OLD)
    group = page.text[page.text.index("More about this part") : page.text.index('id="part-2"')]
    labels = re.findall(r'<label for="[^"]+">([^<]+)</label>', group)
    assert len(labels) >= 12
    assert max(map(len, labels)) <= 40


def test_the_register_of_a_reversed_lens_is_assumed_where_all_else_is_known(api: FlaskClient) -> None:
    page = read(api, f"{FILL}&front_principal_plane_mm=30&principal_plane_separation_mm=20")
    assert "Lens register (flange focal distance) 45.5 mm assumed" in words_of(page)
    # 45.5 + 28 / 2.4: register of the lens and focal length over magnification
    assert "Working distance 57.2 mm" in words_of(page)


def test_a_length_that_no_lens_tells_is_measured_first_and_charted_nowhere(api: FlaskClient) -> None:
    unmounted = OLD.replace("tube_mm=7", "f_number=8&sensor=36x24&target_magnification=2.5&lens_class=view-enlarging")
    page = read(api, unmounted)
    assert "Length found measure first" in words_of(page)
    assert not any("charts" in picture for picture in page.pictures)


def test_a_length_is_found_with_its_range(api: FlaskClient) -> None:
    page = read(api, OLD.replace("tube_mm=7", "target_magnification=2.5"))
    low, high = ends(page, "Length found")
    assert 5 < low < 18 < high < 31
    assert "Magnification 2.5:1" in words_of(page)


def table_of(api: FlaskClient, caption: str) -> list[list[str]]:
    """Rows of a table of the reading."""
    text = api.get(READING).text
    table = text[text.index(caption) :].partition("</table>")[0]
    rows = re.findall('<tr><th scope="row".*?</tr>', table)
    return [[unescape(cell) for cell in re.findall(r">([^<]+)</t[hd]>", row)] for row in rows]


def test_the_reading_tells_how_far_each_reading_narrows_the_range(api: FlaskClient) -> None:
    rows = table_of(api, "Magnification, by what is known")
    found = [[float(end) for end in re.findall(r"([\d.]+):1", row[2])] for row in rows]
    widths = [high - low for low, high in found]
    plain, *narrowed = widths
    assert all(width < plain for width in narrowed)
    assert widths[-1] == min(widths)
    assert widths[-1] < plain / 4


def test_the_reading_counts_designs_and_patents_of_every_kind(api: FlaskClient) -> None:
    rows = table_of(api, "Kinds of lenses")
    assert len(rows) == 8
    assert ["Lenses of rangefinder cameras", "14 to 140 mm", "21", "21"] in rows
    assert all(int(patents) <= int(designs) for *_, designs, patents in rows)


def test_a_search_tells_ranges_of_lenses_that_lack_data_unless_told_not_to() -> None:
    studio = create_app(Settings(kit=read_kit(kit(lens("old", 28)), "file"))).test_client()
    address = "/tasks/find-set-up?subject_width_mm=30&camera=body"
    found = read(studio, address)
    assert re.search(r"about 1[.:][\d.:]+, between [\d.:]+ and [\d.:]+", words_of(found))
    assert any("estimate_unknown" in link for link in found.links)
    assert "between" not in words_of(read(studio, f"{address}&estimate=no"))
