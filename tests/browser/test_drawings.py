"""Drawings and the sheet in a real browser: shown on foreign pages, printed on one side."""

import json
import re
from collections.abc import Callable
from html import escape
from typing import Any
from urllib.parse import quote

import pytest
from playwright.sync_api import Page

from foreign_page import document as page_around
from foreign_page import foreign_page, images

CAMERA = {"register_mm": 18.0, "sensor": "23.5x15.6", "circle_of_confusion_mm": 0.019}
LENS: dict[str, Any] = {
    "element": "lens",
    "focal_length_mm": 51.6,
    "f_number": 5.6,
    "front_principal_plane_mm": 27,
    "principal_plane_separation_mm": 0.5,
    "register_mm": 45.46,
    "front_protrusion_mm": 4,
}
SHORT: dict[str, Any] = {"camera": CAMERA, "train": [LENS, {"element": "spacer", "length_mm": 52.46}]}
LONGEST: dict[str, Any] = {
    "camera": CAMERA,
    "train": [
        *({"element": "close-up-lens", "power_dpt": 1 + step / 10} for step in range(4)),
        LENS,
        *({"element": "spacer", "length_mm": 1.01 + step, "clear_diameter_mm": 40 + step / 10} for step in range(27)),
    ],
    "subject_depth_mm": 2,
    "exposure": {
        "unknown": "exposure_time_s",
        "reference": {
            "f_number": 8,
            "exposure_time_s": 0.01,
            "iso": 100,
            "magnification": 0.1,
            "pupil_magnification": 1,
        },
        "planned": {"iso": 200},
    },
    "subject_kind": "fluid-specimen",
    "light_source": "ultraviolet-lamp",
    "mains_powered": True,
    "old_flash": True,
    "modelling_lamp_distance_mm": 100,
    "least_lamp_distance_mm": 300,
    "duty_limit_pops": 10,
    "heading": "W" * 80,
}
"""As many parts as a train may have, no two alike, and every kind of caution."""


in_each_language = pytest.mark.parametrize("segment", ["", "/de"], ids=["in English", "in German"])


def address(service_url: str, name: str, document: dict[str, Any]) -> str:
    return f"{service_url}/v1/set-ups/{name}?document={quote(json.dumps(document))}"


@pytest.mark.parametrize(
    ("name", "more"), [("drawing", {"width_px": 700}), ("frame-drawing", {"subject_width_mm": 8, "width_px": 700})]
)
def test_an_image_on_a_foreign_page_shows_the_drawing(
    service_url: str, open_page: Callable[..., Page], name: str, more: dict[str, Any]
) -> None:
    image = f'<img alt="set-up" src="{escape(address(service_url, name, {**SHORT, **more}))}">'
    alone = {"Cross-Origin-Embedder-Policy": "require-corp"}
    with foreign_page(page_around(image), images(service_url), alone) as where:
        page = open_page(where)
        page.wait_for_load_state("load")
        assert page.evaluate("document.querySelector('img').naturalWidth") == 700


def pages_of(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


@in_each_language
@pytest.mark.parametrize("document", [SHORT, LONGEST], ids=["short", "longest"])
def test_the_sheet_prints_on_one_side_of_a4(
    service_url: str, open_page: Callable[..., Page], document: dict[str, Any], segment: str
) -> None:
    page = open_page(address(service_url + segment, "sheet", document))
    pdf = page.pdf(prefer_css_page_size=True)
    assert pages_of(pdf) == 1
    width, height = map(float, re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", pdf)[0])
    assert (width, height) == pytest.approx((595, 842), abs=1.5)


def test_what_has_no_room_on_the_sheet_is_named(service_url: str, open_page: Callable[..., Page]) -> None:
    page = open_page(address(service_url, "sheet", LONGEST))
    assert "Left out for want of room" in page.inner_text("main")
    assert "eyes" in page.inner_text(".cautions")
    assert page.locator("ol li").count() == len(LONGEST["train"]) + 1


def test_long_names_of_a_kit_do_not_make_a_second_page(service_url: str, open_page: Callable[..., Page]) -> None:
    faces = {"front": {"mount": "M42x1", "side": "body"}, "rear": {"mount": "M42x1", "side": "lens"}}
    tubes = [
        {"id": f"tube-{step}", "name": f"{step} WIDE TUBE{' WIDE TUBE' * 18}", "length_mm": 1 + step, **faces}
        for step in range(31)
    ]
    train = [LENS, *({"element": "kit-part", "use": tube["id"]} for tube in tubes)]
    document = {**LONGEST, "train": train, "kit": {"name": "Invented", "tubes": tubes}}
    page = open_page(address(service_url, "sheet", SHORT))
    sent = page.context.request.post(f"{service_url}/v1/set-ups/sheet", data=document, headers={"Accept": "text/html"})
    assert sent.status == 200
    body = sent.text()
    page.route("**/v1/set-ups/sheet*", lambda route: route.fulfill(body=body, content_type="text/html; charset=utf-8"))
    page.reload()
    assert "WIDE TUBE" in page.inner_text("main")
    assert "eyes" in page.inner_text(".cautions")
    assert pages_of(page.pdf(prefer_css_page_size=True)) == 1


@in_each_language
@pytest.mark.parametrize("width", [320, 768, 1440])
def test_the_sheet_fits_every_screen(
    service_url: str, open_page: Callable[..., Page], width: int, segment: str
) -> None:
    page = open_page(address(service_url + segment, "sheet", LONGEST), viewport={"width": width, "height": 800})
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate("document.querySelectorAll('[style], style, script:not([src])').length") == 0


@pytest.mark.parametrize("width", [320, 640, 768, 1440])
def test_the_drawing_on_the_sheet_can_be_read_on_every_screen(
    service_url: str, open_page: Callable[..., Page], width: int
) -> None:
    page = open_page(address(service_url, "sheet", SHORT), viewport={"width": width, "height": 800})
    sizes = page.evaluate(
        """() => [...document.querySelectorAll("figure svg")].filter((svg) => svg.clientWidth).map((svg) =>
          Math.min(...[...svg.querySelectorAll("text")].map((text) =>
            parseFloat(getComputedStyle(text).fontSize) * svg.getScreenCTM().a)))"""
    )
    assert len(sizes) == 1
    assert sizes[0] >= 11
