"""Charts in a real browser: texts as its fonts set them, and charts as images on another page."""

from collections.abc import Callable
from html import escape
from itertools import combinations
from typing import Any
from urllib.parse import urlencode

import pytest
import requests
from playwright.sync_api import Page

from closeup_service.operations.operation import Operation
from closeup_service.operations.registry import operations
from foreign_page import document, foreign_page, images

CHARTS = [
    pytest.param(operation, dict(example.request), id=f"{operation.operation_id}-{example.name}")
    for operation in operations()
    if operation.tag == "chart"
    for example in operation.examples
]
BOXES = """[...document.querySelectorAll('text')].map(text => {
  const {left, top, right, bottom} = text.getBoundingClientRect();
  return {words: text.textContent, left, top, right, bottom, size: parseFloat(getComputedStyle(text).fontSize)};
})"""
LEAST_TEXT_PX = 11


@pytest.mark.parametrize(("operation", "asked"), CHARTS)
@pytest.mark.parametrize(("width", "shown"), [(360, 320), (1200, 1200)])
def test_texts_are_large_enough_and_stand_apart(
    service_url: str,
    open_page: Callable[..., Page],
    operation: Operation,
    asked: dict[str, Any],
    width: int,
    shown: int,
) -> None:
    answer = requests.post(
        service_url + operation.path, json={**asked, "width_px": width}, headers={"Accept": "image/svg+xml"}, timeout=30
    )
    page = open_page("about:blank", viewport={"width": shown + 16, "height": 900})
    page.set_content(f"<!doctype html>{answer.text}")
    page.eval_on_selector(
        "svg", "(svg, shown) => { svg.setAttribute('width', shown); svg.removeAttribute('height') }", shown
    )
    boxes = page.evaluate(BOXES)
    assert boxes
    drawing = page.eval_on_selector("svg", "svg => svg.getBoundingClientRect().toJSON()")
    for box in boxes:
        assert box["size"] * shown / width >= LEAST_TEXT_PX
        assert drawing["left"] <= box["left"] <= box["right"] <= drawing["right"], box["words"]
        assert drawing["top"] <= box["top"] <= box["bottom"] <= drawing["bottom"], box["words"]
    for one, other in combinations(boxes, 2):
        across = one["left"] < other["right"] and other["left"] < one["right"]
        slack = 0.3 * one["size"]  # a box has the room of accents above and below, where no letter here reaches
        assert not (across and one["top"] + slack < other["bottom"] and other["top"] + slack < one["bottom"]), (
            one,
            other,
        )


def test_an_image_on_another_page_is_the_chart(service_url: str, open_page: Callable[..., Page]) -> None:
    query = urlencode({"f_number": 8, "magnification": 1, "subject_depth_mm": 3, "sensor": "36x24"})
    image = f'<img alt="stack" src="{escape(f"{service_url}/v1/charts/stack?{query}")}">'
    with foreign_page(document(image), images(service_url)) as address:
        page = open_page(address)
        page.wait_for_function("document.images[0].complete")
        assert page.evaluate("document.images[0].naturalWidth") == 360
