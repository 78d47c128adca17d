"""The forms of the examples as the documentation's pages show them."""

from functools import cache
from typing import Any

import pytest

from closeup_service.web.app import create_app
from closeup_service.web.operation import Example, Operation
from closeup_service.web.operations import OPERATIONS
from example_answers import asked
from html_pages import read_page


@cache
def shown(operation_id: str, form: str) -> list[str]:
    page = read_page(create_app().test_client().get(f"/docs/{operation_id}").text)
    return [node.text for node in page.all("pre", class_=form)]


def forms(form: str) -> list[Any]:
    """Every example of every operation with its text in one form, as parameters of a test; None stands for asking nothing."""
    return [
        pytest.param(operation, example, text, id=f"{operation.operation_id}-{index}")
        for operation in OPERATIONS
        for index, (example, text) in enumerate(
            zip(operation.examples or (None,), shown(operation.operation_id, form), strict=True)
        )
    ]


@cache
def application() -> Any:
    return create_app().test_client()


def straight(operation: Operation, example: Example | None) -> Any:
    """Answer of the application to the example itself."""
    if example is not None and operation.takes_photographs:
        return asked(application(), operation, example)
    if example is None:
        return application().get(operation.path).json
    return application().post(operation.path, json=example.request).json
