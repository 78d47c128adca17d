"""Checks the pages from outside, by tools that know nothing of this service.

`PYTHONPATH=tests/support python tests/browser/checks.py` needs the development packages, Node 20.19 or newer, and Chromium.
It starts the service on a free port and ends it again. Nothing is fetched but the packages of package-lock.json. See --help
for running some of the checks, and for keeping the Node packages between runs.
"""

import argparse
import contextlib
import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from playwright.sync_api import Browser, Page, sync_playwright

from browsers import BROWSER, NO_BROWSER, OPTIONS
from closeup_service.operations.set_up.sheet.operation import OPERATION as SHEET
from closeup_service.pages.embedding.snippets import RUNGS
from closeup_service.pages.texts import ANSWERS, LESSON, READING
from page_reading import DRAWN, STATES
from ruler_pictures import pictures
from running_service import clean_environment, running_service

HERE = Path(__file__).resolve().parent
NODE_FILES = (".htmlvalidate.json", ".npmrc", "package-lock.json", "package.json")
PAGES = (
    *STATES,
    "/docs",
    "/docs/findMagnification",
    "/docs/evaluateSetUp",
    "/problems/invalid-fields",
    "/tasks/unknown",
    "/kit",
    "/offline",
    "/compare",
    f"/compare?{urlencode({'a': DRAWN})}",
    f"/compare?{urlencode({'a': DRAWN, 'b': DRAWN.replace('f_number=8', 'f_number=16')})}",
    *(text.address for text in (*READING, LESSON, ANSWERS)),
    *(f"/put-it-on-your-site?rung={rung}" for rung in RUNGS),
    "/embed/frame/effective-f-number?magnification=2:1&f_number=5.6",
    "/embed/frame/depth-of-field?lang=de&magnification=1&f_number=x",
    f"/v1/set-ups/sheet?{urlencode({'document': json.dumps(SHEET.examples[0].request)})}",
)
RULER = "/tasks/ruler"
MEASURED = ("/", "/docs")
AXE_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
WIDTHS = (360, 1440)
SCHEMES = ("light", "dark")
FULL_MARKS = ("accessibility", "best-practices", "seo")
GOAL_OF_PERFORMANCE = 95
MOST_BYTES, MOST_REQUESTS = 25_000, 7
RUNS = 3
MOST_S = 600


class Finding(Exception):
    """What a check has to say."""


@dataclass(frozen=True, slots=True)
class Bench:
    """What every check works with."""

    base_url: str
    folder: Path
    node: Path
    browser: Browser

    def run(self, *command: str | Path, good: tuple[int, ...] = (0,)) -> str:
        """Run a tool that npm installed; return what it wrote, or raise it as a finding."""
        tool = self.node / "node_modules" / ".bin" / command[0]
        surroundings = clean_environment() | {"CI": "1", "HOME": str(self.folder), "CHROME_PATH": str(BROWSER)}
        done = subprocess.run(
            [str(tool), *map(str, command[1:])],
            cwd=self.node,
            env=surroundings,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            timeout=MOST_S,
            check=False,
        )
        if done.returncode not in good:
            raise Finding(done.stdout or f"exit status {done.returncode}")
        return done.stdout

    @contextlib.contextmanager
    def page(self, **options: Any) -> Iterator[Page]:
        """Open a page, by the options of a browser context."""
        context = self.browser.new_context(**options)
        yield context.new_page()
        context.close()


def read_photograph(bench: Bench, page: Page) -> None:
    """Send the invented ruler by the form of its page."""
    file = bench.folder / "ruler.jpg"
    file.write_bytes(pictures()["ruler.jpg"])
    page.goto(bench.base_url + RULER)
    page.locator("#photo-photo").set_input_files(file)
    page.locator("#photo-tick_pitch_mm").fill("0.5")
    page.get_by_role("button", name="Read the photograph").click()
    page.wait_for_selector("#result")


def axe(bench: Bench) -> None:
    """Nothing against WCAG 2.2 AA on any page, narrow and wide, light and dark."""
    library = bench.node / "node_modules" / "axe-core" / "axe.min.js"
    found = []
    for width in WIDTHS:
        for scheme in SCHEMES:
            options = {"viewport": {"width": width, "height": 800}, "color_scheme": scheme, "bypass_csp": True}
            with bench.page(**options) as page:
                for address in PAGES:
                    page.goto(bench.base_url + address)
                    found += violations(page, library, f"{address} at {width} {scheme}")
                read_photograph(bench, page)
                found += violations(page, library, f"a photograph at {width} {scheme}")
    if found:
        raise Finding("\n".join(found))


def violations(page: Page, library: Path, where: str) -> list[str]:
    """What axe says of the page as it stands, everything unfolded."""
    page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    page.add_script_tag(path=library)
    told = page.evaluate("(tags) => axe.run({runOnly: tags})", AXE_TAGS)
    return [f"{where}: {each['id']}: {node['html'][:200]}" for each in told["violations"] for node in each["nodes"][:3]]


def html(bench: Bench) -> None:
    """Every page is valid HTML."""
    folder = bench.folder / "html"
    folder.mkdir()
    names = {}
    with bench.page(java_script_enabled=False) as page:
        for number, address in enumerate(PAGES):
            answer = page.goto(bench.base_url + address)
            assert answer is not None
            names[f"{number}.html"] = address
            (folder / f"{number}.html").write_bytes(answer.body())
    report = bench.folder / "html.json"
    options = ("--config", bench.node / ".htmlvalidate.json", "--formatter", f"json={report}")
    bench.run("html-validate", *options, *(folder / name for name in names), good=(0, 1))
    told = json.loads(report.read_text(encoding="utf-8"))
    found = [
        f"{names[Path(file['filePath']).name]}:{each['line']}: {each['ruleId']}: {each['message']}"
        for file in told
        for each in file["messages"]
    ]
    if found:
        raise Finding("\n".join(dict.fromkeys(found)))


def lighthouse(bench: Bench) -> None:
    """Full marks for accessibility, best practices and search; the performance is reported. Medians of three."""
    found = []
    for address in MEASURED:
        marks = [lighthouse_marks(bench, bench.base_url + address) for _ in range(RUNS)]
        medians = {name: round(statistics.median(each[name] for each in marks)) for name in marks[0]}
        say(f"        {address}: {', '.join(f'{name} {mark}' for name, mark in medians.items())}\n")
        found += [f"{address}: {name} {medians[name]}" for name in FULL_MARKS if medians[name] < 100]
        if medians["performance"] < GOAL_OF_PERFORMANCE:
            say(f"        {address}: the goal of {GOAL_OF_PERFORMANCE} for performance is missed\n")
    if found:
        raise Finding("\n".join(found))


def lighthouse_marks(bench: Bench, address: str) -> Mapping[str, float]:
    """Marks of one run, in hundredths; what costs a mark is written out."""
    report = bench.folder / "lighthouse.json"
    flags = " ".join(("--headless=new", *OPTIONS))
    bench.run(
        *("lighthouse", address, "--output=json", f"--output-path={report}", "--quiet"),
        *("--no-enable-error-reporting", f"--chrome-flags={flags}"),
    )
    told = json.loads(report.read_text(encoding="utf-8"))
    for name in FULL_MARKS:
        for each in told["categories"][name]["auditRefs"]:
            audit = told["audits"][each["id"]]
            if each["weight"] and audit["score"] is not None and audit["score"] < 1:
                say(f"        {address}: {each['id']}: {audit['title']}\n")
    return {name: 100 * category["score"] for name, category in told["categories"].items()}


def weight(bench: Bench) -> None:
    """The start page is light; its first paint is reported."""
    with bench.page() as page:
        answers: list[Any] = []
        page.on("response", lambda answer: answers.append(answer.request))
        page.goto(bench.base_url + "/", wait_until="networkidle")
        sizes = [request.sizes() for request in answers]
        paint = page.evaluate("performance.getEntriesByName('first-contentful-paint').map((each) => each.startTime)")
    total = sum(each["responseBodySize"] + each["responseHeadersSize"] for each in sizes)
    say(f"        {len(sizes)} requests, {total} bytes, first paint after {paint[0] if paint else 0:.0f} ms\n")
    if total > MOST_BYTES or len(sizes) > MOST_REQUESTS:
        raise Finding(f"more than {MOST_BYTES} bytes or {MOST_REQUESTS} requests")


CHECKS: tuple[Callable[[Bench], None], ...] = (weight, html, axe, lighthouse)


def install_node_packages(folder: Path) -> None:
    """Install what package-lock.json says, unless the folder holds it already."""
    for name in NODE_FILES:
        shutil.copy(HERE / name, folder)
    mark = folder / "installed-lock.json"
    if mark.exists() and mark.read_bytes() == (HERE / "package-lock.json").read_bytes():
        return
    npm = shutil.which("npm")
    if npm is None:
        sys.exit("pages: npm is not on the path; Node 20.19 or newer brings it")
    done = subprocess.run(
        [npm, "ci"], cwd=folder, env={**os.environ, "CI": "1"}, capture_output=True, text=True, check=False
    )
    if done.returncode != 0:
        sys.exit(f"pages: npm ci failed\n{done.stdout}{done.stderr}")
    shutil.copy(HERE / "package-lock.json", mark)


def outcome(check: Callable[[Bench], None], bench: Bench) -> bool:
    """Run one check and write its line, with what it found."""
    start = time.monotonic()
    try:
        check(bench)
    except Finding as finding:
        say("".join(f"    {line[:400]}\n" for line in str(finding).splitlines()[:80]))
        passed = False
    else:
        passed = True
    taken = time.monotonic() - start
    say(f"{'passed' if passed else 'FAILED':7} {check.__name__:12} {taken:6.1f} s  {check.__doc__}\n")
    return passed


def say(text: str) -> None:
    """Write to the terminal at once."""
    sys.stdout.write(text)
    sys.stdout.flush()


def main() -> int:
    """Run the checks; 0 when all pass."""
    parser = argparse.ArgumentParser(description="Check the pages from outside.")
    parser.add_argument("--only", nargs="+", choices=[check.__name__ for check in CHECKS], help="run only these")
    parser.add_argument("--node-folder", type=Path, help="keep the Node packages here between runs")
    given = parser.parse_args()
    if BROWSER is None:
        sys.exit(NO_BROWSER)
    with contextlib.ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="pages-")))
        node = given.node_folder.resolve() if given.node_folder else folder / "node"
        node.mkdir(parents=True, exist_ok=True)
        install_node_packages(node)
        port = stack.enter_context(running_service(folder / "service.log"))
        playwright = stack.enter_context(sync_playwright())
        browser = playwright.chromium.launch(executable_path=BROWSER, args=list(OPTIONS))
        bench = Bench(f"http://127.0.0.1:{port}", folder, node, browser)
        results = [outcome(check, bench) for check in CHECKS if given.only is None or check.__name__ in given.only]
        browser.close()
    say(f"{results.count(True)} passed, {results.count(False)} failed\n")
    return 0 if all(results) else 1


if __name__ == "__main__":
    sys.exit(main())
