"""The curl forms of the documentation run as shown."""

import json
import subprocess
from pathlib import Path

import pytest

from closeup_service.operations.operation import Example, Operation
from documented_forms import forms, straight
from ruler_pictures import draw

ADDRESS = "http://127.0.0.1:8000"


@pytest.mark.parametrize(("operation", "example", "text"), forms("curl"))
def test_each_call_gets_the_answer_to_its_example(
    service_url: str, tmp_path: Path, operation: Operation, example: Example | None, text: str
) -> None:
    draw(tmp_path)
    command = ["sh", "-c", text.replace(ADDRESS, service_url)]
    ended = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True, cwd=tmp_path)
    assert json.loads(ended.stdout) == straight(operation, example)
