"""Answers of released services: this client reads them, whatever its records have got since."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args, get_type_hints

import pytest

from closeup_client import Client
from closeup_client.reading import read, read_records
from closeup_service.operations.registry import operations
from method_names import method_name

RELEASED = Path(__file__).parents[2] / "openapi" / "released"
KINDS = {
    operation.path: get_type_hints(getattr(Client, method_name(operation)))["return"] for operation in operations()
}


def examples() -> Iterator[Any]:
    for released in sorted(RELEASED.glob("*.json")):
        document = json.loads(released.read_text(encoding="utf-8"))
        for path in KINDS:
            for method, described in document["paths"].get(path, {}).items():
                content = described["responses"]["200"]["content"]["application/json"]
                for name, example in content["examples"].items():
                    yield pytest.param(path, example["value"], id=f"{released.stem} {method} {path} {name}")


@pytest.mark.parametrize(("path", "value"), list(examples()))
def test_an_answer_of_a_released_service_is_read(path: str, value: Any) -> None:
    kind = KINDS[path]
    if get_args(kind):
        assert len(read_records(get_args(kind)[0], value)) == len(value["records"])
    else:
        assert read(kind, value).raw == value
