"""Reading pages as a person without JavaScript meets them: forms, links, results."""

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

from flask.testing import FlaskClient

from closeup_service.pages.task import Example, Task
from closeup_service.pages.task_pages import address_of
from closeup_service.pages.tasks import TASKS

RULER = "/tasks/ruler"
DRAWN = (
    "/tasks/set-up?camera=field-camera&lens=wide-35&reversed=yes&f_number=8&part=reversing-52-house&part=step-up-49-52"
    "&bellows=table-bellows&target_subject_width_mm=12&drawn_width_mm=10&subject_depth_mm=1"
)
VOID = {"meta", "link", "input", "img", "br", "source"}


@dataclass
class Reading(HTMLParser):
    """A page taken apart."""

    text: str
    fields: dict[str, list[tuple[str, str]]] = field(default_factory=dict)
    links: list[str] = field(default_factory=list)
    pictures: list[str] = field(default_factory=list)
    ids: list[str] = field(default_factory=list)
    labelled: set[str] = field(default_factory=set)
    headings: list[int] = field(default_factory=list)
    controls: list[dict[str, str]] = field(default_factory=list)
    open_tags: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()
        self.select = ""
        self.feed(self.text)
        assert self.open_tags == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag not in VOID:
            self.open_tags.append(tag)
        if "id" in given:
            self.ids.append(given["id"])
        if tag == "a":
            self.links.append(given.get("href", ""))
        if tag == "img":
            self.pictures.append(given["src"])
        if tag == "label":
            self.labelled.add(given["for"])
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if tag in ("input", "select", "textarea") and given.get("type") != "range":
            self.controls.append({"tag": tag, **given})

    def handle_endtag(self, tag: str) -> None:
        assert self.open_tags.pop() == tag

    @property
    def shown(self) -> str:
        """Text without tags."""
        return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", self.text))


EXAMPLES = [(task, example) for task in TASKS for example in task.examples]


def example_id(value: object) -> str:
    return value.slug if isinstance(value, Task) else value.summary[:30] if isinstance(value, Example) else ""


def example_address(task: Task, example: Example) -> str:
    return address_of(example, task)


STATES = (
    "/",
    *(f"/tasks/{task.slug}" for task in TASKS),
    *(example_address(task, example) for task, example in EXAMPLES),
    "/tasks/fill-the-frame?subject_width_mm=wide&sensor_width_mm=0&colour=red",
    "/tasks/light?f_number=8&magnification=1&unknown=iso&before_magnification=1",
    '/tasks/set-up?document={"camera":{"register_mm":18,"sensor":"36x24"},"train":[{"element":"close-up-lens","power_dpt":2},'
    '{"element":"lens","focal_length_mm":50,"register_mm":18,"front_principal_plane_mm":27},{"element":"spacer","length_mm":9}]}',
)
"""Every page that leads by a task: blank, with a result, and with something to mend."""


def read(api: FlaskClient, address: str) -> Reading:
    answer = api.get(address, follow_redirects=True)
    assert answer.status_code == 200, address
    return Reading(answer.text)


def result_of(page: Reading) -> str:
    return page.text[page.text.index('id="result"') : page.text.index('class="asking"')]
