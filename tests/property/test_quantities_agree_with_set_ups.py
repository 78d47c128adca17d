"""The quantity resources and the one-lens set-up stand on one core: they agree to 1e-12 relative."""

from typing import TYPE_CHECKING, Any, cast

import pytest
from hypothesis import assume, given

from closeup_service.operations.plan.magnification import operation as magnification
from closeup_service.operations.set_up.depth_of_field import operation as depth_of_field
from closeup_service.operations.set_up.effective_f_number import operation as effective_f_number
from closeup_service.operations.set_up.evaluate import operation as set_up
from closeup_service.operations.set_up.working_distance import operation as working_distance
from closeup_service.optics.errors import OpticsError
from set_ups import Document, lengths, one_lens_set_ups

if TYPE_CHECKING:
    from closeup_service.records import requests

CLOSE = 1e-12


def answer_of(document: Document) -> dict[str, Any]:
    try:
        return {**set_up.answer(cast("requests.SetUpRequest", document))}
    except OpticsError:
        assume(False)
        raise


def lens_fields(lens: dict[str, Any], *names: str) -> dict[str, Any]:
    mounting = "reversed" if lens["reversed"] else "normal"
    return {"mounting": mounting} | {name: lens[name] for name in names}


def well_conditioned(m: float) -> None:
    """Below 1:10 the magnification is a small difference of large lengths, and rounding alone exceeds 1e-12."""
    assume(m >= 0.1)


@given(one_lens_set_ups())
def test_the_effective_f_number_agrees(drawn: tuple[Document, float]) -> None:
    document, _ = drawn
    whole = answer_of(document)
    well_conditioned(whole["magnification"])
    part = effective_f_number.OPERATION.answer(
        lens_fields(document["train"][0], "f_number", "pupil_magnification") | {"magnification": whole["magnification"]}
    )
    for name in ("effective_f_number", "numerical_aperture"):
        assert part[name] == pytest.approx(whole[name], rel=CLOSE)
    assert part["light_loss_stops"] == pytest.approx(whole["light_loss_stops"], rel=CLOSE, abs=CLOSE)


@given(one_lens_set_ups())
def test_the_working_distance_agrees(drawn: tuple[Document, float]) -> None:
    document, _ = drawn
    whole = answer_of(document)
    well_conditioned(whole["magnification"])
    lens, spacer = document["train"]
    assume(spacer["length_mm"] >= 0)
    names = ["focal_length_mm", "principal_plane_separation_mm"]
    names += ["register_mm"] if lens["reversed"] else ["front_principal_plane_mm"]
    fields = lens_fields(lens, *names) | {"magnification": whole["magnification"]}
    fields["lens_register_mm"] = fields.pop("register_mm", None)
    part = working_distance.OPERATION.answer(fields)
    scale = max(lens["focal_length_mm"] / whole["magnification"], whole["working_distance_mm"])
    assert part["working_distance_mm"] == pytest.approx(whole["working_distance_mm"], rel=CLOSE, abs=CLOSE * scale)
    assert part["subject_to_sensor_mm"] == pytest.approx(whole["subject_to_sensor_mm"], rel=CLOSE, abs=CLOSE * scale)


@given(one_lens_set_ups())
def test_the_depth_of_field_agrees(drawn: tuple[Document, float]) -> None:
    document, _ = drawn
    whole = answer_of(document)
    well_conditioned(whole["magnification"])
    fields = lens_fields(document["train"][0], "f_number", "pupil_magnification", "focal_length_mm")
    part = depth_of_field.OPERATION.answer(
        fields | {"magnification": whole["magnification"], "sensor_width_mm": 36.0, "sensor_height_mm": 24.0}
    )
    for name, value in whole["depth_of_field"].items():
        assert part[name] == (pytest.approx(value, rel=CLOSE) if isinstance(value, float) else value)


@given(one_lens_set_ups(), lengths(0, 1))
def test_the_magnification_agrees(drawn: tuple[Document, float], unused: float) -> None:
    del unused
    document, m = drawn
    well_conditioned(m)
    lens, spacer = document["train"]
    assume(spacer["length_mm"] >= 0)
    fields = lens_fields(lens, "focal_length_mm") | {
        "extension_mm": spacer["length_mm"],
        "camera_register_mm": document["camera"]["register_mm"],
        "lens_register_mm": lens["register_mm"],
        "front_principal_plane_mm": lens["front_principal_plane_mm"],
    }
    whole = answer_of(document)
    part = magnification.OPERATION.answer(fields)
    extent = (document["camera"]["register_mm"] + spacer["length_mm"] + 60) / lens["focal_length_mm"]
    assert part["magnification"] == pytest.approx(whole["magnification"], rel=CLOSE, abs=CLOSE * extent)


@given(one_lens_set_ups())
def test_the_magnification_found_by_working_distance_leads_back(drawn: tuple[Document, float]) -> None:
    document, m = drawn
    whole = answer_of(document)
    lens = document["train"][0]
    fields = lens_fields(lens, "focal_length_mm", "front_principal_plane_mm") | {
        "lens_register_mm": lens["register_mm"],
        "camera_register_mm": document["camera"]["register_mm"],
        "working_distance_mm": whole["working_distance_mm"],
    }
    part = magnification.OPERATION.answer(fields)
    assert part["magnification"] == pytest.approx(m, rel=1e-7)
    if part["extension_mm"] is not None:
        assert part["extension_mm"] == pytest.approx(document["train"][1]["length_mm"], rel=1e-6, abs=1e-4)
