"""`/v1/set-ups/search`: what it says of parts it could not use, what it assumes, and what is to be bought."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import SET_UPS, answered, codes
from fifty_kit import BODY, FIFTY, LENS_SIDE, SEARCH, kit, own, tube

REVERSING = {
    "id": "reversing",
    "name": "Ring",
    "front": {"thread": "M52x0.75", "gender": "external"},
    "rear": LENS_SIDE,
    "length_mm": 3,
}
M42 = {"mount": "M42x1", "side": "body"}
FINITE = {
    "id": "finite",
    "name": "Objective",
    "thread": "M42x1",
    "magnification": 4,
    "numerical_aperture": 0.1,
    "tube_length_mm": 160,
    "working_distance_mm": 17,
}


def bellows(least: float, most: float, **more: Any) -> dict[str, Any]:
    return {"id": "bellows", "name": "Bellows", "front": BODY, "rear": LENS_SIDE, "minimum_length_mm": least,
            "maximum_length_mm": most, **more}  # fmt: skip


def setting(**more: Any) -> dict[str, Any]:
    return {"id": "only", "focal_length_mm": 50, **more}


def text_of(answer: dict[str, Any], code: str) -> str:
    return next(str(remark["text"]) for remark in answer["remarks"] if remark["code"] == code)


def test_bellows_drawn_out_to_their_end_beside_a_tube_stay_within_their_range(api: FlaskClient) -> None:
    """134.4 - 46.5 = 87.9 is a rounding more than the difference of their numbers: 46.5 + 87.9 exceeds 134.4."""
    lens = {**FIFTY, "f_numbers": [4, 8]}
    made = kit(lenses=[lens], tubes=[tube("tube", 26.7)], bellows=[bellows(46.5, 134.4)])
    answer = answered(api, SEARCH, {"subject_width_mm": 7.08, "camera": {"use": "camera"}, "kit": made})
    lengths = [part["length_mm"] for hit in answer["hits"] for part in hit["document"]["train"] if "length_mm" in part]
    assert max(lengths) == 134.4
    for hit in answer["hits"]:
        answered(api, SET_UPS, hit["document"])


def test_a_lens_that_cannot_be_tried_reversed_is_named_with_what_is_missing(api: FlaskClient) -> None:
    lens = {**FIFTY, "settings": [setting()]}
    answer = answered(api, SEARCH, own(kit=kit(lenses=[lens], tubes=[], reversing_rings=[REVERSING])))
    assert answer["framed"] == 0
    said = text_of(answer, "front-plane-unknown")
    assert "fifty" in said
    assert "photograph a ruler" in said
    assert "left out" in text_of(answer, "nothing-frames")


def test_a_lens_without_a_filter_thread_is_named(api: FlaskClient) -> None:
    lens = {name: value for name, value in FIFTY.items() if name != "front_thread"}
    answer = answered(api, SEARCH, own(kit=kit(lenses=[lens])))
    assert "fifty" in text_of(answer, "front-thread-unknown")
    normal = answered(api, SEARCH, own(kit=kit(lenses=[lens]), arrangements=["normal", "tubes"]))
    assert "front-thread-unknown" not in codes(normal["remarks"])


def test_assumed_pupils_are_told(api: FlaskClient) -> None:
    answer = answered(api, SEARCH, own())
    assert answer["assumed"]["/kit/lenses/0/settings/0/pupil_magnification"] == 1
    assert "fifty" in text_of(answer, "pupils-assumed")
    known = {**FIFTY, "settings": [setting(front_principal_plane_mm=20, pupil_magnification=1.1)]}
    told = answered(api, SEARCH, own(kit=kit(lenses=[known])))
    assert not [name for name in told["assumed"] if "pupil" in name]
    assert "pupils-assumed" not in codes(told["remarks"])


def test_bellows_stand_at_the_design_length_behind_an_objective_of_unknown_focal_length(api: FlaskClient) -> None:
    """A finite-conjugate objective for 160 mm throws its image 150 mm behind its shoulder: 150 - 18 mm of bellows."""
    made = kit(lenses=[], tubes=[], objectives=[FINITE], bellows=[bellows(60, 180, front=M42)])
    answer = answered(api, SEARCH, {"subject_width_mm": 5.75, "camera": {"use": "camera"}, "kit": made})
    (hit,) = answer["hits"]
    assert hit["magnification"] == pytest.approx(4)
    assert hit["document"]["train"][-1]["length_mm"] == pytest.approx(132)
    assert pytest.approx(4, rel=0.02) != 23.5 / 5.75  # the frame is filled within the tolerance, not exactly


def test_what_would_touch_the_subject_is_not_listed(api: FlaskClient) -> None:
    """At half size 130 mm are left before the rim: a guard of 140 mm would touch."""
    lens = {**FIFTY, "front_protrusion_mm": 140}
    answer = answered(api, SEARCH, own(kit=kit(lenses=[lens])))
    assert answer["hits"] == []
    assert answer["assumed"]["least_clearance_mm"] == 0
    (relaxation,) = answer["relaxations"]
    assert (relaxation["wish"], relaxation["asked"]) == ("least_clearance_mm", 0)
    assert relaxation["nearest"] == pytest.approx(-10)
    evaluated = answered(api, SET_UPS, relaxation["hit"]["document"])
    near = {caution["code"] for caution in evaluated["cautions"]} & {"front-beyond-subject"}
    assert near
    assert near <= codes(answer["cautions"])


def test_of_one_set_up_two_apertures_are_listed_unless_more_are_wanted(api: FlaskClient) -> None:
    assert len(answered(api, SEARCH, own())["hits"]) == 2
    assert len(answered(api, SEARCH, own(apertures_per_set_up=5))["hits"]) == 5


def test_a_lens_is_best_at_a_mark_of_its_ring(api: FlaskClient) -> None:
    """Two stops down from f/1.8 is f/3.6, which no ring has: of 2.8 and 4 the nearer is 4."""
    lens = {**FIFTY, "f_numbers": [1.8, 2.8, 4, 5.6, 8]}
    answer = answered(api, SEARCH, own(kit=kit(lenses=[lens])))
    best = next(hit for hit in answer["hits"] if hit["criteria"]["aperture"] == 0)
    assert best["parts"][0] == "fifty f/4"


def test_without_a_budget_it_is_said_that_no_purchase_was_tried(api: FlaskClient) -> None:
    answer = answered(api, SEARCH, own(kit=kit(tubes=[])))
    assert "purchase" not in answer
    assert "no-budget" in codes(answer["remarks"])
    assert "no-budget" not in codes(answered(api, SEARCH, own())["remarks"])


LENS_TO_BUY = {**FIFTY, "id": "hundred", "settings": [setting(focal_length_mm=100, front_principal_plane_mm=20)]}
CONVERTER = {"id": "double", "name": "Converter", "mount": "bayonet-18.0", "factor": 2, "added_length_mm": 30}
HALF = {**FINITE, "id": "half", "magnification": 0.5}


@pytest.mark.parametrize(
    ("owned", "listed", "part"),
    [
        ({"tubes": []}, {"bellows": [bellows(20, 90)]}, "bellows"),
        ({"tubes": [tube("tube-50", 50)]}, {"lenses": [FIFTY, LENS_TO_BUY]}, "hundred"),
        ({"tubes": [tube("tube-12", 12.5)]}, {"converters": [CONVERTER]}, "double"),
        (
            {"lenses": [], "tubes": [tube("tube-132", 132, front=M42)]},
            {"objectives": [HALF]},
            "half",
        ),
    ],
    ids=["bellows", "a lens", "a converter", "an objective"],
)
def test_parts_of_every_kind_that_the_kit_lists_are_tried(
    api: FlaskClient, owned: dict[str, Any], listed: dict[str, Any], part: str
) -> None:
    own_ids = {"fifty"}
    priced = {
        group: [each if each["id"] in own_ids else {**each, "owned": False, "price": 50} for each in parts]
        for group, parts in listed.items()
    }
    asked = own(kit=kit(**{**owned, **priced}), budget=60)
    assert answered(api, SEARCH, own(kit=kit(**owned)))["hits"] == []
    answer = answered(api, SEARCH, asked)
    assert answer["purchase"]["part"] == part
    assert any(each.startswith(part) for each in answer["purchase"]["hit"]["parts"])


def test_the_description_says_what_is_tried(api: FlaskClient) -> None:
    description = api.get("/openapi.json").get_json()["paths"][SEARCH]["post"]["description"]
    for kind in ("lenses", "tubes", "bellows", "rings", "close-up lenses", "converters", "objectives", "40 to 150 mm"):
        assert kind in description
