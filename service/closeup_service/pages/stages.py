"""The parts of the work that the task pages belong to, for the header and the start page; and pages beside them."""

from collections.abc import Sequence
from functools import cache

from flask import Flask
from msgspec import Struct

from closeup_service.pages.task import Stage, Task
from closeup_service.pages.tasks import TASKS


class StageOfWork(Struct, frozen=True):
    """One part of the work: its heading, what it is about, and its tasks."""

    heading: str
    about: str
    tasks: Sequence[Task]


def tasks_of(stage: Stage) -> list[Task]:
    """Tasks that belong to a stage."""
    return [task for task in TASKS if task.stage == stage]


STAGES = (
    StageOfWork("Plan", "Before you build", tasks_of("plan")),
    StageOfWork("Set up", "What your parts give", tasks_of("set up")),
    StageOfWork("Light", "Exposure and flash", tasks_of("light")),
    StageOfWork("Shoot", "Stacks and movement", tasks_of("shoot")),
    StageOfWork("Measure", "What a ruler tells you", tasks_of("measure")),
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
    app.jinja_env.globals["places"] = cache(lambda: [place for place in PLACES if has_page(app, place.address)])


def has_page(app: Flask, address: str) -> bool:
    """Whether the service has a page at an address."""
    return any(rule.rule == address for rule in app.url_map.iter_rules())
