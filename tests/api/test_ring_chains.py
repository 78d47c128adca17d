"""`/v1/ring-chains`: gender, pitch, registers, what must be bought, and what is said of it."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, pointers, refused
from kits import LENS_SIDE, Members, ring

PATH = "/v1/ring-chains"


def thread(size: str, gender: str) -> Members:
    return {"thread": size, "gender": gender}


def mount(name: str, side: str) -> Members:
    return {"mount": name, "side": side}


def between(start: Members, end: Members, rings: list[Members], **more: Any) -> Members:
    """A request; every ring stands among the group that its faces belong to."""
    kit: dict[str, Any] = {"name": "Rings (invented)", "step_rings": [], "reversing_rings": [], "mount_adapters": []}
    for each in rings:
        mounts = sum("mount" in each[face] for face in ("front", "rear"))
        kit[("step_rings", "reversing_rings", "mount_adapters")[mounts]].append(each)
    own = more.pop("mounts", [])
    ends = {f"from_{name}": value for name, value in start.items()} | {
        f"to_{name}": value for name, value in end.items()
    }
    return {**ends, "kit": {**kit, "mounts": own}, **more}


def rings_of(answer: Members) -> list[list[str]]:
    return [chain["rings"] for chain in answer["chains"]]


FILTER_49 = thread("M49x0.75", "internal")
BODY = mount("bayonet-18.0", "body")
STEP_49_52 = ring(1, thread("M52x0.75", "internal"), thread("M49x0.75", "external"), 2.6)
REVERSING_52 = ring(2, thread("M52x0.75", "external"), LENS_SIDE, 4)


def test_thickness_adds_up_to_extension(api: FlaskClient) -> None:
    answer = answered(api, PATH, between(FILTER_49, BODY, [STEP_49_52, REVERSING_52]))
    assert rings_of(answer) == [["ring-01", "ring-02"]]
    assert answer["chains"][0]["extension_mm"] == pytest.approx(6.6)
    assert answer["chains"][0]["buy"] == []
    assert answer["assumed"] == {"most": 5}


def test_query_and_body_give_the_same(api: FlaskClient) -> None:
    asked = {
        "from_thread": "M49x0.75",
        "from_gender": "internal",
        "to_mount": "bayonet-18.0",
        "to_side": "body",
        "most": 2,
    }
    assert api.get(PATH, query_string=asked).get_json() == answered(api, PATH, asked)


def test_the_wrong_gender_joins_nothing(api: FlaskClient) -> None:
    outside = ring(1, thread("M52x0.75", "internal"), thread("M49x0.75", "internal"), 2.6)
    answer = answered(api, PATH, between(FILTER_49, BODY, [outside, REVERSING_52]))
    assert "must-buy" in codes(answer["remarks"])
    inside = ring(1, thread("M52x0.75", "internal"), thread("M49x0.75", "external"), 2.6)
    answer = answered(api, PATH, between(FILTER_49, BODY, [inside, REVERSING_52]))
    assert "must-buy" not in codes(answer["remarks"])


def test_two_faces_that_fit_need_no_ring(api: FlaskClient) -> None:
    answer = answered(api, PATH, between(FILTER_49, thread("M49x0.75", "external"), [STEP_49_52]))
    assert rings_of(answer) == [[]]
    assert answer["chains"][0]["extension_mm"] == 0
    assert answer["chains"][0]["narrowest_mm"] is None
    assert "joined-already" in codes(answer["remarks"])


@pytest.mark.parametrize("gender", ["external", "internal"])
def test_two_faces_of_one_gender_do_not_join(api: FlaskClient, gender: str) -> None:
    answer = answered(api, PATH, between(thread("M49x0.75", gender), thread("M49x0.75", gender), []))
    assert [] not in rings_of(answer)


def test_39_mm_by_26_threads_an_inch_and_m39x1_never_join(api: FlaskClient) -> None:
    # 25.4 mm / 26 = 0.977 mm of pitch against 1 mm
    answer = answered(api, PATH, between(thread("M39x26tpi", "external"), thread("M39x1", "internal"), []))
    assert [] not in rings_of(answer)
    assert "other-pitch" in codes(answer["remarks"])
    metric = ring(1, thread("M39x1", "internal"), thread("M42x1", "external"), 1)
    ask = between(thread("M39x26tpi", "external"), thread("M42x1", "internal"), [metric])
    answer = answered(api, PATH, ask)
    assert all("ring-01" not in rings for rings in rings_of(answer))
    imperial = ring(2, thread("M39x26tpi", "internal"), thread("M42x1", "external"), 1)
    ask = between(thread("M39x26tpi", "external"), thread("M42x1", "internal"), [metric, imperial])
    assert rings_of(answered(api, PATH, ask)) == [["ring-02"]]


def test_a_mount_that_is_a_thread_joins_by_its_thread_and_its_register_is_kept_apart(api: FlaskClient) -> None:
    reflex, rangefinder = mount("M39x1", "lens"), mount("M39x1-28.8", "body")
    answer = answered(api, PATH, between(reflex, rangefinder, []))
    assert rings_of(answer) == [[]]
    assert answer["infinity_extension_mm"] == pytest.approx(45.2 - 28.8)
    assert answer["chains"][0]["infinity_focus"] == "too-short"
    assert rings_of(answered(api, PATH, between(reflex, thread("M39x1", "internal"), []))) == [[]]


def test_the_lens_side_of_a_mount_takes_the_body_side_alone(api: FlaskClient) -> None:
    lens_side = mount("bayonet-18.0", "lens")
    assert rings_of(answered(api, PATH, between(lens_side, BODY, []))) == [[]]
    assert rings_of(answered(api, PATH, between(lens_side, lens_side, []))) == []
    assert rings_of(answered(api, PATH, between(lens_side, mount("bayonet-18.0-47.0", "body"), []))) == []


@pytest.mark.parametrize(("length", "state"), [(27.46, "kept"), (27.44, "kept"), (29, "too-long"), (20, "too-short")])
def test_infinity_focus_is_kept_by_the_difference_of_the_registers(api: FlaskClient, length: float, state: str) -> None:
    adapter = ring(1, mount("M42x1", "body"), LENS_SIDE, length)
    answer = answered(api, PATH, between(mount("M42x1", "lens"), BODY, [adapter]))
    assert answer["infinity_extension_mm"] == pytest.approx(45.46 - 18)
    assert answer["chains"][0]["infinity_focus"] == state
    (note,) = [remark for remark in answer["remarks"] if remark["code"] == "infinity-focus"]
    assert "27.46 mm" in note["text"]


def test_a_lens_of_the_shorter_register_cannot_keep_infinity_focus(api: FlaskClient) -> None:
    adapter = ring(1, mount("bayonet-18.0", "body"), mount("bayonet-46.5", "lens"), 5)
    answer = answered(api, PATH, between(mount("bayonet-18.0", "lens"), mount("bayonet-46.5", "body"), [adapter]))
    assert answer["infinity_extension_mm"] == pytest.approx(-28.5)
    assert answer["chains"][0]["infinity_focus"] == "too-long"


def test_the_kits_own_mounts_join_by_their_names(api: FlaskClient) -> None:
    own = [{"id": "house-bayonet", "name": "of the house", "register_mm": 20}]
    adapter = ring(1, mount("M42x1", "body"), mount("house-bayonet", "lens"), 25.46)
    answer = answered(api, PATH, between(mount("M42x1", "lens"), mount("house-bayonet", "body"), [adapter], mounts=own))
    assert rings_of(answer) == [["ring-01"]]
    assert answer["chains"][0]["infinity_focus"] == "kept"


def test_a_step_below_the_lenss_own_thread_comes_last_among_equals(api: FlaskClient) -> None:
    thick = ring(3, *ends_of(REVERSING_52), 9)
    down = ring(4, thread("M46x0.75", "internal"), thread("M49x0.75", "external"), 1)
    down_to_body = ring(5, thread("M46x0.75", "external"), LENS_SIDE, 1)
    answer = answered(api, PATH, between(FILTER_49, BODY, [down, down_to_body, STEP_49_52, thick]))
    assert rings_of(answer) == [["ring-01", "ring-03"], ["ring-04", "ring-05"]]
    assert [chain["steps_below"] for chain in answer["chains"]] == [0, 1]
    assert answer["chains"][0]["extension_mm"] > answer["chains"][1]["extension_mm"]
    assert "steps-below-thread" in codes(answer["remarks"])


def ends_of(each: Members) -> tuple[Members, Members]:
    return each["front"], each["rear"]


def test_rings_that_are_lent_or_not_owned_are_not_at_hand(api: FlaskClient) -> None:
    lent = {**REVERSING_52, "available": False}
    answer = answered(api, PATH, between(FILTER_49, BODY, [STEP_49_52, lent]))
    assert "must-buy" in codes(answer["remarks"])
    assert all("ring-02" not in rings for rings in rings_of(answer))


def test_a_ring_on_the_kits_list_of_wishes_may_be_bought(api: FlaskClient) -> None:
    wished = {**REVERSING_52, "owned": False, "price": 9}
    answer = answered(api, PATH, between(FILTER_49, BODY, [STEP_49_52, wished], most=50))
    assert {"rings": ["ring-01", "ring-02"], "buy": ["ring-02"], "extension_mm": 6.6}.items() <= next(
        chain for chain in answer["chains"] if chain["rings"] == ["ring-01", "ring-02"]
    ).items()


def test_what_must_be_bought_is_named_and_its_thickness_assumed(api: FlaskClient) -> None:
    answer = answered(api, PATH, between(thread("M58x0.75", "internal"), BODY, [], most=1))
    (chain,) = answer["chains"]
    assert chain["buy"] == chain["rings"] == ["reversing ring M58x0.75 external - mount bayonet-18.0 lens side"]
    assert chain["extension_mm"] is None
    assert answer["assumed"]["/chains/0/extension_mm"] > 0
    assert {"must-buy", "thickness-assumed"} <= codes(answer["remarks"])


def test_an_adapter_to_buy_has_the_thickness_that_keeps_infinity_focus(api: FlaskClient) -> None:
    answer = answered(api, PATH, between(mount("M42x1", "lens"), BODY, []))
    assert answer["chains"][0]["extension_mm"] == pytest.approx(27.46)
    assert answer["chains"][0]["infinity_focus"] == "kept"
    assert "thickness-assumed" not in codes(answer["remarks"])


def test_no_more_is_bought_than_it_takes(api: FlaskClient) -> None:
    answer = answered(api, PATH, between(FILTER_49, BODY, [REVERSING_52], most=50))
    assert {len(chain["buy"]) for chain in answer["chains"]} == {1}


def test_nothing_is_sold_for_a_mount_of_the_kits_own(api: FlaskClient) -> None:
    own = [{"id": "house-bayonet", "name": "of the house", "register_mm": 20}]
    answer = answered(api, PATH, between(FILTER_49, mount("house-bayonet", "body"), [], mounts=own))
    assert answer["chains"] == []
    assert "no-chain" in codes(answer["remarks"])


def test_a_ring_narrower_than_the_front_is_told(api: FlaskClient) -> None:
    narrow = {**REVERSING_52, "clear_diameter_mm": 45}
    ask = between(FILTER_49, BODY, [STEP_49_52, narrow], front_diameter_mm=47)
    answer = answered(api, PATH, ask)
    assert answer["chains"][0]["narrowest_mm"] == 45
    assert "narrower-than-front" in codes(answer["remarks"])
    ask["front_diameter_mm"] = 44
    assert "narrower-than-front" not in codes(answered(api, PATH, ask)["remarks"])


def test_where_no_clear_diameter_is_known_the_thread_bounds_the_light(api: FlaskClient) -> None:
    answer = answered(api, PATH, between(FILTER_49, BODY, [STEP_49_52, REVERSING_52]))
    assert answer["chains"][0]["narrowest_mm"] == 49


def test_a_ring_to_reverse_a_lens_brings_its_cautions(api: FlaskClient) -> None:
    answer = answered(api, PATH, between(FILTER_49, BODY, [STEP_49_52, REVERSING_52]))
    assert "reversed-rear-exposed" in codes(answer["cautions"])


@pytest.mark.parametrize(
    ("members", "faulty"),
    [
        ({}, {"/from_thread", "/from_mount", "/to_thread", "/to_mount"}),
        ({"from_thread": "M49x0.75", "to_mount": "M42x1", "to_side": "lens"}, {"/from_thread"}),
        (
            {
                "from_thread": "M49x0.75",
                "from_gender": "internal",
                "from_mount": "M42x1",
                "to_mount": "C",
                "to_side": "body",
            },
            {"/from_thread", "/from_gender", "/from_mount"},
        ),
        (
            {"from_thread": "M49", "from_gender": "internal", "to_mount": "house", "to_side": "body"},
            {"/from_thread", "/to_mount"},
        ),
        (
            {"from_thread": "M49x0.75", "from_gender": "male", "to_mount": "C", "to_side": "body", "most": 51},
            {"/from_gender", "/most"},
        ),
    ],
)
def test_ends_that_are_not_whole_or_that_there_are_not_are_refused(
    api: FlaskClient, members: Members, faulty: set[str]
) -> None:
    assert pointers(refused(api, PATH, members)) == faulty


@pytest.mark.parametrize("most", [0, 2.5, "5", True, None])
def test_how_many_is_a_whole_number(api: FlaskClient, most: Any) -> None:
    ask = {"from_thread": "M49x0.75", "from_gender": "internal", "to_mount": "C", "to_side": "body", "most": most}
    assert pointers(refused(api, PATH, ask)) == {"/most"}


def test_a_kit_of_a_thousand_rings_is_answered_with_the_best_fifty(api: FlaskClient) -> None:
    rings = [ring(number, *ends_of(STEP_49_52), 2 + number % 5) for number in range(1000)]
    answer = answered(api, PATH, between(FILTER_49, thread("M52x0.75", "external"), rings, most=50))
    assert len(answer["chains"]) == 50
    assert {chain["extension_mm"] for chain in answer["chains"]} == {2.0}
