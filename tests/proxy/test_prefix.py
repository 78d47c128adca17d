"""The service below a path of a club's site: behind any nginx and behind the shipped one."""

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
import requests

from crawling import Answer, Crawl
from page_reading import DRAWN
from running_proxy import NGINX, Changes, listens, running_proxy
from running_service import LONGEST_END_S, free_port, running_service, until

ROOT = "/closeup"
STARTS = ("/", DRAWN, "/embed/frame/flash")
TAKING_AWAY, PASSING_ON, SHIPPED = "a proxy that takes it away", "a proxy that passes it on", "the shipped proxy"
CHANGES: Changes = {"settings/addresses.conf": {'$prefix {\n  default "";': f'$prefix {{\n  default "{ROOT}";'}}
CLUB = """
daemon off; pid {folder}/pid; error_log stderr crit; {user}
events {{ }}
http {{
  access_log off; client_body_temp_path {folder}/body; proxy_temp_path {folder}/answers;
  fastcgi_temp_path {folder}/unused; uwsgi_temp_path {folder}/unused; scgi_temp_path {folder}/unused;
  server {{
    listen 127.0.0.1:{port};
    location {root}/ {{ proxy_pass http://127.0.0.1:{service}{within}; proxy_set_header Host $http_host; }}
  }}
}}
"""


@contextmanager
def club_site(folder: Path, service: int, within: str) -> Iterator[int]:
    """Run a plain nginx that offers the service below a path of its site; `within` is what it puts in place of that path."""
    folder.mkdir()
    port = free_port()
    user = "user root;" if os.geteuid() == 0 else ""
    text = CLUB.format(folder=folder, port=port, service=service, root=ROOT, within=within, user=user)
    (folder / "nginx.conf").write_text(text, encoding="utf-8")
    assert NGINX is not None
    process = subprocess.Popen([NGINX, "-p", str(folder), "-c", str(folder / "nginx.conf"), "-e", "stderr"])
    try:
        assert until(lambda: listens(port))
        yield port
    finally:
        process.terminate()
        process.wait(LONGEST_END_S)


@pytest.fixture(scope="module")
def below(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    """Return the port of a service that stands below the prefix."""
    with running_service(tmp_path_factory.mktemp("below") / "log", "--prefix", ROOT) as port:
        yield port


@pytest.fixture(scope="module", params=[TAKING_AWAY, PASSING_ON, SHIPPED])
def site(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory, below: int) -> Iterator[str]:
    """Return the address of a site that offers the service below the prefix."""
    folder = tmp_path_factory.mktemp("site") / "root"
    if request.param == SHIPPED:
        with running_proxy(folder, [below], CHANGES) as proxy:
            yield proxy.url
    else:
        with club_site(folder, below, "/" if request.param == TAKING_AWAY else "") as port:
            yield f"http://127.0.0.1:{port}"


def test_every_address_of_every_page_stays_below_the_prefix(site: str) -> None:
    session = requests.Session()
    session.trust_env = False

    def get(path: str) -> Answer:
        answer = session.get(site + path, headers={"Accept": "text/html,*/*;q=0.8"}, allow_redirects=False, timeout=20)
        kind, location = answer.headers["Content-Type"], answer.headers.get("Location", "")
        return Answer(answer.status_code, kind, answer.text if kind.startswith("text/html") else "", location)

    crawl = Crawl(ROOT, get).go(*STARTS)
    session.close()
    assert not crawl.outside
    assert not crawl.failed
    assert len(crawl.of_path) > 100


def test_the_shipped_proxy_keeps_its_rules_below_the_prefix(tmp_path: Path, below: int) -> None:
    with running_proxy(tmp_path / "root", [below], CHANGES) as proxy:
        large = {"photo": ("ruler.jpg", b"\0" * 2_000_000)}
        sent = requests.post(f"{proxy.url}{ROOT}/v1/scale-reading/photo", files=large, timeout=60)
        assert sent.status_code != 413
        hidden = requests.get(f"{proxy.url}{ROOT}/metrics", timeout=20)
        assert (hidden.status_code, hidden.json()["type"]) == (404, f"{ROOT}/problems/not-found")


def test_figures_stay_hidden_where_the_shipped_proxy_does_not_know_the_prefix(tmp_path: Path, below: int) -> None:
    with running_proxy(tmp_path / "root", [below]) as proxy:
        for path in ("/metrics", f"{ROOT}/metrics", f"{ROOT}/%6detrics"):
            assert requests.get(proxy.url + path, timeout=20).status_code == 404
