"""The forms of the examples as the documentation's pages show them."""

from functools import cache
from typing import Any

import pytest

from closeup_service.http.app import create_app
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.registry import operations
from example_answers import asked
from html_pages import Page, read_page


@cache
def application() -> Any:
    return create_app().test_client()


@cache
def page_of(operation_id: str) -> Page:
    return read_page(application().get(f"/docs/{operation_id}").text)


def shown(operation_id: str, form: str) -> list[str]:
    return [node.text for node in page_of(operation_id).all("pre", class_=form)]


def forms(form: str) -> list[Any]:
    """Every example of every operation with its text in one form, as parameters of a test; None stands for asking nothing."""
    return [
        pytest.param(operation, example, text, id=f"{operation.operation_id}-{index}")
        for operation in operations()
        for index, (example, text) in enumerate(
            zip(operation.examples or (None,), shown(operation.operation_id, form), strict=True)
        )
    ]


def straight(operation: Operation, example: Example | None) -> Any:
    """Answer of the application to the example itself."""
    if example is not None and operation.takes_photographs:
        return asked(application(), operation, example)
    if example is None:
        return application().get(operation.path).json
    return application().post(operation.path, json=example.request).json
