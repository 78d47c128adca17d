"""The parts of the work that the task pages belong to, for the header and the start page; and pages beside them."""

from collections.abc import Sequence

from flask import Flask
from msgspec import Struct

from closeup_service.pages.task import Stage, Task
from closeup_service.pages.tasks import TASKS


class StageOfWork(Struct, frozen=True):
    """One part of the work: its heading, what it is about, and its tasks."""

    name: Stage
    heading: str
    about: str

    @property
    def tasks(self) -> Sequence[Task]:
        """Tasks that belong to it."""
        return [task for task in TASKS if task.stage == self.name]


STAGES = (
    StageOfWork("plan", "Plan", "Before you put anything together"),
    StageOfWork("set up", "Set up", "What your parts give together"),
    StageOfWork("light", "Light", "Exposure and flash"),
    StageOfWork("shoot", "Shoot", "Sharpness, depth and stacks"),
    StageOfWork("measure", "Measure", "What a ruler tells about your lens"),
)


class Place(Struct, frozen=True):
    """A page that stands beside the tasks."""

    address: str
    title: str


PLACES = (Place("/kit", "My kit"),)
"""Pages beside the tasks, of which the header shows those that this service has."""


def register(app: Flask) -> None:
    """Tell every template of the stages and the places."""
    app.jinja_env.globals["stages"] = [stage for stage in STAGES if stage.tasks]
    app.jinja_env.globals["places"] = lambda: [place for place in PLACES if has_page(app, place.address)]


def has_page(app: Flask, address: str) -> bool:
    """Whether the service has a page at an address."""
    return any(rule.rule == address for rule in app.url_map.iter_rules())
