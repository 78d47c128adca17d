"""The start page and the task pages, without a browser and without JavaScript."""

import io
import json
import re
import shlex
import subprocess
import sys
from functools import cache
from html import unescape
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from flask.testing import FlaskClient

from closeup_client import cli, in_process
from closeup_service.http.app import create_app
from closeup_service.operations.refer.kit.operation import SMALL_KIT
from closeup_service.operations.registry import operations
from closeup_service.pages.task import Example, Task
from closeup_service.pages.tasks import TASKS
from closeup_service.running.settings import Settings
from closeup_service.schemas.kit import read_kit
from page_reading import DRAWN, EXAMPLES, Reading, example_address, example_id, read, result_of

FILL = "/tasks/fill-the-frame"
BROWSER = "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"
every_example = pytest.mark.parametrize(("task", "example"), EXAMPLES, ids=example_id)

in_process_service = cache(in_process.start_service)


def test_the_start_page_leads_to_every_task(api: FlaskClient) -> None:
    links = read(api, "/").links
    assert {f"/tasks/{task.slug}" for task in TASKS} <= set(links)
    assert "/docs" in links


@pytest.mark.parametrize("task", TASKS, ids=example_id)
def test_every_local_link_of_a_page_leads_somewhere(api: FlaskClient, task: Task) -> None:
    page = read(api, f"/tasks/{task.slug}")
    for link in page.links:
        path, _, fragment = link.partition("#")
        assert not path or api.get(path).status_code == 200, link
        assert not fragment or path or fragment in page.ids


@pytest.mark.parametrize(
    "address", ["/", *(f"/tasks/{task.slug}" for task in TASKS), "/docs", f"{FILL}?subject_width_mm=x"]
)
def test_pages_are_in_order(api: FlaskClient, address: str) -> None:
    page = read(api, address)
    assert len(page.ids) == len(set(page.ids))
    assert page.headings[0] == 1
    assert page.headings.count(1) == 1
    assert all(after - before <= 1 for before, after in zip(page.headings, page.headings[1:], strict=False))
    assert {each["id"] for each in page.controls if each.get("type") != "hidden"} <= page.labelled
    assert '<html lang="en">' in page.text
    assert re.search(r'<meta name="description" content="[^"]{50,200}">', page.text)
    assert re.search("<title>[^<]+ – closeup-optics</title>", page.text)
    assert "style=" not in page.text
    assert not re.search(r"<script(?! src=\"/pages/[a-z-]+\.js\")", page.text)


@every_example
def test_every_example_gives_a_result_with_its_basis(api: FlaskClient, task: Task, example: Example) -> None:
    page = read(api, example_address(task, example))
    assert 'class="faults"' not in page.text
    result = result_of(page)
    assert len(re.findall('class="figure"', result)) >= 2
    assert re.search(r'class="calculated">Calculated', result)
    based = result[result.index('id="basis"') :]
    for number in re.findall(r"<tr[^>]*><th scope=.row.(?:(?!</tr>).)*</tr>", based):
        assert re.search(r'class="basis">(given|assumed|measured|from)', number), number


def test_a_browser_meets_a_refusal_at_its_field(api: FlaskClient) -> None:
    answer = api.get("/tasks/sharpness?f_number=8&magnification=2&model=contrast", headers={"Accept": BROWSER})
    assert answer.status_code == 200
    assert "Please correct the form" in answer.text


AS_AN_IMAGE = {"Accept": "image/avif,image/webp,image/svg+xml,image/*,*/*;q=0.8"}


def test_a_set_up_is_drawn_with_its_frame_its_ring_and_the_length_that_was_found(api: FlaskClient) -> None:
    page = read(api, DRAWN)
    drawn = [urlsplit(picture).path for picture in page.pictures]
    assert drawn == [
        "/v1/set-ups/drawing",
        "/v1/set-ups/frame-drawing",
        "/v1/charts/aperture",
        "/v1/charts/magnification",
    ]
    for picture in page.pictures:
        answer = api.get(picture, headers=AS_AN_IMAGE)
        assert (answer.status_code, answer.mimetype) == (200, "image/svg+xml")
    assert page.text.count("<figcaption>") == 4
    assert page.shown.count("The drawing in figures") == 1


def test_a_set_up_without_an_open_length_is_drawn_without_a_chart_along_it(api: FlaskClient) -> None:
    page = read(api, DRAWN.replace("target_subject_width_mm=12&drawn_width_mm=10", "bellows_mm=60"))
    drawn = [urlsplit(picture).path for picture in page.pictures]
    assert drawn == ["/v1/set-ups/drawing", "/v1/charts/aperture"]


def test_a_set_up_leads_on_to_its_printable_sheet(api: FlaskClient) -> None:
    (sheet,) = (link for link in read(api, DRAWN).links if link.startswith("/v1/set-ups/sheet"))
    answer = api.get(sheet, headers={"Accept": "text/html"})
    assert (answer.status_code, answer.mimetype) == (200, "text/html")


@pytest.mark.parametrize(
    "task", [task for task in TASKS if task.slug not in ("ruler", "find-set-up", "rings")], ids=example_id
)
def test_the_working_is_shown_where_it_is_asked_for(api: FlaskClient, task: Task) -> None:
    address = example_address(task, task.examples[0])
    assert "The working" not in read(api, address).shown
    asked = read(api, f"{address}&working=yes")
    steps = api.get(next(link for link in asked.links if "show_steps" in link)).get_json()["steps"]
    assert "The working" in asked.shown
    assert all(step["source"] in unescape(asked.text) for step in steps)


@every_example
def test_what_was_typed_stands_in_the_form_again(api: FlaskClient, task: Task, example: Example) -> None:
    page = read(api, example_address(task, example))
    typed = {each["name"]: each for each in page.controls if each["tag"] == "input" and each.get("value")}
    for name, text in example.typed.items():
        if isinstance(text, str) and name in typed and typed[name].get("type") == "text":
            assert typed[name]["value"] == text


@every_example
def test_the_link_to_a_result_gives_it_again(api: FlaskClient, task: Task, example: Example) -> None:
    address = example_address(task, example)
    first = api.get(address).text
    found = re.search(r'class="again" href="([^"]+)"', first)
    assert found
    assert api.get(unescape(found[1])).text == first


@every_example
def test_the_linked_data_are_those_of_the_page(api: FlaskClient, task: Task, example: Example) -> None:
    page = read(api, example_address(task, example))
    for link in (link for link in page.links if link.startswith("/v1/") and "?" in link):
        answer = api.get(link)
        assert answer.status_code == 200, link
    for picture in page.pictures:
        assert api.get(picture, headers={"Accept": "image/svg+xml"}).mimetype == "image/svg+xml"


@every_example
def test_the_command_line_gives_the_same(
    api: FlaskClient,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    task: Task,
    example: Example,
) -> None:
    page = read(api, example_address(task, example))
    commands = [unescape(text) for text in re.findall(r"<pre[^>]*><code>((?:closeup|printf)[^<]*)</code>", page.text)]
    assert commands
    words, document = as_a_shell_reads(commands[0], tmp_path)
    monkeypatch.delenv("CLOSEUP_CLIENT_SERVER", raising=False)
    monkeypatch.setattr(in_process, "start_service", in_process_service)
    monkeypatch.setattr(sys, "stdin", io.StringIO(document))
    code = cli.main([*words, "--json"])
    printed = capsys.readouterr()
    assert code == 0, printed.err
    assert json.loads(printed.out) == asked_as_the_page_says(api, page)


def asked_as_the_page_says(api: FlaskClient, page: Reading) -> object:
    """Answer to the first request that a page gives for other programs: an address, or what to send."""
    address = re.search(r'class="address" href="([^"]+)"', page.text)
    if address:
        return api.get(unescape(address[1])).get_json()
    sent = re.search(r"Sent by POST to <code>([^<]+)</code>:</p><pre[^>]*><code>([^<]+)</code>", page.text)
    assert sent
    return api.post(sent[1], json=json.loads(unescape(sent[2]))).get_json()


def as_a_shell_reads(command: str, folder: Path) -> tuple[list[str], str]:
    """The words that the command is given by a shell, and what is piped into it."""
    given = folder / "words"
    run = f"closeup() {{ printf '%s\\0' \"$@\" > {shlex.quote(str(given))}; cat; }}; {command}"
    done = subprocess.run(["bash", "-c", run], capture_output=True, text=True, check=True, stdin=subprocess.DEVNULL)
    return given.read_text(encoding="utf-8").split("\0")[:-1], done.stdout


def test_blank_fields_lead_to_the_clean_link(api: FlaskClient) -> None:
    answer = api.get(f"{FILL}?subject_height_mm=&sensor=23.5x15.6&subject_width_mm=+15+&units=&sensor=23.5x15.6")
    assert answer.status_code == 303
    assert answer.headers["Location"] == f"{FILL}?subject_width_mm=15&sensor=23.5x15.6"
    assert api.get(f"{FILL}?subject_width_mm=+&units=").headers["Location"] == FILL


def test_faults_stand_at_their_fields_with_what_was_typed(api: FlaskClient) -> None:
    page = read(api, f"{FILL}?subject_width_mm=wide&sensor_width_mm=0&focal_length_mm=35 kg")
    for name in ("subject_width_mm", "focal_length_mm"):
        assert f'href="#{name}"' in page.text
        control = next(each for each in page.controls if each["name"] == name)
        assert control["aria-invalid"] == "true"
        assert f"{name}-fault" in control["aria-describedby"].split()
        assert f"{name}-fault" in page.ids
    assert next(each for each in page.controls if each["name"] == "subject_width_mm")["value"] == "wide"
    assert "<title>Please correct: Fill the frame" in page.text
    assert api.get(f"{FILL}?subject_width_mm=wide").headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize(
    ("query", "field", "said"),
    [
        ("/tasks/fill-the-frame?subject_width_mm=15", "sensor", "Choose the sensor"),
        ("/tasks/fill-the-frame?subject_width_mm=0&sensor=36x24", "subject_width_mm", "from 0.001"),
        ("/tasks/fill-the-frame?subject_width_mm=15&sensor=9x9", "sensor", "of the list"),
        ("/tasks/sharpness?f_number=8", "magnification", "Enter the magnification"),
        ("/tasks/ruler?first_mark_mm=1&last_mark_mm=1&sensor=36x24", "last_mark_mm", "the same"),
        ("/tasks/set-up?focal_length_mm=50&f_number=8", "register_mm", "enter the register of yours"),
        ("/tasks/set-up?camera=field-camera&lens=nothing", "part1", "nothing"),
        ("/tasks/set-up?camera=nothing&lens=wide-35", "camera", "nothing"),
        ("/tasks/set-up?register_mm=18&close_up_power_dpt=9999&focal_length_mm=50", "part1_power_dpt", "from 0.1"),
        ("/tasks/set-up?document={", "document", ""),
        (
            "/tasks/set-up?camera=field-camera&lens=wide-35&tube_mm=9&target_magnification=1",
            "target_magnification",
            "without a length",
        ),
        ("/tasks/find-set-up?camera=field-camera", "subject_width_mm", "width of the subject, its height"),
        ("/tasks/find-set-up?subject_width_mm=9&camera=none", "camera", "none"),
    ],
)
def test_what_an_operation_refuses_stands_at_the_field_that_it_comes_from(
    api: FlaskClient, query: str, field: str, said: str
) -> None:
    page = read(api, query)
    assert f'href="#{field}"' in page.text
    fault = re.search(rf'id="{field}-fault">(.*?)</p>', page.text)
    assert fault, page.text
    assert said in fault[1]
    assert 'id="result"' not in page.text


def test_what_can_be_answered_is_shown_beside_what_cannot(api: FlaskClient) -> None:
    page = read(api, "/tasks/light?f_number=8&magnification=1&unknown=iso&before_magnification=1")
    assert "f/16" in result_of(page)
    assert 'href="#before_iso"' in page.text
    assert 'id="before_iso-fault"' in page.text


HOSTILE = "\"><script>alert('x')</script>"


@pytest.mark.parametrize("task", TASKS, ids=example_id)
def test_hostile_text_is_text(api: FlaskClient, task: Task) -> None:
    for name in (each.name for each in task.inputs):
        answer = api.get(f"/tasks/{task.slug}", query_string={name: HOSTILE})
        assert answer.status_code == 200
        assert "<script>" not in answer.text
        assert "alert(" in answer.text
    unknown = api.get(f"/tasks/{task.slug}", query_string={HOSTILE: HOSTILE})
    assert "<script>" not in unknown.text
    assert "no field of this form" in unknown.text


@pytest.mark.parametrize(
    "query",
    [
        "subject_width_mm=%00",
        "subject_width_mm=%ff",
        "a[]=%ED%A0%80",
        "=&=1",
        "%",
        "subject_width_mm=1&subject_width_mm=2",
    ],
)
def test_odd_queries_are_answered(api: FlaskClient, query: str) -> None:
    assert api.get(f"{FILL}?{query}").status_code in (200, 303)


def test_width_and_height_together_fit_the_whole_subject(api: FlaskClient) -> None:
    wide = read(api, f"{FILL}?subject_width_mm=40&subject_height_mm=10&sensor=36x24").shown
    high = read(api, f"{FILL}?subject_width_mm=20&subject_height_mm=24&sensor=36x24").shown
    assert "1:1.11" in wide
    assert "1:1 " in high


def test_inches_stand_beside_millimetres_by_choice(api: FlaskClient) -> None:
    address = f"{FILL}?subject_width_mm=1.5+in&sensor=36x24"
    assert "1.5 in<" not in result_of(read(api, address))
    shown = result_of(read(api, f"{address}&units=in"))
    assert 'class="figure">38.1 mm</span> <span class="inches">1.5 in<' in shown


def test_people_stand_first_among_the_cautions_and_the_rest_are_folded(api: FlaskClient) -> None:
    page = api.get("/tasks/light?f_number=8&magnification=1&guide_number_m=36&mounting=reversed").text
    cautions = page[page.index('id="cautions"') : page.index("</section>", page.index('id="cautions"'))]
    shown, _, folded = cautions.partition("<details>")
    whom = re.findall(r"<strong>(\w+)\.</strong>", shown)
    assert whom == ["People", "Animals"]
    assert set(re.findall(r"<strong>(\w+)\.</strong>", folded)) == {"Gear"}


def test_a_kit_part_says_whether_it_was_measured(api: FlaskClient) -> None:
    page = read(
        api, "/tasks/set-up?camera=field-camera&lens=normal-50&f_number=8&reversed=yes&part=reversing-49&part=tube-16"
    )
    assert "measured by the studio on 2026-03-14" in page.shown
    assert "from the kit, not calibrated" in page.shown
    assert re.search("45.46 mm from the kit, of its mount", page.shown)
    assert "±" in page.shown


def test_rings_stand_in_the_order_in_which_they_join(api: FlaskClient) -> None:
    page = read(api, DRAWN)
    link = next(link for link in page.links if link.startswith("/v1/set-ups/evaluate?"))
    document = json.loads(parse_qs(urlsplit(unescape(link)).query)["document"][0])
    uses = [element["use"] for element in document["train"]]
    assert uses == ["wide-35", "step-up-49-52", "reversing-52-house", "table-bellows"]
    assert document["solve"]["unknown"] == "/train/3/length_mm"


def test_hits_lead_to_their_set_up(api: FlaskClient) -> None:
    found = read(api, "/tasks/find-set-up?subject_width_mm=12&camera=field-camera&best=1")
    link = next(link for link in found.links if link.startswith("/tasks/set-up?document="))
    page = read(api, link)
    assert "1.96:1" in result_of(page)


def test_examples_of_the_demo_kit_are_not_offered_with_another_kit() -> None:
    own = create_app(Settings(kit=read_kit(SMALL_KIT, "file"))).test_client()
    page = Reading(own.get("/tasks/set-up").text)
    assert not any("field-camera" in link for link in page.links)
    assert any("focal_length_mm=50" in link for link in page.links)
    assert 'value="fifty"' in page.text


def test_the_fields_of_a_form_are_those_of_operations() -> None:
    known = {name for operation in operations() if operation.request_schema for name in operation.request_schema.fields}
    own = {
        "use",
        "document",
        "register_mm",
        "length_mm",
        "reversed",
        "rear_principal_plane_mm",
        "front_protrusion_mm",
        "power_dpt",
        "working_distance_uncertainty_mm",
    }
    members = {each.member for task in TASKS for each in task.inputs}
    assert members - known <= own | {"exposure_time_s", "flash_power", "lens_register_mm", "mount"}
