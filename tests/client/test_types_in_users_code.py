"""What a type checker says of users' code: each ignored error must be one, or the strict check of the tests fails."""

import pytest

from closeup_client import Client, Element, ServiceRefused, camera, lens, spacer


def test_a_misspelt_keyword_is_an_error_of_type_and_of_value(in_process: Client) -> None:
    with pytest.raises(ServiceRefused, match="did you mean focal_length_mm"):
        in_process.working_distance(focal_lenth_mm=50, magnification=1)  # type: ignore[call-arg]


def test_text_for_a_number_is_an_error_of_type_and_of_value(in_process: Client) -> None:
    with pytest.raises(ServiceRefused, match="/f_number: Give a number"):
        in_process.effective_f_number(f_number="8", magnification=1)  # type: ignore[arg-type]


def test_an_unknown_mounting_is_an_error_of_type_and_of_value(in_process: Client) -> None:
    with pytest.raises(ServiceRefused, match="/mounting"):
        in_process.effective_f_number(f_number=8, magnification=1, mounting="upside-down")  # type: ignore[arg-type]


def test_a_lens_without_focal_length_is_an_error_of_type_and_of_value(in_process: Client) -> None:
    bare = lens(f_number=8)  # type: ignore[call-arg]
    with pytest.raises(ServiceRefused, match="/train/0/focal_length_mm"):
        in_process.evaluate(camera=camera(register_mm=44), train=[bare])


def test_a_result_that_may_be_null_must_be_looked_at_first(in_process: Client) -> None:
    answer = in_process.working_distance(focal_length_mm=50, magnification=1)
    with pytest.raises(TypeError):
        answer.working_distance_mm + 1  # type: ignore[operator]


def test_a_train_of_mixed_parts_may_be_built_before_the_call(in_process: Client) -> None:
    train: list[Element] = [lens(focal_length_mm=50, register_mm=44), spacer(length_mm=50)]
    assert in_process.evaluate(camera=camera(register_mm=44), train=train).magnification == pytest.approx(1.0)


def test_results_cannot_be_changed(in_process: Client) -> None:
    answer = in_process.working_distance(focal_length_mm=50, magnification=1)
    with pytest.raises(AttributeError):
        answer.subject_distance_mm = 1.0  # type: ignore[misc]
