"""The bench of a set-up without a script: every button, and the addresses that it leads to."""

import re
from urllib.parse import parse_qsl, urlencode, urlsplit

import pytest
from flask.testing import FlaskClient

from page_reading import Reading, read, result_of

SET_UP = "/tasks/set-up"
BELLOWS = {
    "part1": "wide-35",
    "part1_f_number": "f/8",
    "part1_reversed": "yes",
    "part2": "step-up-49-52",
    "part3": "reversing-52-house",
    "part4": "table-bellows",
    "part4_length_mm": "60",
    "camera": "field-camera",
}
TYPED = {
    "part1": "typed_lens",
    "part1_focal_length_mm": "50 mm",
    "part1_f_number": "5,6",
    "part1_reversed": "yes",
    "register_mm": "44",
    "sensor": "36x24",
}


def form_of(page: Reading) -> list[tuple[str, str]]:
    """What the form sends as it stands, without a script: blanks and hidden fields too."""
    form = page.text[page.text.index('aria-labelledby="asked"') :]
    form = form[: form.index("</form>")]
    sent = re.findall(r'<input type="(?:text|hidden)"[^>]*? name="([^"]+)" value="([^"]*)"', form)
    sent += re.findall(r'<input type="checkbox"[^>]*? name="([^"]+)" value="([^"]*)" checked', form)
    for name, options in re.findall(r'<select [^>]*?name="([^"]+)"[^>]*>(.*?)</select>', form, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', options)
        sent.append((name, chosen[1] if chosen else ""))
    return sent


def pressed(api: FlaskClient, typed: dict[str, str], **changed: str) -> tuple[dict[str, str], str]:
    """What the address holds that a button of the form leads to, and where it looks."""
    sent = dict(form_of(read(api, f"{SET_UP}?{urlencode(typed)}"))) | changed
    answer = api.get(SET_UP, query_string=sent)
    assert answer.status_code == 303
    link = urlsplit(answer.headers["Location"])
    assert api.get(f"{link.path}?{link.query}").status_code == 200
    return dict(parse_qsl(link.query)), link.fragment


def uses(typed: dict[str, str]) -> list[str]:
    return [typed[name] for name in sorted(typed) if re.fullmatch(r"part\d", name)]


def test_a_form_sent_as_it_stands_leads_to_its_own_address(api: FlaskClient) -> None:
    assert pressed(api, BELLOWS)[0] == BELLOWS
    assert pressed(api, TYPED)[0] == TYPED


def test_parts_stand_as_cards_in_their_order_and_the_camera_last(api: FlaskClient) -> None:
    page = read(api, f"{SET_UP}?{urlencode(BELLOWS)}")
    titles = re.findall(r"<legend>([^<]+)</legend>", page.text)
    assert titles[:5] == [
        "1. 35 mm f/2.8 of the old screw mount, reversed",
        "2. Step-up ring 49 to 52 mm",
        "3. Reversing ring 52 mm for the bellows",
        "4. Table bellows",
        "Camera",
    ]


def test_a_part_is_removed_with_its_data(api: FlaskClient) -> None:
    typed, look = pressed(api, BELLOWS, do="remove-1")
    assert uses(typed) == ["step-up-49-52", "reversing-52-house", "table-bellows"]
    assert typed["part3_length_mm"] == "60"
    assert not any(name.endswith("f_number") for name in typed)
    assert look == "part-1"


def test_the_last_part_can_be_removed_too(api: FlaskClient) -> None:
    answer = api.get(SET_UP, query_string=TYPED | {"do": "remove-1"})
    assert answer.headers["Location"] == f"{SET_UP}?register_mm=44&sensor=36x24"


def test_a_lens_is_turned_round_and_back(api: FlaskClient) -> None:
    typed, _ = pressed(api, BELLOWS, do="turn-1")
    assert "part1_reversed" not in typed
    assert pressed(api, typed, do="turn-1")[0] == BELLOWS


@pytest.mark.parametrize(
    ("button", "order", "look"),
    [
        ("up-2", ["step-up-49-52", "wide-35", "reversing-52-house", "table-bellows"], "part-1"),
        ("down-3", ["wide-35", "step-up-49-52", "table-bellows", "reversing-52-house"], "part-4"),
        ("up-1", ["wide-35", "step-up-49-52", "reversing-52-house", "table-bellows"], "part-1"),
        ("down-4", ["wide-35", "step-up-49-52", "reversing-52-house", "table-bellows"], "part-4"),
    ],
)
def test_a_part_is_moved_with_its_data(api: FlaskClient, button: str, order: list[str], look: str) -> None:
    typed, looked = pressed(api, BELLOWS, do=button)
    assert uses(typed) == order
    assert typed[f"part{order.index('wide-35') + 1}_f_number"] == "f/8"
    assert typed[f"part{order.index('table-bellows') + 1}_length_mm"] == "60"
    assert looked == look


@pytest.mark.parametrize(
    ("added", "place"),
    [
        ("close-up-2", 0),
        ("infinity-5", 0),
        ("typed_close-up-lens", 0),
        ("tube-16", 1),
        ("typed_spacer", 1),
        ("converter-14", 2),
        ("typed_teleconverter", 2),
        ("normal-50", 1),
    ],
)
def test_a_part_is_added_where_such_parts_stand(api: FlaskClient, added: str, place: int) -> None:
    before = {"part1": "wide-35", "part2": "converter-14", "camera": "field-camera"}
    typed, look = pressed(api, before, add=added, do="add")
    order = ["wide-35", "converter-14"]
    order.insert(place, added)
    assert uses(typed) == order
    assert look == f"part-{place + 1}"
    assert pressed(api, before, add=added)[0] == typed


def test_a_part_is_exchanged_and_data_that_both_have_are_kept(api: FlaskClient) -> None:
    typed, _ = pressed(api, BELLOWS, part1="normal-50")
    assert typed == BELLOWS | {"part1": "normal-50"}
    other, _ = pressed(api, BELLOWS, part1="tube-16")
    assert not [name for name in other if name.startswith("part1_")]


def test_an_address_with_data_that_a_part_does_not_have_says_so(api: FlaskClient) -> None:
    page = read(api, f"{SET_UP}?{urlencode(TYPED | {'part2': 'tube-16', 'part2_f_number': '4'})}")
    assert 'id="part2_f_number-fault"' in page.text


def test_the_length_to_find_moves_with_its_part(api: FlaskClient) -> None:
    asked = TYPED | {"find": "part1_focusing_extension_mm", "target_magnification": "1.5", "part2": "typed_spacer"}
    typed, _ = pressed(api, asked | {"part2_length_mm": "5"}, do="down-1")
    assert typed["find"] == "part2_focusing_extension_mm"


def test_only_a_length_that_is_not_the_blank_one_is_named(api: FlaskClient) -> None:
    asked = TYPED | {"part2": "typed_spacer", "target_magnification": "3", "find": "part2_length_mm"}
    assert "find" not in api.get(SET_UP, query_string=asked).headers["Location"]


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        (TYPED | {"part2": "typed_spacer"}, "part2_length_mm"),
        (TYPED | {"part2": "table-bellows"}, "part2_length_mm"),
        (TYPED | {"target_magnification": "2"}, "target_magnification"),
        (TYPED | {"part2": "typed_spacer", "part3": "typed_spacer", "target_magnification": "2"}, "find"),
        (TYPED | {"part2": "typed_spacer", "target_magnification": "2", "find": "part9_length_mm"}, "find"),
        (TYPED | {"part3_length_mm": "2"}, "part2"),
        (TYPED | {"part2": "no-such-part"}, "part2"),
        ({"camera": "field-camera"}, "part1"),
        (TYPED | {"camera": "field-camera"}, "register_mm"),
    ],
)
def test_what_is_missing_or_said_twice_is_a_fault_at_its_field(
    api: FlaskClient, typed: dict[str, str], field: str
) -> None:
    page = read(api, f"{SET_UP}?{urlencode(typed)}")
    assert f'id="{field}-fault"' in page.text
    assert 'id="result"' not in page.text


def test_how_far_to_draw_out_the_bellows_for_a_seed(api: FlaskClient) -> None:
    page = read(api, f"{SET_UP}?{urlencode(TYPED | {'part2': 'typed_spacer', 'target_subject_width_mm': '6 mm'})}")
    assert "6:1" in result_of(page)
    assert re.search(r"Length found.{0,40}mm", re.sub("<[^>]+>", " ", result_of(page)))


def test_numbers_of_parts_close_their_gaps(api: FlaskClient) -> None:
    answer = api.get(f"{SET_UP}?part2=typed_lens&part2_focal_length_mm=50&part7=tube-16&camera=field-camera")
    assert answer.headers["Location"].endswith(
        "?part1=typed_lens&part1_focal_length_mm=50&part2=tube-16&camera=field-camera"
    )


def test_an_address_of_the_first_release_gives_the_same_parts(api: FlaskClient) -> None:
    former = (
        "camera=field-camera&lens=wide-35&reversed=yes&f_number=f/8&part=reversing-52-house&part=step-up-49-52"
        "&bellows=table-bellows&bellows_mm=60"
    )
    link = api.get(f"{SET_UP}?{former}").headers["Location"]
    assert dict(parse_qsl(urlsplit(link).query)) == BELLOWS


def test_bellows_and_apertures_have_sliders_that_send_nothing(api: FlaskClient) -> None:
    text = read(api, f"{SET_UP}?{urlencode(BELLOWS)}").text
    slides = re.findall(r'<input type="range"[^>]*>', text)
    assert len(slides) == 2
    assert all(" name=" not in slide and " hidden" in slide for slide in slides)
    assert 'min="38" max="165"' in slides[1]
    assert 'data-marks="2.8 ' in slides[0]


def test_the_first_button_of_the_form_changes_no_part(api: FlaskClient) -> None:
    text = read(api, f"{SET_UP}?{urlencode(BELLOWS)}").text
    first = re.search(r"<button[^>]*>", text)
    assert first
    assert "name=" not in first[0]


@pytest.mark.parametrize("button", ["remove-9", "turn-x", "fly-1", "remove-0", "up-99"])
def test_buttons_that_no_form_has_do_nothing(api: FlaskClient, button: str) -> None:
    assert pressed(api, BELLOWS, do=button)[0] == BELLOWS
