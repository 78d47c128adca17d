"""Classes of lenses whose unknown data can be estimated: `/v1/catalogue/lens-classes`."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered, codes

PATH, ESTIMATE = "/v1/catalogue/lens-classes", "/v1/lens-estimate"
A_LITTLE = 1e-6


@pytest.fixture(scope="module")
def records(api: FlaskClient) -> dict[str, dict[str, Any]]:
    response = api.get(PATH)
    assert response.status_code == 200
    return {record["id"]: record for record in response.get_json()["records"]}


def estimate(api: FlaskClient, focal_length: float, **more: Any) -> dict[str, Any]:
    return answered(api, ESTIMATE, {"focal_length_mm": focal_length, **more})


def class_taken(api: FlaskClient, register: float, *, zoom: bool) -> str:
    ends = {"zoom_from_mm": 40, "zoom_to_mm": 60} if zoom else {}
    name: str = estimate(api, 50, lens_register_mm=register, **ends)["lens_class"]
    return name


def test_a_class_is_what_lens_class_takes(api: FlaskClient, records: dict[str, dict[str, Any]]) -> None:
    for name, record in records.items():
        f = (record["focal_length_from_mm"] * record["focal_length_to_mm"]) ** 0.5
        answer = estimate(api, f, lens_class=name)
        assert answer["lens_class"] == name
        assert answer["assumed"]["lens_register_mm"] == record["register_mm"]
        assert answer["assumed"]["widest_f_number"] == record["usual_f_number"]
        assert "no-statistics" not in codes(answer["remarks"])


def test_registers_tell_families_apart_as_listed(api: FlaskClient, records: dict[str, dict[str, Any]]) -> None:
    told = [record for record in records.values() if record["taken_from_register_mm"] is not None]
    assert len(told) == 6
    for record in told:
        least = max(record["taken_from_register_mm"], 1.0)
        below = record["taken_below_register_mm"]
        for register in (least, 100.0 if below is None else below - A_LITTLE):
            for zoom in (False, True) if record["zoom"] is None else (record["zoom"],):
                assert class_taken(api, register, zoom=zoom) == record["id"]
        if below is not None:
            assert class_taken(api, below, zoom=bool(record["zoom"])) != record["id"]


@pytest.mark.parametrize("zoom", [False, True])
def test_every_register_is_of_one_family(records: dict[str, dict[str, Any]], zoom: bool) -> None:
    taken = [
        (record["taken_from_register_mm"], record["taken_below_register_mm"])
        for record in records.values()
        if record["taken_from_register_mm"] is not None and record["zoom"] in (zoom, None)
    ]
    taken.sort()
    assert taken[0][0] == 0
    assert taken[-1][1] is None
    assert [end for _, end in taken[:-1]] == [start for start, _ in taken[1:]]


def test_beyond_the_focal_lengths_listed_there_are_no_statistics(
    api: FlaskClient, records: dict[str, dict[str, Any]]
) -> None:
    for name, record in records.items():
        for f, within in (
            (record["focal_length_from_mm"] - 1, False),
            (record["focal_length_from_mm"], True),
            (record["focal_length_to_mm"] + 1, False),
        ):
            answer = estimate(api, f, lens_class=name)
            assert ("no-statistics" in codes(answer["remarks"])) is not within
            assert answer["figure"]["value"] is None or within


def test_classes_blend_over_the_focal_lengths_listed(api: FlaskClient, records: dict[str, dict[str, Any]]) -> None:
    wide, normal, _ = records["slr-prime"]["classes"]
    assert (wide["blends_out_from_mm"], wide["blends_out_to_mm"]) == (
        normal["blends_in_from_mm"],
        normal["blends_in_to_mm"],
    )
    start, end = wide["blends_out_from_mm"], wide["blends_out_to_mm"]
    designs = [estimate(api, f, lens_class="slr-prime")["designs"] for f in (start - 1, (start + end) / 2, end + 1)]
    assert designs == [wide["patents"], wide["patents"] + normal["patents"], normal["patents"]]


def test_counts_and_origin_are_stated(records: dict[str, dict[str, Any]]) -> None:
    # documentation of the statistics: 505 records from 314 patents, 165 from 104 kept back
    origins = [record["statistics"] for record in records.values()]
    assert all(each == origins[0] for each in origins)
    assert (origins[0]["records"], origins[0]["patents"]) == (505, 314)
    assert (origins[0]["records_held_back"], origins[0]["patents_held_back"]) == (165, 104)
    assert "not of the lens in the hand" in origins[0]["limits"]


def test_it_is_cached_as_the_other_lists_are(api: FlaskClient) -> None:
    first, other = api.get(PATH), api.get("/v1/catalogue/mounts")
    assert first.headers["Cache-Control"] == other.headers["Cache-Control"]
    assert api.get(PATH, headers={"If-None-Match": first.headers["ETag"]}).status_code == 304
