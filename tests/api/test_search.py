"""`/v1/set-ups/search`: what it takes, refuses and says; what it finds is held against brute force in tests/property."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import SET_UPS, answered, codes, pointers, refused
from fifty_kit import FIFTY, SEARCH, kit, own, tube

CAMERA = {"use": "field-camera"}


def test_every_document_is_what_evaluate_takes_and_confirms(api: FlaskClient) -> None:
    answer = answered(api, SEARCH, {"subject_width_mm": 12, "subject_depth_mm": 1, "camera": CAMERA})
    assert len(answer["hits"]) == 10
    for hit in answer["hits"] + answer["pareto"]:
        evaluated = answered(api, SET_UPS, hit["document"])
        for name in ("magnification", "working_distance_mm", "clearance_mm", "rig_length_mm", "effective_f_number"):
            assert evaluated[name] == pytest.approx(hit[name], rel=1e-12), name
        assert evaluated["diffraction"]["subject_resolution_um"] == hit["subject_resolution_um"]
        assert evaluated["stack_frames"] == hit["stack_frames"]
        assert hit["score"] == pytest.approx(sum(hit["criteria"].values()), rel=1e-12)
        assert abs(12 / hit["subject_width_mm"] - 1) <= 0.06


def test_a_magnification_stands_for_the_subject_that_fills_the_frame(api: FlaskClient) -> None:
    by_magnification = answered(api, SEARCH, {"magnification": 2, "camera": CAMERA})
    by_width = answered(api, SEARCH, {"subject_width_mm": 23.5 / 2, "camera": CAMERA})
    assert by_magnification["magnification"] == by_width["magnification"] == 2
    assert by_magnification["hits"] == by_width["hits"]


@pytest.mark.parametrize(
    ("asked", "faulty"),
    [
        ({"magnification": 2, "subject_width_mm": 9}, {"/magnification", "/subject_width_mm"}),
        ({}, {"/subject_width_mm"}),
    ],
)
def test_the_subject_or_the_magnification_is_asked_for(
    api: FlaskClient, asked: dict[str, Any], faulty: set[str]
) -> None:
    assert pointers(refused(api, SEARCH, {"camera": CAMERA, **asked})) == faulty


def test_hits_come_best_first(api: FlaskClient) -> None:
    answer = answered(api, SEARCH, {"subject_width_mm": 12, "camera": CAMERA, "best": 50})
    scores = [hit["score"] for hit in answer["hits"]]
    assert scores == sorted(scores)
    assert answer["arrangements"] >= answer["framed"] > 0
    assert answer["meeting"] >= len(answer["hits"])


def test_one_lens_on_one_tube_is_found(api: FlaskClient) -> None:
    answer = answered(api, SEARCH, own(best=100, apertures_per_set_up=7))
    assert {tuple(hit["parts"]) for hit in answer["hits"]} == {
        (f"fifty f/{mark:g}", "tube-25") for mark in FIFTY["f_numbers"]
    }
    assert answer["hits"][0]["magnification"] == pytest.approx(0.5)
    assert answer["kit_revision"]


@pytest.mark.parametrize(
    ("sharp_from", "depth", "wanted"),
    [(None, None, "fifty f/4"), (8, None, "fifty f/8"), (None, 1.0, "fifty f/8")],
    ids=["two stops down", "where it is sharp", "for the depth"],
)
def test_wide_open_does_not_win_by_default(
    api: FlaskClient, sharp_from: float | None, depth: float | None, wanted: str
) -> None:
    """Best effective f-number for 1 mm of depth at half size: 0.5 sqrt(1 / 0.00268) = 9.7; f/8 gives 12, f/5.6 gives 8.4."""
    lens = FIFTY if sharp_from is None else {**FIFTY, "sharp_from_f_number": sharp_from}
    more = {} if depth is None else {"subject_depth_mm": depth}
    answer = answered(api, SEARCH, own(kit=kit(lenses=[lens]), **more))
    best = answer["hits"][0]["parts"][0]
    assert best in (wanted, "fifty f/5.6") if depth else best == wanted
    assert ("sharpness-unknown" in codes(answer["remarks"])) == (sharp_from is None)


def test_width_and_height_must_both_fit(api: FlaskClient) -> None:
    by_height = answered(api, SEARCH, own(subject_width_mm=1.0, subject_height_mm=31.2))
    assert by_height["magnification"] == pytest.approx(0.5)


def test_a_camera_of_its_own_is_described_by_mount_and_sensor(api: FlaskClient) -> None:
    camera = {"mount": "bayonet-18.0", "sensor": "23.5x15.6", "pixel_pitch_um": 4}
    answer = answered(api, SEARCH, own(camera=camera))
    assert answer["hits"][0]["document"]["camera"]["pixel_pitch_um"] == 4


def test_only_parts_that_are_owned_and_at_hand_are_used(api: FlaskClient) -> None:
    for member in ("owned", "available"):
        answer = answered(api, SEARCH, own(kit=kit(tubes=[tube("tube-25", 25, **{member: False})])))
        assert answer["framed"] == 0


def test_arrangements_that_are_not_allowed_are_left_out(api: FlaskClient) -> None:
    asked = {"subject_width_mm": 12, "camera": CAMERA, "best": 100}
    allowed = answered(api, SEARCH, {**asked, "arrangements": ["reversed", "bellows"]})
    assert allowed["hits"]
    assert all(any(part.get("reversed") for part in hit["document"]["train"]) for hit in allowed["hits"])
    assert {part["element"] for hit in allowed["hits"] for part in hit["document"]["train"]} == {"lens", "spacer"}


def test_a_wish_that_nothing_meets_is_named_with_the_least_miss(api: FlaskClient) -> None:
    """s = f (1 + 1/m) = 150 mm to the principal plane, 20 mm behind the rim: 130 mm; the rig is 20 + 2 + 50 (1 + m) mm."""
    answer = answered(api, SEARCH, own(least_working_distance_mm=131.5))
    assert answer["hits"] == []
    (relaxation,) = answer["relaxations"]
    assert relaxation["wish"] == "least_working_distance_mm"
    assert relaxation["nearest"] == pytest.approx(130)
    assert relaxation["miss"] == pytest.approx(1.5)
    assert relaxation["hit"]["working_distance_mm"] == pytest.approx(130)


def test_several_wishes_that_nothing_meets_are_named_together(api: FlaskClient) -> None:
    answer = answered(api, SEARCH, own(least_working_distance_mm=131.5, longest_rig_mm=90))
    assert {each["wish"] for each in answer["relaxations"]} == {"least_working_distance_mm", "longest_rig_mm"}
    assert "several-wishes" in codes(answer["remarks"])
    rig = next(each for each in answer["relaxations"] if each["wish"] == "longest_rig_mm")
    assert rig["miss"] == pytest.approx(7)


def test_a_wish_for_what_is_not_known_is_not_met(api: FlaskClient) -> None:
    setting = {"id": "only", "focal_length_mm": 50}
    lens = {**FIFTY, "settings": [setting]}
    answer = answered(api, SEARCH, own(kit=kit(lenses=[lens]), least_working_distance_mm=10))
    assert answer["meeting"] == 0
    assert answer["relaxations"][0]["miss"] is None


def test_where_nothing_fills_the_frame_the_nearest_is_told(api: FlaskClient) -> None:
    answer = answered(api, SEARCH, own(subject_width_mm=55.0))
    (relaxation,) = answer["relaxations"]
    assert relaxation["wish"] == "tolerance"
    assert relaxation["nearest"] == pytest.approx(1 - 47 / 55)
    assert "nothing-frames" in codes(answer["remarks"])
    far = answered(api, SEARCH, own(subject_width_mm=5000.0))
    assert far["relaxations"] == []
    assert "nothing-frames" in codes(far["remarks"])


def test_the_cheapest_part_of_the_kit_that_closes_the_gap_is_named(api: FlaskClient) -> None:
    listed = [
        tube("tube-25", 25, owned=False, price=30),
        tube("tube-24", 24.5, owned=False, price=20),
        tube("tube-60", 60, owned=False, price=5),
    ]
    asked = own(kit=kit(tubes=listed), budget=25)
    bought = answered(api, SEARCH, asked)["purchase"]
    assert (bought["part"], bought["price"], bought["in_kit"]) == ("tube-24", 20, True)
    assert bought["hit"]["parts"][1] == "tube-24"
    answered(api, SET_UPS, bought["hit"]["document"])


def test_parts_of_standard_sizes_come_without_a_price(api: FlaskClient) -> None:
    """A close-up lens of 10 dpt before 50 mm at infinity gives 50 / 100 (m = f / fc)."""
    answer = answered(api, SEARCH, own(kit=kit(tubes=[]), budget=25))
    assert answer["purchase"]["price"] is None
    assert "price-unknown" in codes(answer["remarks"])
    assert not answer["purchase"]["in_kit"]


def test_a_gap_that_no_single_part_closes_is_said(api: FlaskClient) -> None:
    answer = answered(api, SEARCH, own(subject_width_mm=0.5, budget=1000))
    assert "purchase" not in answer
    assert "no-purchase" in codes(answer["remarks"])


def test_lenses_without_marks_are_left_out_and_named(api: FlaskClient) -> None:
    lens = {name: value for name, value in FIFTY.items() if name != "f_numbers"}
    answer = answered(api, SEARCH, own(kit=kit(lenses=[lens])))
    assert answer["framed"] == 0
    assert "no-marks" in codes(answer["remarks"])


def test_the_demo_kit_is_named_where_it_answers(api: FlaskClient) -> None:
    asked = {"subject_width_mm": 12, "camera": CAMERA}
    assert "demo-kit" in codes(answered(api, SEARCH, asked)["remarks"])


@pytest.mark.parametrize(
    ("members", "at"),
    [
        ({"subject_width_mm": None}, {"/subject_width_mm"}),
        ({"camera": {"use": "nobody"}}, {"/camera/use"}),
        ({"camera": {}}, {"/camera/mount", "/camera/sensor"}),
        ({"camera": {"mount": "nothing", "sensor": "36x24"}}, {"/camera/mount"}),
        ({"camera": {"use": "camera", "sensor": "36x24"}}, {"/camera/sensor"}),
        ({"arrangements": ["upside-down"]}, {"/arrangements/0"}),
        ({"arrangements": []}, {"/arrangements"}),
        ({"best": 0}, {"/best"}),
        ({"best": 2.5}, {"/best"}),
        ({"tolerance": 0.9}, {"/tolerance"}),
        ({"most_stack_frames": 3}, {"/subject_depth_mm"}),
        ({"least_workingdistance_mm": 3}, {"/least_workingdistance_mm"}),
        ({"depth_of_field_model": "contrast"}, {"/depth_of_field_model"}),
    ],
)
def test_faults_are_named_by_pointer(api: FlaskClient, members: dict[str, Any], at: set[str]) -> None:
    assert pointers(refused(api, SEARCH, own(**members))) == at


def test_without_a_subject_nothing_is_sought(api: FlaskClient) -> None:
    asked = {name: value for name, value in own().items() if name != "subject_width_mm"}
    assert pointers(refused(api, SEARCH, asked)) == {"/subject_width_mm"}


def test_each_hit_names_its_parts_by_the_kit_and_gives_the_same_so(api: FlaskClient) -> None:
    asked = {
        "subject_width_mm": 12,
        "subject_depth_mm": 1,
        "camera": {"use": "field-camera", "circle_of_confusion_mm": 0.02},
    }
    for hit in api.post("/v1/set-ups/search", json=asked).get_json()["hits"]:
        by_kit, plain = (
            api.post("/v1/set-ups/evaluate", json=hit[name]).get_json() for name in ("kit_document", "document")
        )
        assert by_kit.pop("kit_revision", None)
        assert {name: plain[name] for name in by_kit if name in plain and name not in ("remarks", "assumed")} == {
            name: value for name, value in by_kit.items() if name in plain and name not in ("remarks", "assumed")
        }
