"""Laws of the drawings of a set-up: parts adjoin, lengths add up, all lies on the paper, texts keep apart and readable."""

import re
from itertools import combinations, pairwise
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.http.app import create_app
from closeup_service.set_ups.along_axis import lay_out_axis
from closeup_service.set_ups.set_up import evaluate
from set_ups import Document, lengths, one_lens_set_ups

API = create_app().test_client()
PATH = "/v1/set-ups/drawing"
SVG = "{http://www.w3.org/2000/svg}"
Box = tuple[float, float, float, float]
LEAST_TEXT_PX, TELEPHONE_PX, PLAIN_WIDTH_PX = 11, 320, 360
WIDTH_OF_A_LETTER = 0.5
"""Over the font's size, about that of the usual sans-serif fonts (measured on none; for digits it is 0.55)."""


@st.composite
def documents(draw: st.DrawFn) -> Document:
    """One lens on a spacer, that one cut into rings, with an opening or not."""
    document, _ = draw(one_lens_set_ups().filter(lambda drawn: drawn[0]["train"][1]["length_mm"] >= 0))
    whole = document["train"][1]["length_mm"]
    rings = draw(st.integers(1, 31))
    clear = draw(st.one_of(st.none(), lengths(20, 80)))
    ring = {"element": "spacer", "length_mm": whole / rings} | ({} if clear is None else {"clear_diameter_mm": clear})
    protrusion = draw(st.one_of(st.none(), lengths(0, 30)))
    lens = document["train"][0] | ({} if protrusion is None else {"front_protrusion_mm": protrusion})
    return {**document, "train": [lens, *[ring] * rings]}


def told(document: Document) -> Any | None:
    """Answer, or None where the set-up is refused, as it then must be by evaluate."""
    answered = API.post(PATH, json=document)
    plain = API.post("/v1/set-ups/evaluate", json=document)
    if answered.status_code != 200:
        assert answered.get_json() | {"request_id": None} == plain.get_json() | {"request_id": None}
        return None
    found: Any = answered.get_json()
    for name in ("working_distance_mm", "rig_length_mm", "subject_to_sensor_mm", "clearance_mm", "magnification"):
        assert found[name] == plain.get_json()[name]
    return found


def drawn(document: Document) -> ElementTree.Element:
    response = API.post(PATH, json=document, headers={"Accept": "image/svg+xml"})
    assert response.status_code == 200
    return ElementTree.fromstring(response.text)


@given(document=documents())
def test_parts_adjoin_and_add_up_to_what_the_set_up_comes_to(document: Document) -> None:
    found = told(document)
    if found is None:
        return
    parts = found["parts"]
    assert parts[0]["start_mm"] == pytest.approx(found["working_distance_mm"])
    for before, after in pairwise(parts):
        assert after["start_mm"] == pytest.approx(before["end_mm"])
    assert parts[-1]["end_mm"] == pytest.approx(found["flange_mm"])
    assert found["sensor_mm"] == pytest.approx(found["flange_mm"] + document["camera"]["register_mm"])
    total = sum(part["end_mm"] - part["start_mm"] for part in parts) + document["camera"]["register_mm"]
    assert total == pytest.approx(found["rig_length_mm"])
    assert found["sensor_mm"] == pytest.approx(found["subject_to_sensor_mm"])


@given(document=documents())
def test_the_axial_ray_comes_to_the_sensor_as_steep_as_the_aperture_says(document: Document) -> None:
    if told(document) is None or document["train"][0]["principal_plane_separation_mm"] < 0:
        return
    set_up = evaluate(document)
    ray = lay_out_axis(document, set_up).ray
    (x0, y0), (x1, y1) = ray[:2]
    (x2, y2), (x3, y3) = ray[-2:]
    assert (y1 - y0) / (x1 - x0) == pytest.approx(set_up.numerical_aperture)
    assert (y2 - y3) / (x3 - x2) == pytest.approx(1 / (2 * float(set_up.effective_f_number or 0)), rel=1e-6)


@given(document=documents(), width=st.sampled_from([320, 360, 700, 1200, 1600]))
def test_everything_lies_on_the_paper(document: Document, width: int) -> None:
    if told(document) is None:
        return
    root = drawn({**document, "width_px": width})
    _, _, right, bottom = map(float, root.attrib["viewBox"].split())
    assert right == width
    for x, y in points_of(root):
        assert -0.1 <= x <= right + 0.1
        assert -0.1 <= y <= bottom + 0.1


@given(document=documents())
def test_texts_are_readable_on_a_telephone_and_keep_apart(document: Document) -> None:
    if told(document) is None:
        return
    root = drawn(document)
    texts = list(root.iter(f"{SVG}text"))
    assert float(root.attrib["width"]) == PLAIN_WIDTH_PX
    for text in texts:
        assert float(text.attrib["font-size"]) * TELEPHONE_PX / PLAIN_WIDTH_PX >= LEAST_TEXT_PX
    for one, other in combinations(map(text_box, texts), 2):
        assert not overlap(one, other), (one, other)


def text_box(text: ElementTree.Element) -> Box:
    size, x, y = (float(text.attrib[name]) for name in ("font-size", "x", "y"))
    width = len(text.text or "") * WIDTH_OF_A_LETTER * size
    left = x - width * {"start": 0.0, "middle": 0.5, "end": 1.0}[text.attrib["text-anchor"]]
    return left, y - 0.72 * size, left + width, y + 0.2 * size


def overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def points_of(root: ElementTree.Element) -> list[tuple[float, float]]:
    """Places of everything that is drawn, curves by their first point; wavy lines of a break may stand a little out."""
    points: list[tuple[float, float]] = []
    for each in root.iter():
        given_at = {name: float(value) for name, value in each.attrib.items() if re.fullmatch(r"-?[\d.]+", value)}
        if each.tag == f"{SVG}line":
            points += [(given_at["x1"], given_at["y1"]), (given_at["x2"], given_at["y2"])]
        elif each.tag == f"{SVG}polygon":
            pairs = [pair.split(",") for pair in each.attrib["points"].split()]
            points += [(float(x), float(y)) for x, y in pairs]
        elif each.tag == f"{SVG}text":
            left, top, right, bottom = text_box(each)
            points += [(left, top), (right, bottom)]
    return points
