"""Charts: `/v1/charts/…`; their rows are what the operations that they stand on answer."""

import json
from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient

from asking import LENS, SET_UPS, answered, codes, pointers, refused, set_up, spacer, without
from closeup_service.operations.registry import operations
from closeup_service.operations.set_up.optimum_aperture.schemas import MOST_APERTURES
from drawn_charts import SVG, faults_of, texts_of
from references import objects_of, written_out

APERTURE, MAGNIFICATION, STACK, CALIBRATION = (
    f"/v1/charts/{name}" for name in ("aperture", "magnification", "stack", "calibration")
)
CHARTS = [operation for operation in operations() if operation.tag == "chart"]
TUBE = "/train/1/length_mm"
LICHEN = set_up(LENS, spacer(31), subject_depth_mm=1, subject_detail_lp_per_mm=30)
RAIL: dict[str, Any] = {"f_number": 5.6, "magnification": 2, "sensor": "23.5x15.6", "subject_depth_mm": 1.5}
RULER: dict[str, Any] = {
    "frames": [{"extension_mm": e, "magnification": e / 50 + 0.001 * (e % 3)} for e in (30, 10, 20, 40, 50)]
}
NORMAL = {"element": "lens", "focal_length_mm": 50, "f_number": 4, "register_mm": 18.0, "front_principal_plane_mm": 20}
WIDTHS = (320, 360, 777, 1600)


def drawn(api: FlaskClient, path: str, members: dict[str, Any]) -> str:
    response = api.post(path, json=members, headers={"Accept": "image/svg+xml"})
    assert response.status_code == 200, response.text
    assert response.content_type == "image/svg+xml"
    return response.text


def words(svg: str) -> list[str]:
    return [text.words for text in texts_of(ElementTree.fromstring(svg))]


def height_of(svg: str) -> float:
    return float(ElementTree.fromstring(svg).attrib["height"])


def at_mark(mark: float, **more: Any) -> dict[str, Any]:
    return {**LICHEN, "train": [{**LENS, "f_number": mark}, spacer(31)], **more}


def test_each_mark_is_the_set_up_at_that_mark(api: FlaskClient) -> None:
    answer = answered(api, APERTURE, LICHEN)
    assert [row["nominal_f_number"] for row in answer["rows"]][:4] == [2.8, 3.2, 3.5, 4]
    for row in answer["rows"][::5]:
        single = answered(api, SET_UPS, at_mark(row["f_number"]))
        assert row["effective_f_number"] == pytest.approx(single["effective_f_number"], rel=1e-12)
        assert row["total_mm"] == pytest.approx(single["depth_of_field"]["total_mm"], rel=1e-12)
        resolution = single["diffraction"]["subject_resolution_um"]
        assert row["subject_resolution_um"] == pytest.approx(resolution, rel=1e-12)


@pytest.mark.parametrize("more", [{}, {"light": "white"}, {"aperture_series": "full", "greatest_f_number": 45}])
def test_contrasts_and_the_best_mark_are_those_of_the_optimum_aperture(api: FlaskClient, more: dict[str, Any]) -> None:
    answer = answered(api, APERTURE, {**LICHEN, **more})
    magnification = answered(api, SET_UPS, LICHEN)["magnification"]
    one_lens = {
        "mounting": "reversed",
        "magnification": magnification,
        **{name: LENS[name] for name in ("focal_length_mm", "pupil_magnification")},
        **{name: LICHEN[name] for name in ("subject_depth_mm", "subject_detail_lp_per_mm")},
        **more,
    }
    optimum = answered(api, "/v1/optimum-aperture", one_lens)
    for name in ("middle_contrast", "end_contrast", "effective_f_number"):
        assert [row[name] for row in answer["rows"]] == pytest.approx([row[name] for row in optimum["curve"]], rel=1e-9)
    assert [row["ends_resolved"] for row in answer["rows"]] == [row["ends_resolved"] for row in optimum["curve"]]
    assert answer["best_nominal_f_number"] == optimum["best"]["nominal_f_number"]
    assert answer["best_by"] == "contrast"
    assert answer["optimum_f_number"] == pytest.approx(optimum["f_number"], rel=1e-9)


def test_without_a_detail_the_closed_form_tells_the_best_mark(api: FlaskClient) -> None:
    answer = answered(api, APERTURE, without(LICHEN, "subject_detail_lp_per_mm"))
    assert answer["best_by"] == "closed-form"
    assert answer["best_nominal_f_number"] == pytest.approx(answer["optimum_f_number"], rel=0.13)
    assert {row["middle_contrast"] for row in answer["rows"]} == {None}
    assert any("middle_contrast" in note["text"] and "detail" in note["text"] for note in answer["remarks"])


def test_without_a_depth_no_mark_is_the_best(api: FlaskClient) -> None:
    answer = answered(api, APERTURE, without(LICHEN, "subject_depth_mm"))
    assert (answer["best_nominal_f_number"], answer["best_by"]) == (None, None)
    assert all(row["middle_contrast"] is not None and row["end_contrast"] is None for row in answer["rows"])
    assert "subject_depth_mm" in " ".join(note["text"] for note in answer["remarks"])
    assert not any(word.startswith("best") for word in words(drawn(api, APERTURE, without(LICHEN, "subject_depth_mm"))))


def test_the_best_mark_is_marked_and_told(api: FlaskClient) -> None:
    answer, svg = answered(api, APERTURE, LICHEN), drawn(api, APERTURE, LICHEN)
    assert f"best: f/{answer['best_nominal_f_number']:g}" in words(svg)
    drawing = ElementTree.fromstring(svg)
    assert drawing.findtext(f"{SVG}desc") == answer["finding"]
    assert drawing.findtext(f"{SVG}title") == answer["title"]


def test_the_ring_turned_is_that_whose_stop_governs(api: FlaskClient) -> None:
    front = {
        "element": "lens",
        "reversed": True,
        "focal_length_mm": 50,
        "f_number": 2,
        "register_mm": 44,
        "front_principal_plane_mm": 30,
    }
    behind = {
        "element": "lens",
        "focal_length_mm": 100,
        "f_number": 8,
        "register_mm": 18,
        "front_principal_plane_mm": 40,
    }
    coupled = set_up(front, spacer(1), behind)
    governing = answered(api, SET_UPS, coupled)["aperture_stop"]
    answer = answered(api, APERTURE, coupled)
    assert answer["along"] == answer["assumed"]["/along"] == f"/train/{governing}/f_number"
    other = f"/train/{2 - governing}/f_number"
    assert answered(api, APERTURE, {**coupled, "along": other})["along"] == other


def test_a_lens_whose_aperture_is_left_open_is_turned(api: FlaskClient) -> None:
    answer = answered(api, APERTURE, {**LICHEN, "train": [without(LENS, "f_number"), spacer(31)]})
    assert answer["along"] == "/train/0/f_number"
    assert answer["rows"] == answered(api, APERTURE, LICHEN)["rows"]


def test_without_a_ring_it_is_refused(api: FlaskClient) -> None:
    objective = {"element": "objective", "magnification": 5, "numerical_aperture": 0.14, "tube_length_mm": 160}
    problem = refused(api, APERTURE, set_up({**objective, "focal_length_mm": 32}, spacer(142)))
    assert pointers(problem) == {"/along"}


def test_the_kits_lens_has_its_own_marks(api: FlaskClient) -> None:
    lens = {"element": "kit-part", "use": "wide-35", "reversed": True, "f_number": 8}
    rings = [{"element": "kit-part", "use": use} for use in ("step-up-49-52", "reversing-52-house")]
    bellows = {"element": "kit-part", "use": "table-bellows", "length_mm": 80}
    document = {"camera": {"use": "field-camera"}, "train": [lens, *rings, bellows]}
    answer = answered(api, APERTURE, document)
    assert answer["kit_revision"]
    assert "demo-kit" in codes(answer["remarks"])
    assert "/aperture_series" not in answer["assumed"]
    single = answered(api, SET_UPS, document)
    (row,) = [row for row in answer["rows"] if row["nominal_f_number"] == 8]
    assert row["total_mm"] == pytest.approx(single["depth_of_field"]["total_mm"], rel=1e-12)
    along = answered(api, MAGNIFICATION, {**document, "along": "/train/3/length_mm"})
    kit = {part["id"]: part for part in answered(api, "/v1/kit", {})["kit"]["bellows"]}
    ends = [along["rows"][place]["length_mm"] for place in (0, -1)]
    assert ends == [kit["table-bellows"][name] for name in ("minimum_length_mm", "maximum_length_mm")]


def test_each_length_is_the_set_up_at_that_length(api: FlaskClient) -> None:
    answer = answered(api, MAGNIFICATION, {**set_up(LENS, spacer(31)), "along": TUBE, "points": 5})
    assert [row["length_mm"] for row in answer["rows"]] == [0, 15.5, 31, 46.5, 62]
    for row in answer["rows"]:
        single = answered(api, SET_UPS, set_up(LENS, spacer(row["length_mm"])))
        for name in ("magnification", "working_distance_mm"):
            assert row[name] == pytest.approx(single[name], rel=1e-12)
    assert answer["assumed"]["/maximum"] == 62


def test_the_length_that_varies_may_be_left_out(api: FlaskClient) -> None:
    ends = {"along": TUBE, "minimum": 5, "maximum": 80}
    left_out = set_up(LENS, {"element": "spacer"}, **ends)
    assert (
        answered(api, MAGNIFICATION, left_out)["rows"]
        == answered(api, MAGNIFICATION, set_up(LENS, spacer(3), **ends))["rows"]
    )
    assert answered(api, MAGNIFICATION, without(left_out, "minimum", "maximum"))["rows"][-1]["length_mm"] == 100


def test_focusing_varies_as_a_length_does(api: FlaskClient) -> None:
    answer = answered(api, MAGNIFICATION, {**set_up(NORMAL), "along": "/train/0/focusing_extension_mm"})
    first, last = answer["rows"][0], answer["rows"][-1]
    assert (first["length_mm"], first["magnification"], first["problem"]) == (0, None, "focused-at-infinity")
    assert (last["length_mm"], last["magnification"]) == (50, pytest.approx(1))  # one focal length out is 1:1
    assert "1 of 25 lengths cannot be" in answer["finding"]


def test_a_curve_of_impossible_lengths_is_still_a_chart(api: FlaskClient) -> None:
    members = {**set_up(NORMAL, spacer(0)), "along": TUBE, "maximum": 0}
    answer = answered(api, MAGNIFICATION, members)
    assert [row["problem"] for row in answer["rows"]] == ["focused-at-infinity"]
    svg = drawn(api, MAGNIFICATION, members)
    assert " ".join(words(svg)).count("there is no value to draw") == 2
    assert faults_of(svg) == []


def test_what_a_chart_lacks_is_said_in_words_in_place_of_an_empty_frame(api: FlaskClient) -> None:
    bare = {"camera": {"register_mm": 44}, "train": [LENS, spacer(30)]}
    said = " ".join(words(drawn(api, APERTURE, bare)))
    assert "give a detail in line pairs per mm" in said
    assert "give the sensor, or the circle of confusion" in said
    whole = drawn(api, APERTURE, LICHEN)
    assert "give" not in " ".join(words(whole))
    assert height_of(drawn(api, APERTURE, bare)) < height_of(whole)


def test_the_frames_are_those_of_the_stack(api: FlaskClient) -> None:
    answer, stack = answered(api, STACK, RAIL), answered(api, "/v1/focus-stack", RAIL)
    assert [row["position_mm"] for row in answer["rows"]] == stack["positions_mm"]
    for name in ("frames", "step_mm", "assumed", "remarks", "cautions"):
        assert answer[name] == stack[name]
    depth = stack["depth_of_field"]
    for row in answer["rows"]:
        assert row["sharp_from_mm"] == pytest.approx(row["position_mm"] - depth["front_depth_mm"])
        assert row["sharp_to_mm"] == pytest.approx(row["position_mm"] + depth["rear_depth_mm"])
    assert [row["overlap_with_next"] for row in answer["rows"][:-1]] == pytest.approx(
        [stack["overlap"]] * (stack["frames"] - 1)
    )
    assert answer["rows"][-1]["overlap_with_next"] is None
    assert answer["rows"][0]["sharp_from_mm"] <= 0
    assert answer["rows"][-1]["sharp_to_mm"] >= 1.5


@pytest.mark.parametrize("ring_moves", ["lens", "rear-standard"])
def test_frames_by_the_ring_have_each_their_own_depth_and_leave_no_gap(api: FlaskClient, ring_moves: str) -> None:
    members = {
        "method": "ring",
        "ring_moves": ring_moves,
        "focal_length_mm": 60,
        "f_number": 8,
        "pupil_magnification": 0.8,
        "magnification": 0.5,
        "circle_of_confusion_mm": 0.02,
        "subject_depth_mm": 28,
        "overlap": 0.3,
    }
    answer, stack = answered(api, STACK, members), answered(api, "/v1/focus-stack", members)
    rows = answer["rows"]
    assert min(row["overlap_with_next"] for row in rows[:-1]) == pytest.approx(stack["overlap"])
    widths = [row["sharp_to_mm"] - row["sharp_from_mm"] for row in rows]
    assert widths == sorted(widths)
    assert widths[-1] > 1.2 * widths[0]
    alone = {
        name: members[name] for name in members if name not in ("method", "ring_moves", "subject_depth_mm", "overlap")
    }
    nearest = answered(api, "/v1/depth-of-field", alone)
    at_nearest = rows[0]["sharp_to_mm"] - rows[0]["position_mm"]
    assert at_nearest == pytest.approx(nearest["rear_depth_mm"], rel=0.1)  # its plane lies a little behind the nearest


def test_unlimited_depth_is_drawn_as_going_on(api: FlaskClient) -> None:
    members = {
        "f_number": 16,
        "magnification": 0.001,
        "focal_length_mm": 50,
        "circle_of_confusion_mm": 0.03,
        "subject_depth_mm": 9000,
    }
    (row,) = answered(api, STACK, members)["rows"]
    assert (row["sharp_to_mm"], row["rear_extent"]) == (None, "unlimited")
    svg = drawn(api, STACK, members)
    assert "goes-on" in svg
    assert any("it goes on" in word for word in words(svg))
    assert faults_of(svg) == []


def test_thousands_of_frames_are_listed_and_drawn_as_a_band(api: FlaskClient) -> None:
    members = {**RAIL, "subject_depth_mm": 2000, "overlap": 0.1}
    answer, svg = answered(api, STACK, members), drawn(api, STACK, members)
    assert len(answer["rows"]) == answer["frames"] > 5000
    assert len(svg) < 50_000
    assert any("one band" in word for word in words(svg))
    assert faults_of(svg) == []


def test_the_calibration_is_that_of_the_lens(api: FlaskClient) -> None:
    answer, calibration = answered(api, CALIBRATION, RULER), answered(api, "/v1/lens-calibration", RULER)
    (lens,) = answer["lenses"]
    residuals = sorted(calibration["residuals"], key=lambda row: row["extension_mm"])
    assert [{name: row[name] for name in residuals[0]} for row in lens["rows"]] == residuals
    assert lens["focal_length_mm"] == calibration["focal_length_mm"]
    slope = [
        (b["fitted_magnification"] - a["fitted_magnification"]) / 10
        for a, b in zip(lens["rows"], lens["rows"][1:], strict=False)
    ]
    assert slope == pytest.approx([1 / calibration["focal_length_mm"]] * 4)  # m = x / f is a straight line
    assert (answer["remarks"], answer["assumed"]) == (calibration["remarks"], calibration["assumed"])


def test_every_setting_of_a_zoom_is_in_the_chart(api: FlaskClient) -> None:
    (example,) = [each for each in CHARTS[3].examples if "settings" in each.request]
    answer = answered(api, CALIBRATION, dict(example.request))
    whole = answered(api, "/v1/lens-calibration", dict(example.request))
    assert [lens["setting"] for lens in answer["lenses"]] == [24, 35, 50]
    assert [lens["focal_length_mm"] for lens in answer["lenses"]] == [
        lens["focal_length_mm"] for lens in whole["settings"]
    ]
    assert [lens["remarks"] for lens in answer["lenses"]] == [lens["remarks"] for lens in whole["settings"]]
    assert {"at 24", "at 35", "at 50"} <= set(words(drawn(api, CALIBRATION, dict(example.request))))


def test_outliers_are_hollow_and_said(api: FlaskClient) -> None:
    frames = [
        {"extension_mm": e, "magnification": e / 50 + (0.2 if e == 30 else 0), "magnification_uncertainty": 0.002}
        for e in range(10, 80, 5)
    ]
    svg = drawn(api, CALIBRATION, {"frames": frames})
    assert svg.count('hollow"') == 2  # among the readings, and among the residuals
    assert any("outlier" in word for word in words(svg))
    assert "Outliers: 1." in answered(api, CALIBRATION, {"frames": frames})["finding"]


def test_the_fullest_zoom_keeps_within_the_size_that_is_promised(api: FlaskClient) -> None:
    settings = [
        {
            "setting": s,
            "frames": [
                {"extension_mm": e, "magnification": round(e / s, 4), "magnification_uncertainty": 0.01}
                for e in range(10, 110)
            ],
        }
        for s in range(24, 64, 2)
    ]
    published = api.get("/openapi.json").get_json()
    schema = written_out(published, objects_of(published))["paths"][CALIBRATION]["post"]["responses"]["200"]["content"][
        "image/svg+xml"
    ]["schema"]
    svg = drawn(api, CALIBRATION, {"settings": settings})
    assert len(svg) <= schema["maxLength"]
    assert faults_of(svg) == []


EXTREMES: list[tuple[str, dict[str, Any]]] = [
    (APERTURE, LICHEN),
    (APERTURE, set_up(without(LENS, "f_number"), spacer(31))),
    (APERTURE, {**LICHEN, "f_numbers": [8]}),
    (APERTURE, {**LICHEN, "least_f_number": 0.5, "greatest_f_number": 256}),
    (APERTURE, {**LICHEN, "f_numbers": [4 + 0.001 * number for number in range(MOST_APERTURES)]}),
    (APERTURE, {**LICHEN, "subject_depth_mm": 0}),
    (APERTURE, {**set_up(NORMAL), "along": "/train/0/f_number"}),
    (APERTURE, {**LICHEN, "depth_of_field_model": "contrast", "contrast": 0.9}),
    (MAGNIFICATION, {**set_up(LENS, spacer(0)), "along": TUBE, "minimum": 2000}),
    (MAGNIFICATION, {**set_up(LENS, spacer(0)), "along": TUBE, "minimum": 0.1, "maximum": 2000, "points": 200}),
    (MAGNIFICATION, {**set_up(NORMAL, spacer(0)), "along": TUBE, "minimum": 0, "maximum": 0.001, "points": 2}),
    (STACK, {**RAIL, "subject_depth_mm": 0.01}),
    (STACK, {**RAIL, "subject_depth_mm": 12}),
    (CALIBRATION, {"focal_length_mm": 50, "frames": [{"extension_mm": 10, "magnification": 0.2}]}),
    (CALIBRATION, {"frames": [{"extension_mm": e, "magnification": e / 50} for e in (10, 20)]}),
    (CALIBRATION, RULER),
]


@pytest.mark.parametrize(("path", "members"), EXTREMES)
@pytest.mark.parametrize("width", WIDTHS)
def test_every_chart_is_clear_at_every_width(api: FlaskClient, path: str, members: dict[str, Any], width: int) -> None:
    assert faults_of(drawn(api, path, {**members, "width_px": width})) == []


@pytest.mark.parametrize("operation", CHARTS, ids=lambda operation: operation.operation_id)
def test_the_width_changes_the_drawing_alone(api: FlaskClient, operation: Any) -> None:
    asked = dict(operation.examples[0].request)
    assert answered(api, operation.path, {**asked, "width_px": 900}) == answered(api, operation.path, asked)
    assert 'viewBox="0 0 900 ' in drawn(api, operation.path, {**asked, "width_px": 900})
    assert 'viewBox="0 0 360 ' in drawn(api, operation.path, asked)
    for width in (239, 1601, 300.5, "wide", None):
        assert pointers(refused(api, operation.path, {**asked, "width_px": width})) == {"/width_px"}


@pytest.mark.parametrize("operation", CHARTS, ids=lambda operation: operation.operation_id)
def test_get_gives_what_post_gives(api: FlaskClient, operation: Any) -> None:
    asked = dict(operation.examples[0].request)
    query = asked if operation.by_query == "fields" else {"document": json.dumps(asked)}
    for accepted in ("application/json", "image/svg+xml"):
        headers = {"Accept": accepted}
        got = api.get(operation.path, query_string=query, headers=headers)
        assert got.status_code == 200
        assert got.data == api.post(operation.path, json=asked, headers=headers).data


@pytest.mark.parametrize(
    ("path", "members", "at"),
    [
        (APERTURE, {**LICHEN, "along": "/train/1/f_number"}, "/along"),
        (APERTURE, {**LICHEN, "along": "/train/9/f_number"}, "/along"),
        (APERTURE, {**LICHEN, "along": "/train/0/length_mm"}, "/along"),
        (APERTURE, {**LICHEN, "along": "/train/0/f_number\n"}, "/along"),
        (APERTURE, {**LICHEN, "along": 3}, "/along"),
        (APERTURE, {**LICHEN, "along": "<script>"}, "/along"),
        (APERTURE, {**LICHEN, "f_numbers": [8], "aperture_series": "full"}, "/aperture_series"),
        (APERTURE, {**LICHEN, "f_numbers": [0.1]}, "/f_numbers/0"),
        (APERTURE, {**LICHEN, "solve": {}}, "/solve"),
        (APERTURE, {**LICHEN, "train": []}, "/train"),
        (APERTURE, {**LICHEN, "train": "lens"}, "/train"),
        (APERTURE, without(LICHEN, "camera"), "/camera"),
        (MAGNIFICATION, set_up(LENS, spacer(31)), "/along"),
        (MAGNIFICATION, {**set_up(LENS, spacer(31)), "along": "/train/0/length_mm"}, "/along"),
        (MAGNIFICATION, {**set_up(LENS, spacer(31)), "along": "/train/1/length_mm\n"}, "/along"),
        (MAGNIFICATION, {**set_up(LENS, spacer(31)), "along": "/train/1/focusing_extension_mm"}, "/along"),
        (MAGNIFICATION, {**set_up(LENS, spacer(31)), "along": TUBE, "minimum": 5, "maximum": 4}, "/minimum"),
        (MAGNIFICATION, {**set_up(LENS, spacer(31)), "along": TUBE, "points": 201}, "/points"),
        (MAGNIFICATION, {**set_up(LENS, {"element": "spacer", "length_mm": "long"}), "along": TUBE}, TUBE),
        (MAGNIFICATION, {**set_up(LENS, {"element": "spacer"}), "along": "/train/0/focusing_extension_mm"}, TUBE),
        (STACK, without(RAIL, "f_number"), "/f_number"),
        (STACK, {**RAIL, "subject_depth_mm": 0}, "/subject_depth_mm"),
        (CALIBRATION, {}, "/frames"),
        (CALIBRATION, {**RULER, "colour": "red"}, "/colour"),
    ],
)
def test_what_cannot_be_charted_is_refused_at_its_member(
    api: FlaskClient, path: str, members: dict[str, Any], at: str
) -> None:
    assert at in pointers(refused(api, path, members))
