"""Results call the parts of a set-up as people do: by what they are, and those of the kit as the kit calls them."""

import re

from flask.testing import FlaskClient

from closeup_service.schemas.kit import demo_kit
from html_pages import Page, read_page

OLD = (
    "/tasks/set-up?register_mm=44&sensor=36x24&part1=typed_lens&part1_reversed=yes&part2=typed_spacer&part2_length_mm=7"
)
PAIR = (
    "/tasks/set-up?register_mm=44&sensor=36x24&part1=typed_lens&part1_focal_length_mm=50&part1_reversed=yes"
    "&part2=typed_lens&part2_focal_length_mm=50&part3=typed_spacer&part3_length_mm=7"
)
SEARCH = "/tasks/find-set-up?magnification=2:1&camera=field-camera"
NUMBERED = re.compile(r"\bpart \d", re.IGNORECASE)


def page(api: FlaskClient, address: str) -> Page:
    return read_page(api.get(address, follow_redirects=True).text)


def rows(read: Page) -> list[str]:
    return [node.words for node in read.all("th") if node.attributes.get("scope") == "row"]


def test_the_basis_names_the_part_that_a_datum_is_of(api: FlaskClient) -> None:
    told = rows(page(api, f"{OLD}&part1_focal_length_mm=28"))
    assert "Front principal plane of the lens of 28 mm" in told
    assert any(each.endswith("Front protrusion of the lens of 28 mm") for each in told)
    assert not [each for each in told if NUMBERED.search(each)]


def test_a_part_of_the_kit_is_called_as_there(api: FlaskClient) -> None:
    told = rows(page(api, "/tasks/set-up?part1=wide-35&part1_reversed=yes&part2=reversing-49&camera=field-camera"))
    name = demo_kit().by_id["wide-35"].name
    assert any(each.endswith(f"Focusing extension of “{name}”") for each in told)
    assert not [each for each in told if "wide-35" in each]


def test_two_parts_that_are_called_alike_have_a_line_each(api: FlaskClient) -> None:
    told = rows(page(api, PAIR))
    assert len([each for each in told if each.endswith("Focusing extension of the lens of 50 mm")]) == 2


def test_what_is_assumed_alike_of_two_lenses_is_no_difference(api: FlaskClient) -> None:
    sides = (f"{OLD}&part1_focal_length_mm={focal}".replace("&", "%26") for focal in (28, 35))
    told = rows(page(api, "/compare?a={}&b={}".format(*sides)))
    assert "Focal length" in told
    assert not [each for each in told if each.startswith(("Focusing extension", "Front protrusion"))]


def test_set_ups_that_were_found_name_their_parts(api: FlaskClient) -> None:
    kit = demo_kit()
    found = [node.words for node in page(api, SEARCH).all("h4")]
    cards = [each for each in found if " + " in each]
    assert len(cards) == 5
    for card in cards:
        assert any(lens.name in card for lens in kit.lenses)
        assert not [part for part in kit.by_id if part in card]
    assert any(re.search(r"Table bellows, [\d.]+ mm", card) for card in cards)
