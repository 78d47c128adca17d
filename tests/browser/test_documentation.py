"""The documentation page in a real browser."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

WIDTHS = (320, 768, 1440)


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_fits_every_screen(service_url: str, open_page: Callable[..., Page], width: int, scheme: str) -> None:
    page = open_page(f"{service_url}/docs", viewport={"width": width, "height": 800}, color_scheme=scheme)
    assert page.title()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
