"""Answers to the documented examples that send photographs: `python tests/support/example_answers.py FILE` writes them."""

import json
import sys
from io import BytesIO
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient

from closeup_service.http.app import create_app
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.registry import operations
from closeup_service.published.document import rounded
from ruler_pictures import pictures


def parts_of(operation: Operation, example: Example) -> dict[str, Any]:
    """The form of an example, for the application's own test client."""
    files = [(BytesIO(pictures()[name]), name) for name in example.photographs]
    return {name: str(value) for name, value in example.request.items()} | {operation.photographs or "": files}


def asked(api: FlaskClient, operation: Operation, example: Example) -> Any:
    response = api.post(operation.path, data=parts_of(operation, example))
    assert response.status_code == 200, response.text
    return response.json


def main(path: Path) -> None:
    api = create_app().test_client()
    taking = [operation for operation in operations() if operation.takes_photographs]
    answers = {each.name: rounded(asked(api, operation, each)) for operation in taking for each in operation.examples}
    path.write_text(json.dumps(answers, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
