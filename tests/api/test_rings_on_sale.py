"""`/v1/ring-chains` without a ring of one's own: what rings on sale join, and what is said where none do."""

import re
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, refused, text_of
from closeup_service.gear.catalogue import MOUNTS, THREADS
from kits import Members

PATH = "/v1/ring-chains"
Face = tuple[str, str]


def between(api: FlaskClient, start: Face, end: Face) -> Members:
    asked: dict[str, Any] = {"kit": {"name": "No rings (invented)"}, "most": 1}
    for which, (name, side) in (("from", start), ("to", end)):
        kind, of_it = ("mount", "side") if side in ("lens", "body") else ("thread", "gender")
        asked |= {f"{which}_{kind}": name, f"{which}_{of_it}": side}
    return answered(api, PATH, asked)


# That these are sold is common practice, no source
JOINED: list[tuple[Face, Face, int]] = [
    (("RMS", "external"), ("bayonet-44.0", "body"), 2),
    (("RMS", "external"), ("bayonet-18.0", "body"), 2),
    (("RMS", "external"), ("bayonet-46.5", "body"), 2),
    (("RMS", "external"), ("M42x0.75", "body"), 1),
    (("M65x1", "external"), ("bayonet-44.0", "body"), 2),
    (("M65x1", "external"), ("M42x1", "body"), 1),
    (("M65x1", "internal"), ("bayonet-44.0", "body"), 2),
    (("M42x1", "external"), ("M65x1", "internal"), 1),
    (("M42x1", "lens"), ("bayonet-46.5", "body"), 1),
    (("M27x0.5", "internal"), ("M37x0.75", "external"), 1),
    (("M30.5x0.5", "internal"), ("bayonet-18.0", "body"), 3),
    (("M82x0.75", "internal"), ("M86x1", "external"), 1),
    (("M82x0.75", "internal"), ("M95x1", "external"), 1),
    (("M105x1", "internal"), ("bayonet-44.0", "body"), 3),
    (("M82x0.75", "internal"), ("bayonet-44.0", "body"), 1),
    (("C", "lens"), ("bayonet-9.2", "body"), 1),
    (("C", "lens"), ("bayonet-18.0", "body"), 1),
    (("2in-24tpi", "external"), ("bayonet-44.0", "body"), 2),
]


@pytest.mark.parametrize(("start", "end", "bought"), JOINED)
def test_rings_on_sale_join_them(api: FlaskClient, start: Face, end: Face, bought: int) -> None:
    (chain,) = between(api, start, end)["chains"]
    assert len(chain["buy"]) == bought


def test_an_adapter_to_a_camera_of_a_longer_register_is_thin_and_gives_infinity_up(api: FlaskClient) -> None:
    answer = between(api, ("M42x1", "lens"), ("bayonet-46.5", "body"))
    assert answer["chains"][0]["rings"] == ["thin adapter, lenses of M42x1 to cameras of bayonet-46.5"]
    assert answer["chains"][0]["extension_mm"] is None
    assert answer["assumed"]["/chains/0/extension_mm"] == 1.0
    assert answer["infinity_extension_mm"] == pytest.approx(45.46 - 46.5)
    assert "no chain without glass keeps infinity focus" in text_of(answer, "infinity-focus")


def test_where_no_ring_is_sold_the_ring_to_have_made_is_named_by_its_two_faces(api: FlaskClient) -> None:
    answer = between(api, ("RMS", "external"), ("bayonet-84.95", "body"))
    assert answer["chains"] == []
    text = text_of(answer, "no-chain")
    assert "no standard ring is known that does. Have one turned" in text
    assert "with the internal thread RMS (20.32 mm across, 36 turns to the inch) on one face" in text
    assert "the lens's side of bayonet-84.95 on the other" in text
    assert "other-gender" not in codes(answer["remarks"])


def test_where_the_other_gender_would_do_it_is_said_and_only_there(api: FlaskClient) -> None:
    answer = between(api, ("RMS", "internal"), ("bayonet-44.0", "body"))
    assert answer["chains"] == []
    text = text_of(answer, "other-gender")
    assert "with the external thread RMS (20.32 mm across, 36 turns to the inch) in its place" in text
    assert between(api, ("RMS", "external"), ("bayonet-44.0", "body"))["chains"]
    metric = text_of(between(api, ("M127x1", "internal"), ("C", "body")), "no-chain")
    assert "the external thread M127x1 (127 mm across, pitch 1 mm)" in metric
    assert "the lens's side of C (thread 1in-32UN)" in metric


@pytest.mark.parametrize("name", ["RMS", "M65x1"])
def test_a_thread_that_is_given_as_a_mount_is_told_so(api: FlaskClient, name: str) -> None:
    asked = {"from_mount": name, "from_side": "lens", "to_mount": "bayonet-18.0", "to_side": "body"}
    (fault,) = refused(api, PATH, asked)["errors"]
    assert fault["pointer"] == "/from_mount"
    assert f"{name} is a thread" in fault["detail"]


EVERY_END: list[tuple[Face, Face]] = [
    *(((name, gender), ("bayonet-44.0", "body")) for name in THREADS for gender in ("external", "internal")),
    *((("RMS", "external"), (name, "body")) for name in MOUNTS),
    *((("M49x0.75", "internal"), (name, "body")) for name in MOUNTS),
    *(((name, "lens"), ("M42x1", "body")) for name in MOUNTS),
]


def test_every_thread_and_mount_is_joined_or_the_two_faces_of_the_ring_to_make_are_named(api: FlaskClient) -> None:
    joined = 0
    for start, end in EVERY_END:
        answer = between(api, start, end)
        joined += bool(answer["chains"])
        if answer["chains"]:
            continue
        text = text_of(answer, "no-chain")
        assert "Have one turned, with " in text
        for name, _ in (start, end):
            assert re.search(rf"(thread|side of) {re.escape(name)}\b", text), (start, end)
    assert joined > 150
