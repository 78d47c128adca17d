"""A set-up that came as a document: its fields show what it states, what is changed counts, and nothing is left out unsaid."""

import json
import re
from html import unescape
from typing import Any
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest
from flask.testing import FlaskClient

from page_reading import Reading, read, result_of

SET_UP = "/tasks/set-up"
TUBED: dict[str, Any] = {
    "camera": {"register_mm": 18, "sensor": "23.5x15.6"},
    "train": [
        {"element": "close-up-lens", "power_dpt": 2},
        {"element": "spacer", "length_mm": 3.5},
        {
            "element": "lens",
            "focal_length_mm": 50,
            "f_number": 8,
            "register_mm": 18,
            "front_principal_plane_mm": 27,
            "reversed": False,
        },
        {"element": "spacer", "length_mm": 20},
    ],
}
"""A ring stands before the lens: the form for parts could not say so."""


def opened(document: Any, **more: str) -> str:
    return f"{SET_UP}?{urlencode({'document': json.dumps(document), **more})}"


def fields_of(page: Reading) -> dict[str, str]:
    """What the form would send: texts, and what is chosen of each list."""
    form = page.text[page.text.index('aria-labelledby="asked"') :]
    form = form[: form.index("</form>")]
    texts = {unescape(name): unescape(text) for name, text in re.findall(r'name="([^"]+)" value="([^"]*)"', form)}
    lists = re.findall(r'<select [^>]*name="([^"]+)"(.*?)</select>', form, re.DOTALL)
    chosen = {name: re.findall(r'value="([^"]*)" selected', options) for name, options in lists}
    texts.pop("working", None)
    return texts | {name: found[0] if found else "" for name, found in chosen.items()}


def submitted(api: FlaskClient, page: Reading, **changed: str) -> tuple[Reading, Any]:
    """The page that comes of the form with some fields changed, and the document that its address holds."""
    answer = api.get(SET_UP, query_string=fields_of(page) | changed)
    assert answer.status_code == 303
    link = answer.headers["Location"]
    sent = parse_qs(urlsplit(link).query)
    return read(api, link), json.loads(sent["document"][0])


def stands(page: Reading) -> str:
    return page.shown[page.shown.index("What the result is based on") : page.shown.index("Keep this result")]


def figure(page: Reading, label: str) -> str:
    found = re.search(rf'<dt>{label}</dt><dd><span class="figure">([^<]*)', page.text)
    assert found
    return found[1]


def test_what_is_changed_in_a_set_up_from_a_search_is_used(api: FlaskClient) -> None:
    found = read(api, "/tasks/find-set-up?subject_width_mm=12&camera=field-camera&best=1")
    link = next(link for link in found.links if link.startswith(f"{SET_UP}?document="))
    page = read(api, link)
    before = json.loads(fields_of(page)["document"])
    place = next(at for at, part in enumerate(before["train"]) if "f_number" in part)
    result, document = submitted(api, page, **{f"/train/{place}/f_number": "f/4"})
    before["train"][place]["f_number"] = 4
    assert document == before
    assert f"Marked f-number of part {place + 1} f/4 given" in stands(result)
    assert figure(result, "Effective f-number") != figure(page, "Effective f-number")
    asked = next(link for link in result.links if link.startswith("/v1/set-ups/evaluate?"))
    assert json.loads(parse_qs(urlsplit(asked).query)["document"][0]) == document


def test_every_figure_that_stands_as_given_is_one_of_the_document(api: FlaskClient) -> None:
    page = read(api, opened(TUBED))
    for said in ("Focal length of part 3 50 mm", "Power of part 1 2 dpt", "Length of part 4 20 mm"):
        assert f"{said} given in the document" in stands(page)
    assert "Sensor 23.5 × 15.6 mm from the catalogue" in stands(page)


def test_a_form_sent_as_it_stands_keeps_the_document(api: FlaskClient) -> None:
    _, document = submitted(api, read(api, opened(TUBED)))
    assert document == TUBED


def test_what_is_blanked_is_no_longer_in_the_document(api: FlaskClient) -> None:
    before = read(api, opened(TUBED))
    page, document = submitted(api, before, **{"/train/2/f_number": " "})
    assert "f_number" not in document["train"][2]
    assert "Marked f-number of part 3" in stands(before)
    assert "Marked f-number of part 3" not in stands(page)


def test_what_the_document_left_out_can_be_added(api: FlaskClient) -> None:
    turned = {"/train/2/reversed": "yes", "/subject_depth_mm": "1,5 mm"}
    _, document = submitted(api, read(api, opened(TUBED)), **turned)
    assert document["train"][2]["reversed"] is True
    assert document["subject_depth_mm"] == 1.5


def test_fields_of_the_form_for_parts_do_not_pass_for_given_beside_a_document(api: FlaskClient) -> None:
    page = read(api, opened(TUBED, f_number="4", focal_length_mm="90"))
    assert "does not count beside a set-up that came as a document" in page.text
    assert 'href="#document"' in page.text
    assert 'id="result"' not in page.text
    assert 'name="f_number"' not in page.text


def test_only_what_can_be_changed_is_offered(api: FlaskClient) -> None:
    names = {name for name in fields_of(read(api, opened(TUBED))) if name.startswith("/")}
    assert {"/train/1/length_mm", "/train/2/focusing_extension_mm", "/camera/sensor"} <= names
    assert not {"/train/0/element", "/train/1/f_number", "/train/3/clear_diameter_mm"} & names


def test_an_open_length_is_not_offered_and_its_target_is(api: FlaskClient) -> None:
    train = [*TUBED["train"][:3], {"element": "spacer"}]
    asked = {**TUBED, "train": train, "solve": {"unknown": "/train/3/length_mm", "target": {"magnification": 1}}}
    page = read(api, opened(asked))
    assert "/train/3/length_mm" not in fields_of(page)
    result, document = submitted(api, page, **{"/solve/target/magnification": "1:2"})
    assert document["solve"]["target"] == {"magnification": 0.5}
    assert "1:2" in result_of(result)


def test_what_cannot_be_read_or_is_refused_stands_at_its_field_with_the_rest_kept(api: FlaskClient) -> None:
    sent = fields_of(read(api, opened(TUBED))) | {"/train/2/f_number": "wide"}
    page = Reading(api.get(SET_UP, query_string={name: text for name, text in sent.items() if text}).text)
    assert 'id="train-2-f_number-fault"' in page.text
    assert fields_of(page)["/train/2/focal_length_mm"] == "50"
    refused = read(api, opened({**TUBED, "train": [{"element": "lens", "focal_length_mm": 0, "register_mm": 18}]}))
    assert 'id="train-0-focal_length_mm-fault"' in refused.text


def test_a_change_alone_keeps_what_else_the_document_states_though_it_cannot_be_read(api: FlaskClient) -> None:
    page = read(api, opened(TUBED, **{"/train/2/f_number": "wide"}))
    assert fields_of(page)["/train/2/focal_length_mm"] == "50"


def test_what_is_refused_of_no_field_names_its_place_and_stands_at_the_document(api: FlaskClient) -> None:
    page = read(api, opened({**TUBED, "colour": 1}))
    assert 'href="#document"' in page.text
    assert "Colour: Unknown" in page.text


@pytest.mark.parametrize("document", [{}, {"camera": 5, "train": 5}, {"camera": {}, "train": [5, {}, {"element": 1}]}])
def test_documents_of_any_shape_are_answered(api: FlaskClient, document: Any) -> None:
    page = read(api, opened(document))
    assert 'class="faults"' in page.text


def test_a_document_too_long_for_fields_says_so(api: FlaskClient) -> None:
    spacer = {"element": "spacer", "length_mm": 1.234567890123456, "clear_diameter_mm": 30.12345678901234}
    page = read(api, opened({**TUBED, "train": [TUBED["train"][2], *[spacer] * 31]}))
    assert "too long to be changed field by field" in page.text
    assert not any(name.startswith("/") for name in fields_of(page))
    assert 'id="result"' in page.text


def test_the_subject_is_still_drawn_into_the_frame_of_a_document(api: FlaskClient) -> None:
    page, _ = submitted(api, read(api, opened(TUBED)), drawn_width_mm="10")
    assert any(picture.startswith("/v1/set-ups/frame-drawing") for picture in page.pictures)
