"""`/v1/set-ups/search` with `estimate_unknown`: lenses that lack data, by their medians."""

import random
from typing import Any

import pytest
from flask.testing import FlaskClient

import small_kits
from asking import SET_UPS, answered, codes, text_of
from fifty_kit import SEARCH
from old_lenses import COMPLETE, kit, lens
from thoroughness import up_to

SAME = {
    "magnification": ("magnification",),
    "subject_width_mm": ("subject_width_mm",),
    "working_distance_mm": ("working_distance_mm",),
    "clearance_mm": ("clearance_mm",),
    "rig_length_mm": ("rig_length_mm",),
    "effective_f_number": ("effective_f_number",),
    "light_loss_stops": ("light_loss_stops",),
    "stack_frames": ("stack_frames",),
    "subject_resolution_um": ("diffraction", "subject_resolution_um"),
    "total_mm": ("depth_of_field", "total_mm"),
}
"""Figures of a hit, and where evaluate has them."""


def asked(*lenses: dict[str, Any], **more: Any) -> dict[str, Any]:
    """A subject 30 mm wide: 1.2:1, which the middle 28 mm lens shows reversed on the ring."""
    made = {"subject_width_mm": 30, "camera": {"use": "body"}, "kit": kit(*lenses), "tolerance": 0.15}
    return made | {"estimate_unknown": True, "best": 20, **more}


def parts(hits: list[dict[str, Any]]) -> set[str]:
    return {part.split()[0] for hit in hits for part in hit["parts"]}


def listed(answer: dict[str, Any]) -> list[dict[str, Any]]:
    """Every set-up of an answer."""
    return [*answer["hits"], *answer["pareto"], *(each["hit"] for each in answer["relaxations"])]


def at(answer: dict[str, Any], path: tuple[str, ...]) -> Any:
    for step in path:
        answer = answer[step]
    return answer


def test_a_lens_that_lacks_data_is_found_with_a_range_and_a_chance(api: FlaskClient) -> None:
    best = answered(api, SEARCH, asked(lens("old", 28)))["hits"][0]
    assert best["parts"][0].startswith("old reversed")
    ends = best["ranges"]["magnification"]
    assert ends["low"] < best["magnification"] < ends["high"]
    assert 0 < best["chance"] < 1
    assert best["coverage"] == 0.95
    assert "/train/0/front_principal_plane_mm" in best["estimated"]


def test_without_the_flag_it_is_left_out_with_a_remark_as_in_1_0_0(api: FlaskClient) -> None:
    answer = answered(api, SEARCH, asked(lens("old", 28), estimate_unknown=False))
    assert answer == {
        **answered(api, SEARCH, {k: v for k, v in asked(lens("old", 28)).items() if k != "estimate_unknown"})
    }
    assert answer["framed"] == 0
    assert "old" in text_of(answer, "front-plane-unknown")


@pytest.mark.parametrize("more", [{}, {"subject_width_mm": 400.0}, {"longest_rig_mm": 30, "budget": 100}])
def test_a_kit_that_lacks_nothing_is_searched_alike(api: FlaskClient, more: dict[str, Any]) -> None:
    """Where it fills the frame, where it does not, and where a part must be bought."""
    known = lens("known", 28, **COMPLETE)
    estimated, plain = (answered(api, SEARCH, asked(known, **more, estimate_unknown=flag)) for flag in (True, False))
    assert estimated == plain


@pytest.mark.parametrize("depth", [{}, {"subject_depth_mm": 2.0}])
def test_figures_are_those_of_evaluate_for_the_same_document(api: FlaskClient, depth: dict[str, float]) -> None:
    answer = answered(api, SEARCH, asked(lens("old", 28), lens("known", 28, **COMPLETE), **depth))
    assert parts(answer["hits"]) >= {"old", "known"}
    for hit in listed(answer):
        evaluated = answered(api, SET_UPS, hit["document"])
        for name, path in SAME.items():
            figure = at(evaluated, path)
            assert hit[name] == (None if figure is None else pytest.approx(figure, rel=1e-9)), name
        assert hit.get("estimated") == evaluated.get("estimated")
        told = evaluated.get("ranges", {})
        assert hit.get("ranges", {}) == {
            name: told[".".join(path)] for name, path in {**SAME, "subject_height_mm": ("subject_height_mm",)}.items()
            if ".".join(path) in told
        }  # fmt: skip


def test_the_chance_is_the_share_of_lenses_that_fill_the_frame(api: FlaskClient) -> None:
    """It grows with the tolerance, from few of them to nearly all."""
    chances = []
    for tolerance in (0.02, 0.1, 0.3, 0.5):
        answer = answered(api, SEARCH, asked(lens("old", 28), tolerance=tolerance, arrangements=["reversed"]))
        hits = {tuple(hit["parts"]): hit["chance"] for hit in listed(answer)}
        chances.append(hits["old reversed f/5.6", "ring"])
    assert chances == sorted(chances)
    assert 0 <= chances[0] < 0.2
    assert 0.9 < chances[-1] <= 1


def test_a_lens_of_which_all_is_known_has_neither_range_nor_chance(api: FlaskClient) -> None:
    answer = answered(api, SEARCH, asked(lens("old", 28), lens("known", 28, **COMPLETE)))
    known = [hit for hit in answer["hits"] if hit["parts"][0].startswith("known")]
    assert known
    assert not any({"chance", "ranges", "estimated", "coverage"} & {*hit} for hit in known)
    assert not any("estimate_unknown" in hit["document"] for hit in known)


def test_hits_are_ranked_by_their_medians(api: FlaskClient) -> None:
    answer = answered(api, SEARCH, asked(lens("old", 28), lens("older", 35), tolerance=0.5))
    scores = [hit["score"] for hit in answer["hits"]]
    assert scores == sorted(scores)
    assert parts(answer["hits"]) >= {"old", "older"}


def test_a_lens_that_could_show_almost_anything_is_named_and_not_tried_reversed(api: FlaskClient) -> None:
    answer = answered(api, SEARCH, asked(lens("old", 28), lens("tele", 135), tolerance=0.5, best=100))
    assert "tele" in text_of(answer, "measure-first")
    assert not any(part.startswith("tele reversed") for hit in listed(answer) for part in hit["parts"])


def test_one_reading_brings_such_a_lens_back(api: FlaskClient) -> None:
    frame = {"mounting": "reversed", "extension_mm": 107, "camera_register_mm": 18.0, "magnification": 0.6}
    measured = lens("tele", 100, measured=[frame])
    bellows = {"front": {"mount": "bayonet-18.0", "side": "body"}, "rear": {"mount": "bayonet-18.0", "side": "lens"}}
    drawn = {"id": "bellows", "name": "Bellows", **bellows, "minimum_length_mm": 40, "maximum_length_mm": 200}
    more = {"subject_width_mm": 60.0, "arrangements": ["reversed", "bellows"]}
    answer = answered(api, SEARCH, {**asked(measured, **more), "kit": kit(measured, bellows=[drawn])})
    best = answer["hits"][0]
    assert best["parts"][0].startswith("tele reversed")
    assert best["chance"] > 0.9
    assert "measure-first" not in codes(answer["remarks"])


def test_a_lens_without_statistics_is_named_and_used_as_without_the_flag(api: FlaskClient) -> None:
    estimated, plain = (
        answered(api, SEARCH, asked(lens("long", 500), subject_width_mm=720.0, estimate_unknown=flag))
        for flag in (True, False)
    )
    assert "long" in text_of(estimated, "no-statistics")
    assert estimated["hits"] == plain["hits"] != []


def test_readings_that_contradict_each_other_are_named(api: FlaskClient) -> None:
    frames = [
        {"mounting": "reversed", "extension_mm": extension, "camera_register_mm": 18.0, "magnification": magnification}
        for extension, magnification in ((7, 1.4), (17, 1.25))
    ]
    answer = answered(api, SEARCH, asked(lens("old", 28, measured=frames)))
    assert "old" in text_of(answer, "readings-contradict")
    assert "no-marks" not in codes(answer["remarks"])
    assert listed(answer) == []


def test_no_lens_is_dropped_without_a_word(api: FlaskClient) -> None:
    """Each is in a set-up that is listed, or in a remark."""
    lenses = [lens("old", 28), lens("tele", 135), lens("long", 500), lens("bare", 50, f_numbers=[2.8])]
    answer = answered(api, SEARCH, asked(*lenses))
    said = " ".join(note["text"] for note in answer["remarks"])
    for each in lenses:
        assert each["id"] in parts(listed(answer)) or each["id"] in said


def test_a_lens_on_sale_that_lacks_data_may_be_the_one_to_buy(api: FlaskClient) -> None:
    known = lens("known", 135, **COMPLETE)
    sold = lens("sold", 28, owned=False, price=30.0)
    answer = answered(api, SEARCH, asked(known, sold, budget=50, arrangements=["reversed"]))
    assert answer["purchase"]["part"] == "sold"
    hit = answer["purchase"]["hit"]
    assert 0 < hit["chance"] <= 1
    assert answered(api, SET_UPS, hit["document"])["magnification"] == hit["magnification"]


def random_request(seed: int) -> dict[str, Any]:
    """A small random kit of which every second datum is unknown."""
    draw, made = random.Random(seed), small_kits.kit(seed)
    for setting in (each for every in made["lenses"] for each in every["settings"]):
        for name in COMPLETE:
            if draw.random() < 0.5:
                setting.pop(name, None)
    width = draw.choice([8, 16, 24, 47, 60, 100])
    return {
        "subject_width_mm": width,
        "camera": {"use": "camera"},
        "kit": made,
        "estimate_unknown": True,
        "tolerance": 0.1,
    }


@pytest.mark.parametrize("seed", range(up_to(60)))
def test_every_document_of_a_random_kit_is_what_evaluate_takes_and_confirms(api: FlaskClient, seed: int) -> None:
    """Two estimated lenses, one without statistics beside one with them, and what cannot be with some of them."""
    for hit in listed(answered(api, SEARCH, random_request(seed))):
        assert 0 <= hit.get("chance", 1) <= 1
        figure = answered(api, SET_UPS, hit["document"])["magnification"]
        assert hit["magnification"] == (None if figure is None else pytest.approx(figure, rel=1e-9))


def test_the_same_request_has_the_same_answer(api: FlaskClient) -> None:
    request = asked(lens("old", 28), lens("older", 35))
    assert api.post(SEARCH, json=request).data == api.post(SEARCH, json=request).data
