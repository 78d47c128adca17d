"""What an answer tells with show_steps, and what it does not without."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import LENS, SET_UPS, answered, pointers, refused, set_up, spacer
from closeup_service.operations.registry import operations
from closeup_service.optics.diffraction import end_half_depth
from closeup_service.worked.board import Board
from closeup_service.worked.formula import Formula
from closeup_service.worked.registry import formulas, published
from closeup_service.worked.sharpness import END_DEPTH
from closeup_service.worked.symbols import SYMBOLS
from worked_requests import REQUESTS
from worked_sums import WORKED

EVERY_FORMULA = [each for own in formulas().values() for each in own]
APERTURE: dict[str, Any] = {"f_number": 8, "magnification": 1.5, "pupil_magnification": 1.3}


def steps_of(api: FlaskClient, path: str, members: dict[str, Any]) -> list[dict[str, Any]]:
    steps: list[dict[str, Any]] = answered(api, path, {**members, "show_steps": True})["steps"]
    return steps


def formulas_of(api: FlaskClient, path: str, members: dict[str, Any]) -> list[str]:
    return [step["formula"] for step in steps_of(api, path, members)]


@pytest.fixture(scope="module")
def shown(api: FlaskClient) -> set[tuple[str, str]]:
    examples = [(operation.path, example.request) for operation in WORKED for example in operation.examples]
    return {
        (step["formula"], step["source"])
        for path, request in [*examples, *REQUESTS]
        for step in steps_of(api, path, dict(request))
    }


@pytest.mark.parametrize("formula", EVERY_FORMULA, ids=lambda formula: formula.text[:60])
def test_every_formula_is_shown_by_some_request(shown: set[tuple[str, str]], formula: Formula) -> None:
    assert (formula.shown, formula.source) in shown


def written_and_worked(api: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> list[list[tuple[Formula, bool]]]:
    """Formulas of every request, each with whether its result came from its own text: no answer holds it."""
    told: list[list[tuple[Formula, bool]]] = []
    write, work = Board.write, Board.work

    def noted_write(board: Board, formula: Formula, result: float | None, **values: float) -> None:
        told[-1].append((formula, False))
        write(board, formula, result, **values)

    def noted_work(board: Board, formula: Formula, **values: float) -> float:
        result = work(board, formula, **values)
        told[-1][-1] = (formula, True)
        return result

    monkeypatch.setattr(Board, "write", noted_write)
    monkeypatch.setattr(Board, "work", noted_work)
    for path, request in [*((each.path, example.request) for each in WORKED for example in each.examples), *REQUESTS]:
        told.append([])
        steps_of(api, path, dict(request))
    return told


def test_a_text_of_its_own_is_held_by_a_result_of_the_physics(
    api: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An intermediate that no answer holds goes into one that is compared with what the physics calculated."""
    held: set[Formula] = set()
    for request in written_and_worked(api, monkeypatch):
        wanted: set[str] = set()
        for formula, from_its_text in reversed(request):
            if not from_its_text or formula.symbol in wanted:
                held.add(formula)
                wanted.discard(formula.symbol)
                wanted.update(formula.inputs)
    assert [each for each in EVERY_FORMULA if type(each) is Formula and each not in held] == []


@pytest.mark.parametrize("depth", [0.3, 1.7, 20.0])
def test_the_half_depth_without_a_pupil_is_that_of_one_infinitely_far(depth: float) -> None:
    assert END_DEPTH.value({"T": depth}) == end_half_depth(depth, 0.0)


def test_every_formula_that_is_shown_is_in_the_registry(shown: set[tuple[str, str]]) -> None:
    assert shown <= {(formula.shown, formula.source) for formula in EVERY_FORMULA}


def test_every_symbol_stands_in_some_formula() -> None:
    assert SYMBOLS.keys() == {name for formula in EVERY_FORMULA for name in (formula.symbol, *formula.inputs)}


def test_the_registry_explains_every_symbol_for_pages() -> None:
    entries = [entry for own in published().values() for entry in own]
    assert len(entries) == len(EVERY_FORMULA)
    aperture = next(entry for entry in entries if entry.formula == "N_eff = N · (m + 1 / p)")
    assert [each.symbol for each in aperture.symbols] == ["N_eff", "N", "m", "p"]
    assert [each.quantity for each in aperture.symbols][1] == "f_number"
    assert all(entry.meaning and entry.source for entry in entries)
    assert all(each.label for entry in entries for each in entry.symbols)


def test_a_reversed_lens_shows_its_own_formula(api: FlaskClient) -> None:
    normal, reversed_ = (
        steps_of(api, "/v1/effective-f-number", {**APERTURE, "mounting": mounting})[0]
        for mounting in ("normal", "reversed")
    )
    assert normal["numbers"] == "N_eff = 8 · (1 + 1.5 / 1.3) = 17.23"
    assert reversed_["numbers"] == "N_eff = 8 · (1.5 + 1 / 1.3) = 18.15"  # by hand, as in the README


@pytest.mark.parametrize(
    ("model", "half_depth"),
    [("geometric", "x_0 = x_g"), ("wave", "x_0 = x_w"), ("combined", "x_0 = x_g + x_w")],
)
def test_each_model_shows_its_own_half_depth(api: FlaskClient, model: str, half_depth: str) -> None:
    members = {**APERTURE, "circle_of_confusion_mm": 0.02, "model": model}
    assert half_depth in formulas_of(api, "/v1/depth-of-field", members)


def test_the_contrast_model_says_in_words_how_it_is_found(api: FlaskClient) -> None:
    members = {**APERTURE, "model": "contrast", "sensor_detail_lp_per_mm": 20}
    (found,) = (step for step in steps_of(api, "/v1/depth-of-field", members) if step["numbers"] is None)
    assert found["symbol"] == "x_0"
    assert "wave sums" in found["formula"]
    assert found["inputs"] == []


def test_what_is_not_determined_has_no_step(api: FlaskClient) -> None:
    members = {"focal_length_mm": 50, "magnification": 1}
    assert [step["quantity"] for step in steps_of(api, "/v1/working-distance", members)] == ["subject_distance_mm"]


def test_a_train_of_two_lenses_shows_the_matrix_of_each(api: FlaskClient) -> None:
    in_front = {"element": "close-up-lens", "power_dpt": 5}
    steps = steps_of(api, SET_UPS, set_up(in_front, {**LENS, "reversed": False}, spacer(60)))
    elements = [step["symbol"] for step in steps if step["symbol"] in ("C_m", "D_m")]
    assert elements == ["C_m", "D_m"] * 2
    assert [step["symbol"] for step in steps].count("A") == 2  # behind the gap between them, and at the sensor


def test_steps_come_by_query_too(api: FlaskClient) -> None:
    asked = "f_number=8&magnification=1.5&pupil_magnification=1.3&show_steps=true"
    told = api.get(f"/v1/effective-f-number?{asked}").get_json()
    assert told["steps"] == steps_of(api, "/v1/effective-f-number", APERTURE)


@pytest.mark.parametrize("members", [{}, {"show_steps": False}], ids=["not asked", "asked not to"])
def test_an_answer_without_them_has_no_steps(api: FlaskClient, members: dict[str, Any]) -> None:
    assert "steps" not in answered(api, "/v1/effective-f-number", {**APERTURE, **members})


@pytest.mark.parametrize(
    "operation",
    [each for each in operations() if each.steps is None and each.request_schema],
    ids=lambda each: each.path,
)
def test_what_tells_no_steps_refuses_to_be_asked_for_them(api: FlaskClient, operation: Any) -> None:
    if operation.takes_photographs:
        problem = api.post(operation.path, data={"show_steps": "true"}, content_type="multipart/form-data").get_json()
    else:
        problem = refused(api, operation.path, {"show_steps": True})
    assert "/show_steps" in pointers(problem)


def test_only_a_boolean_asks_for_steps(api: FlaskClient) -> None:
    assert pointers(refused(api, "/v1/effective-f-number", {**APERTURE, "show_steps": 1})) == {"/show_steps"}
