"""The start page and the task pages: forms that work without JavaScript, by GET; a photograph, or an own kit, by POST."""

from collections.abc import Callable, Mapping
from functools import cache
from urllib.parse import urlencode

from flask import Blueprint, Flask, Response, redirect, request
from msgspec import Struct
from msgspec.structs import replace
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response as AnyResponse

from closeup_service.advice import figures
from closeup_service.language import spoken, tr
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.operations.asking.strict_json import JsonObject
from closeup_service.pages import elsewhere, form, stages
from closeup_service.pages.asking import Studio
from closeup_service.pages.form import Form
from closeup_service.pages.outcome import Outcome
from closeup_service.pages.own_kit import own_links, sent_kit
from closeup_service.pages.rendering import page
from closeup_service.pages.task import Arranged, Example, Task
from closeup_service.pages.tasks import TASKS
from closeup_service.pages.usual_question import answer_usual_question
from closeup_service.pages.working import note_further, outcome
from closeup_service.schemas import describing
from closeup_service.schemas.upload import Upload

NOT_KEPT = "no-store"
WITH_OVERLAY = "img-src 'self' data:"


class Shown(Struct, frozen=True):
    """What the template of a task needs: the task, its form by GET, and what came of it; the link gives it again."""

    task: Task
    form: Form
    outcome: Outcome | None
    link: str


def register(app: Flask, studio: Studio) -> None:
    """Add the start page and the task pages to the application."""
    blueprint = Blueprint("tasks", __name__, template_folder="templates")
    usual = cache(lambda language: answer_usual_question(studio, outcome_of))

    @blueprint.get("/")
    def start() -> Response:
        return page("start.html", here="/", usual=usual(spoken()))

    for task in TASKS:
        address = f"/tasks/{task.slug}"
        blueprint.add_url_rule(address, task.slug, view_of(task, studio), methods=["GET"])
        posted = photograph_view(task, task.photograph, studio) if task.photograph else own_kit_view(task, studio)
        blueprint.add_url_rule(address, f"{task.slug} by post", posted, methods=["POST"])
    for name, written in FILTERS.items():
        blueprint.add_app_template_filter(written, name)
    stages.register(app)
    app.register_blueprint(blueprint)


def view_of(task: Task, studio: Studio) -> Callable[[], AnyResponse]:
    """Build the view of a task's form by GET."""
    return lambda: respond(task, request.args, studio)


def own_kit_view(task: Task, studio: Studio) -> Callable[[], AnyResponse]:
    """Build the view of a task's form that takes somebody's own kit along."""

    def view() -> AnyResponse:
        sent = sent_kit.read(request, studio)
        if sent.own is None:
            given = Form(task, form.sent_texts(sent.texts, task)[0])
            for text in sent.faults:
                given.refuse(text)
            return task_page(Shown(task, given, None, ""), studio)
        return respond(task, sent.texts, studio.with_kit(sent.own))

    return view


def respond(task: Task, texts: MultiDict[str, str], studio: Studio) -> AnyResponse:
    """Answer a form: what a clean link leaves out leads there, unless a kit was taken along; the rest to a result or faults."""
    typed, clean = form.sent_texts(texts, task)
    sent = arrange(task, typed, studio)
    link = address(sent.task, sent.typed)
    is_link = clean and sent.typed == typed and request.method == "GET"
    if not sent.faults and not is_link and sent.studio.own is None:
        return redirect(f"{link}#{sent.look_at}" if sent.look_at else link, 303)
    return render_form(Shown(sent.task, read_arranged(sent), None, link), sent.studio)


def arrange(task: Task, typed: form.Typed, studio: Studio) -> Arranged:
    """Find the form that was asked for, with what is typed into it."""
    return task.arrange(task, typed, studio) if task.arrange else Arranged(task, typed, studio)


def read_arranged(sent: Arranged) -> Form:
    """Read such a form."""
    given = form.read(sent.task, sent.typed, sent.studio)
    for fault in sent.faults:
        given.refuse(fault.text, fault.name)
    return given


def render_form(shown: Shown, studio: Studio) -> Response:
    """Render a form with its outcome, where it asks something and can be read; else with all that is to be mended."""
    found = outcome_of(shown.form, studio)
    link = shown.link if studio.own is None else own_links.link_to(shown.form, studio, shown.link)
    return task_page(replace(shown, outcome=found, link=link), studio)


def outcome_of(given: Form, studio: Studio) -> Outcome | None:
    """What comes of a form; None where it is blank, or something is to be mended, all of which is then noted."""
    if given.faults:
        note_further(given, studio)
    return None if given.is_blank or given.faults else outcome(given, studio)


def photograph_view(task: Task, photograph: Task, studio: Studio) -> Callable[[], AnyResponse]:
    """Build the view of a photograph that was sent: the result is in the answer alone and kept nowhere."""

    def view() -> Response:
        blank = Form(task, {})
        sent = studio.read_form(request)
        if isinstance(sent, Refusal):
            given = Form(photograph, {})
            most = studio.most_upload_mb
            given.refuse(tr("{fault} At most {most} MB are taken.", fault=sent.detail, most=most), "photo")
            return photograph_page(blank, given, None, studio)
        typed, _ = form.sent_texts(sent.texts, photograph)
        given = form.read(photograph, typed, studio)
        given.values |= photographs(given, sent.files)
        return photograph_page(blank, given, outcome_of(given, studio), studio)

    return view


def photographs(given: Form, sent: Mapping[str, Upload]) -> dict[str, Upload]:
    """Photographs that were sent; one that is missing is a fault."""
    for each in given.task.inputs:
        if each.is_file and each.name not in sent:
            given.refuse(tr("Choose the photograph to send."), each.name)
    return {name: file for name, file in sent.items() if any(name == each.name for each in given.task.inputs)}


def task_page(shown: Shown, studio: Studio) -> Response:
    """Render a task with what came of its form."""
    photograph = Form(shown.task.photograph, {}) if shown.task.photograph else None
    response = render_task(shown, shown.task, photograph, studio)
    if shown.form.faults or studio.own is not None:
        response.headers["Cache-Control"] = NOT_KEPT
    return response


def render_task(shown: Shown, shown_on: Task, photograph: Form | None, studio: Studio) -> Response:
    """Render the template of a task."""
    here = f"/tasks/{shown_on.slug}"
    return page("task.html", here=here, shown=shown, page=shown_on, photograph=photograph, studio=studio, **WORDS)


def photograph_page(blank: Form, given: Form, found: Outcome | None, studio: Studio) -> Response:
    """Render the page with what came of a photograph; only here a picture may stand in the page itself."""
    shown = Shown(given.task, blank, found, "")
    response = render_task(shown, blank.task, given, studio)
    response.headers["Cache-Control"] = NOT_KEPT
    if found is not None and found.overlay:
        response.headers["Content-Security-Policy"] = WITH_OVERLAY
    return response


def address(task: Task, typed: form.Typed) -> str:
    """Address of a task with what was typed, in the order of its fields: parts first, how the page shows it last."""
    order = [each.name for each in task.inputs] + list(form.OF_THE_PAGE)
    known = sorted(typed, key=lambda name: order.index(name) if name in order else -1)
    query = urlencode([(name, text) for name in known for text in typed[name]])
    return f"/tasks/{task.slug}?{query}" if query else f"/tasks/{task.slug}"


def address_of(example: Example, task: Task) -> str:
    """Address of an example."""
    return address(task, {name: (given,) if isinstance(given, str) else given for name, given in example.typed.items()})


def address_with(given: Form, name: str, value: str) -> str:
    """Address of a form with another text in one field."""
    return address(given.task, {**given.typed, name: (value,)})


def sign(unit: str) -> str:
    """Unit as people write it."""
    return figures.SIGNS.get(unit) or figures.unit_in_words(unit)


FILTERS: JsonObject = {
    "address_of": address_of,
    "with_choice": address_with,
    "as_id": describing.as_id,
    "as_mark": elsewhere.write_value,
    "with_capital": figures.capitalize,
    "sign": sign,
    "spaced": figures.space_thousands,
    "unbroken": figures.tie_units,
    "in_words": describing.write_in_words,
}
WORDS: JsonObject = {
    "units": form.UNITS,
    "inches": form.INCHES,
    "working": form.WORKING,
}
