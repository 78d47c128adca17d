"""A sensor's id is its measures: however many zeros end them, it is the same sensor wherever one is taken."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from marshmallow import Schema, fields

from asking import LENS, answered, refused, spacer
from closeup_client import cli
from closeup_service.operations.refer.kit.schemas import SENSORS_BY_ID
from closeup_service.operations.registry import operations
from closeup_service.schemas.sensor import SensorId
from kits import changed
from page_reading import read

SPELT, SHORT = "17.3x13.0", "17.3x13"


def sensor_fields(schema: Schema, seen: set[type[Schema]]) -> Iterator[fields.Field[Any]]:
    """Every field of a request that is called a sensor, in whatever object."""
    if type(schema) in seen:
        return
    seen.add(type(schema))
    for name, field in schema.fields.items():
        inner = field.inner if isinstance(field, fields.List) else field
        if isinstance(inner, fields.Nested):
            yield from sensor_fields(inner.schema, seen)
        elif name.endswith("sensor"):
            yield field


def test_every_request_takes_its_sensors_by_their_measures() -> None:
    seen: set[type[Schema]] = set()
    found = [
        field
        for operation in operations()
        if operation.request_schema is not None
        for field in sensor_fields(operation.request_schema, seen)
    ]
    assert len(found) > 10
    assert all(isinstance(field, SensorId) for field in found)


@pytest.mark.parametrize("spelt", [SHORT, "17.30x13.00"])
@pytest.mark.parametrize(
    ("path", "members"),
    [
        ("/v1/magnification", {"subject_width_mm": 15, "sensor": SPELT}),
        ("/v1/format-equivalence", {"f_number": 8, "magnification": 1, "sensor": "36x24", "other_sensor": SPELT}),
        ("/v1/set-ups/evaluate", {"camera": {"register_mm": 20, "sensor": SPELT}, "train": [LENS, spacer(31)]}),
        ("/v1/kit", {"kit": changed("/cameras/0/sensor", SPELT)}),
    ],
)
def test_the_answer_is_the_same(api: FlaskClient, path: str, members: dict[str, Any], spelt: str) -> None:
    assert answered(api, path, members) == answered(api, path, replaced(members, SPELT, spelt))


def replaced(value: Any, old: str, new: str) -> Any:
    """A request with one text replaced wherever it stands."""
    if isinstance(value, dict):
        return {name: replaced(member, old, new) for name, member in value.items()}
    if isinstance(value, list):
        return [replaced(item, old, new) for item in value]
    return new if value == old else value


def test_by_query_too(api: FlaskClient) -> None:
    first, second = (
        api.get(f"/v1/magnification?subject_width_mm=15&sensor={spelt}").get_json() for spelt in (SPELT, SHORT)
    )
    assert first == second
    assert first["magnification"] == pytest.approx(17.3 / 15)


def test_a_page_shows_it_chosen(api: FlaskClient) -> None:
    pages = [
        read(api, f"/tasks/fill-the-frame?subject_width_mm=15&subject_height_mm=9&sensor={spelt}").text
        for spelt in (SPELT, SHORT)
    ]
    assert f'<option value="{SPELT}" selected>' in pages[1]
    assert f'value="{SHORT}"' not in pages[1]
    assert "Please correct" not in pages[1]
    assert "1.15" in pages[1]


def test_the_calculator_in_a_frame_shows_it_chosen(api: FlaskClient) -> None:
    text = api.get(f"/embed/frame/magnification?subject_width_mm=15&sensor={SHORT}").text
    assert f'<option value="{SPELT}" selected' in text


def test_the_command_line_takes_it(capsys: pytest.CaptureFixture[str]) -> None:
    told = []
    for spelt in (SPELT, SHORT):
        assert cli.main(["magnification", "--sensor", spelt, "--subject-width-mm", "15"]) == 0
        told.append(capsys.readouterr().out)
    assert told[0] == told[1]


@pytest.mark.parametrize("turned", ["24x36", "24x36.0"])
def test_a_sensor_written_height_first_is_refused_with_the_one_meant(api: FlaskClient, turned: str) -> None:
    (fault,) = refused(api, "/v1/magnification", {"subject_width_mm": 15, "sensor": turned})["errors"]
    assert fault["pointer"] == "/sensor"
    assert "36x24 is one" in fault["detail"]


def test_a_listing_names_the_sensors_of_the_first_release_and_gives_the_measures_of_others(api: FlaskClient) -> None:
    assert (
        answered(api, "/v1/kit", {"kit": changed("/cameras/0/sensor", SHORT)})["kit"]["cameras"][0]["sensor"] == SPELT
    )
    kit = changed("/cameras/0/sensor", "49x36.8")
    listed = answered(api, "/v1/kit", {"kit": kit})["kit"]["cameras"][0]
    assert "sensor" not in listed
    assert (listed["sensor_width_mm"], listed["sensor_height_mm"]) == (49.0, 36.8)


def test_the_sensors_of_the_first_release_are_those_that_it_published() -> None:
    released = json.loads((Path(__file__).parents[2] / "openapi" / "released" / "1.0.0.json").read_text())
    assert set(SENSORS_BY_ID) == set(released["components"]["schemas"]["KitCamera"]["properties"]["sensor"]["enum"])
