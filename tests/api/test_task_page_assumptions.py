"""A page links a figure to an assumed value where that makes a difference to it, and nowhere else."""

from collections.abc import Iterable
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered
from closeup_service.pages.assumed import TOUCHED, is_touched
from closeup_service.pages.task import Step, value_at
from closeup_service.pages.tasks import TASKS

SENSOR = {"sensor": "36x24"}
LENS = {
    "element": "lens",
    "focal_length_mm": 50,
    "register_mm": 18,
    "front_principal_plane_mm": 27,
    "principal_plane_separation_mm": 1,
    "pupil_magnification": 1.2,
    "f_number": 8,
}
SET_UP: dict[str, Any] = {
    "camera": {"register_mm": 18, **SENSOR},
    "train": [LENS, {"element": "spacer", "length_mm": 30}],
    "subject_depth_mm": 40,
}
ONE_LENS: dict[str, Any] = {"f_number": 8, "magnification": 1, **SENSOR, "pupil_magnification": 1.2}
BEST: dict[str, Any] = {
    **{"magnification": 2, "subject_depth_mm": 1, "pixel_pitch_um": 3.9, "subject_detail_lp_per_mm": 40},
    "pupil_magnification": 1.3,
}
RULER: dict[str, Any] = {"first_mark_mm": 0, "last_mark_mm": 20, "distance_px": 4800, "pixel_pitch_um": 3.9}
SHOWN_BY: dict[str, Step] = {step.operation_id: step for task in TASKS for step in task.steps}
OTHERWISE: list[tuple[str, str, dict[str, Any], dict[str, Any]]] = [
    ("evaluateSetUp", "/v1/set-ups/evaluate", SET_UP, {"/wavelength_nm": 900}),
    ("evaluateSetUp", "/v1/set-ups/evaluate", SET_UP, {"/camera/circle_of_confusion_mm": 0.005}),
    ("evaluateSetUp", "/v1/set-ups/evaluate", SET_UP, {"/depth_of_field_model": "wave"}),
    ("findDepthOfField", "/v1/depth-of-field", ONE_LENS, {"/wavelength_nm": 900}),
    ("findDepthOfField", "/v1/depth-of-field", ONE_LENS, {"/circle_of_confusion_mm": 0.005}),
    ("findDepthOfField", "/v1/depth-of-field", ONE_LENS, {"/model": "geometric"}),
    ("findDepthOfField", "/v1/depth-of-field", {**ONE_LENS, "model": "geometric"}, {"/circle_of_confusion_mm": 0.005}),
    ("findDepthOfField", "/v1/depth-of-field", {**ONE_LENS, "model": "wave"}, {"/wavelength_nm": 900}),
    ("findDiffraction", "/v1/diffraction", ONE_LENS, {"/wavelength_nm": 900}),
    ("findDiffraction", "/v1/diffraction", ONE_LENS, {"/circle_of_confusion_mm": 0.005}),
    ("findOptimumAperture", "/v1/optimum-aperture", BEST, {"/wavelength_nm": 900}),
    ("findOptimumAperture", "/v1/optimum-aperture", BEST, {"/contrast": 0.9}),
    ("readScale", "/v1/scale-reading", RULER, {"/reading_error_px": 9}),
    ("readScale", "/v1/scale-reading", RULER, {"/scale_error": 0.05}),
    ("readScale", "/v1/scale-reading", RULER, {"/pitch_error": 0.05}),
    ("readScale", "/v1/scale-reading", RULER, {"/tilt_error_deg": 5}),
]


def laid_in(document: dict[str, Any], pointer: str, value: object) -> dict[str, Any]:
    """A request with one member more."""
    *within, name = pointer.strip("/").split("/")
    if not within:
        return {**document, name: value}
    return {**document, within[0]: {**document[within[0]], name: value}}


def changed(before: dict[str, Any], after: dict[str, Any], paths: Iterable[str]) -> set[str]:
    """Paths whose results differ."""
    return {path for path in paths if value_at(before, path) != value_at(after, path)}


@pytest.mark.parametrize(("operation_id", "path", "asked", "otherwise"), OTHERWISE)
def test_an_assumed_value_is_linked_where_it_makes_a_difference(
    api: FlaskClient, operation_id: str, path: str, asked: dict[str, Any], otherwise: dict[str, Any]
) -> None:
    ((pointer, value),) = otherwise.items()
    before = answered(api, path, asked)
    name = next(each for each in (pointer, pointer.strip("/")) if each in before["assumed"])
    shown = SHOWN_BY[operation_id].shows
    moved = changed(before, answered(api, path, laid_in(asked, pointer, value)), shown)
    assert moved
    linked = {each for each in shown if is_touched(each, name, before) and value_at(before, each) is not None}
    assert moved == linked


def test_what_reaches_into_everything_is_linked_nowhere() -> None:
    assert not {"pupil_magnification", "mounting", "focusing_extension_mm", "register_mm"} & set(TOUCHED)


def test_the_overlap_counts_for_stacks_alone(api: FlaskClient) -> None:
    before = answered(api, "/v1/set-ups/evaluate", SET_UP)
    assert "/overlap" in before["assumed"]
    linked = {each for each in SHOWN_BY["evaluateSetUp"].shows if is_touched(each, "/overlap", before)}
    assert linked == {"stack_frames", "stack_step_mm"}
