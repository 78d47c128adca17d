"""The exported folder in a real browser, from a plain web server that knows nothing but files."""

from collections.abc import Callable, Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from playwright.sync_api import Page

from closeup_client import cli

CHARTS = "[...document.images].map(({complete, naturalWidth, alt, width}) => ({complete, naturalWidth, alt, width}))"
CUT = "[...document.querySelectorAll('section')].filter(each => each.scrollWidth > each.clientWidth).length"
A4_WITHIN_MARGINS_PX = 703
"""186 of 210 mm, at 96 px an inch."""
WRITTEN_PX = 12.5
LEAST_TEXT_PX = 11


class Files(SimpleHTTPRequestHandler):
    """Files of a folder, and no icon, which browsers ask for of themselves."""

    def do_GET(self) -> None:
        if self.path != "/favicon.ico":
            return super().do_GET()
        self.send_response(204)
        self.end_headers()

    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing."""


@pytest.fixture(scope="module")
def site_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    folder: Path = tmp_path_factory.mktemp("site")
    assert cli.main(["export", str(folder), "--lens", "60mm f/2.8 p=1.1"]) == 0
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Files, directory=folder))
    thread = Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.mark.parametrize("width", [320, 1200])
def test_every_page_shows_its_charts_within_the_screen(
    site_url: str, open_page: Callable[..., Page], width: int
) -> None:
    page = open_page(f"{site_url}/index.html", viewport={"width": width, "height": 900})
    names = page.eval_on_selector_all("li a", "links => links.map(link => link.getAttribute('href'))")
    assert len(names) == 8
    charts = 0
    for name in names:
        answer = page.goto(f"{site_url}/{name}")
        assert answer is not None
        assert answer.ok
        assert page.evaluate("document.documentElement.scrollWidth") == width
        for image in page.evaluate(CHARTS):
            assert image["complete"]
            assert image["alt"]
            assert image["naturalWidth"] > 0
            assert WRITTEN_PX * image["width"] / image["naturalWidth"] >= LEAST_TEXT_PX
            charts += 1
    assert charts == 7 * 4


@pytest.mark.parametrize("name", ["wide-35", "zoom-24-60-at-24", "long-135"])
def test_nothing_is_cut_off_on_paper(site_url: str, open_page: Callable[..., Page], name: str) -> None:
    page = open_page(f"{site_url}/{name}.html", viewport={"width": A4_WITHIN_MARGINS_PX, "height": 1000})
    page.emulate_media(media="print")
    assert page.evaluate(CUT) == 0
    across = page.eval_on_selector_all("img, section", "all => all.map(each => each.getBoundingClientRect().right)")
    assert max(across) <= A4_WITHIN_MARGINS_PX
