from typing import Any

import pytest
from marshmallow.fields import List

from closeup_client import Client, camera, close_up_lens, lens, objective, solve, spacer, teleconverter
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.registry import operations
from documented_forms import straight
from method_names import method_name
from ruler_pictures import pictures

EXAMPLES = [
    pytest.param(operation, example, id=f"{operation.operation_id}-{example.name}")
    for operation in operations()
    for example in operation.examples
]
LISTINGS = [operation for operation in operations() if operation.request_schema is None]


def answer_of(client: Client, operation: Operation, example: Example) -> Any:
    method, photographs = getattr(client, method_name(operation)), [pictures()[name] for name in example.photographs]
    if not photographs:
        return method(**example.request)
    assert operation.request_schema is not None
    several = isinstance(operation.request_schema.fields["photo"], List)
    return method(photographs if several else photographs[0], **example.request)


@pytest.mark.parametrize("operation", operations(), ids=lambda operation: operation.operation_id)
def test_every_operation_has_a_client_method(operation: Operation) -> None:
    assert callable(getattr(Client, method_name(operation), None))


@pytest.mark.parametrize("operation", operations(), ids=lambda operation: operation.operation_id)
def test_every_operation_that_asks_for_something_has_an_example_to_run(operation: Operation) -> None:
    assert bool(operation.examples) == (operation.request_schema is not None)


@pytest.mark.parametrize(("operation", "example"), EXAMPLES)
def test_every_documented_example_runs_through_its_method(
    client: Client, operation: Operation, example: Example
) -> None:
    answer = answer_of(client, operation, example)
    assert answer.raw == straight(operation, example)


@pytest.mark.parametrize(("operation", "example"), EXAMPLES)
def test_socket_and_process_give_equal_results(
    by_socket: Client, in_process: Client, operation: Operation, example: Example
) -> None:
    assert answer_of(by_socket, operation, example) == answer_of(in_process, operation, example)


@pytest.mark.parametrize("operation", LISTINGS, ids=lambda operation: operation.operation_id)
def test_every_record_of_the_catalogue_arrives(client: Client, operation: Operation) -> None:
    records = getattr(client, method_name(operation))()
    assert [record.raw for record in records] == straight(operation, None)["records"]
    assert records


@pytest.mark.parametrize("operation", LISTINGS, ids=lambda operation: operation.operation_id)
def test_socket_and_process_give_equal_records(by_socket: Client, in_process: Client, operation: Operation) -> None:
    assert getattr(by_socket, method_name(operation))() == getattr(in_process, method_name(operation))()


def test_magnification_that_fills_the_frame(client: Client) -> None:
    answer = client.magnification(subject_width_mm=18, sensor="36x24")
    assert answer.magnification == 2.0  # 36 mm over 18 mm, by definition
    assert answer.subject_height_mm == 12.0
    assert answer.extension_mm is None
    assert [remark.code for remark in answer.remarks] == ["not-determined"]


def test_a_length_is_solved_for_a_target(client: Client) -> None:
    answer = client.evaluate(
        camera=camera(register_mm=44.0),
        train=[lens(focal_length_mm=50, register_mm=44.0), spacer()],
        solve=solve(unknown="/train/1/length_mm", maximum=100, target={"magnification": 1}),
    )
    assert answer.solved is not None
    assert answer.solved.pointer == "/train/1/length_mm"
    assert answer.solved.value == pytest.approx(50.0)  # extension = f m, Newton's form of the lens equation


def test_every_builder_gives_a_part_that_the_service_takes(client: Client) -> None:
    answer = client.evaluate(
        camera=camera(register_mm=44.0, sensor="36x24"),
        train=[
            close_up_lens(power_dpt=2),
            lens(focal_length_mm=100, f_number=8, register_mm=44.0, front_principal_plane_mm=30),
            spacer(length_mm=25),
            teleconverter(factor=1.4, added_length_mm=20),
        ],
    )
    assert answer.magnification is not None
    assert answer.magnification > 0
    assert answer.solved is None
    tube = client.evaluate(
        camera=camera(register_mm=18.0),
        train=[
            objective(magnification=5, numerical_aperture=0.14, tube_lens_focal_length_mm=200),
            lens(focal_length_mm=200, register_mm=18.0, front_principal_plane_mm=60),
        ],
    )
    assert tube.magnification == pytest.approx(5.0)  # the tube lens it is rated for gives the engraved figure


def test_cautions_name_whom_they_concern(client: Client) -> None:
    answer = client.effective_f_number(mounting="reversed", f_number=8, magnification=2)
    assert {caution.concerns for caution in answer.cautions} <= {"people", "animals", "gear"}
    assert answer.cautions
    assert answer.assumed == {"pupil_magnification": 1.0}


def test_a_running_service_is_alive(client: Client) -> None:
    assert client.is_alive()


def test_a_client_says_whom_it_asks(service_url: str) -> None:
    with Client(service_url + "/") as client:
        assert repr(client) == f"<Client of {service_url}>"


def test_steps_arrive_as_records(client: Client) -> None:
    answer = client.effective_f_number(f_number=8, magnification=1.5, pupil_magnification=1.3, show_steps=True)
    first = answer.steps[0]
    assert first.numbers == "N_eff = 8 · (1 + 1.5 / 1.3) = 17.23"
    assert first.result == answer.effective_f_number
    assert [each.symbol for each in first.inputs] == ["N", "m", "p"]


def test_there_are_no_steps_unless_asked_for(client: Client) -> None:
    assert client.effective_f_number(f_number=8, magnification=1.5).steps == ()
