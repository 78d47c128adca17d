"""The page that compares two results; all that it shows is in its address."""

from urllib.parse import urlencode

from flask import Blueprint, Flask, Response, redirect, request
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response as AnyResponse

from closeup_service.pages import form
from closeup_service.pages.asking import Studio
from closeup_service.pages.comparing.matching import Comparison, compare
from closeup_service.pages.comparing.side import Side, parse, read_side
from closeup_service.pages.rendering import page
from closeup_service.pages.task import Task
from closeup_service.pages.task_pages import NOT_KEPT, address, arrange

FIRST, SECOND = "a", "b"
"""Names of the two addresses in the address of the page."""
COMPARE = "/compare"


def register(app: Flask, studio: Studio) -> None:
    """Add the page to the application."""
    blueprint = Blueprint("comparing", __name__, template_folder="../templates")

    @blueprint.get(COMPARE)
    def comparison() -> AnyResponse:
        changed = changed_address(request.args, studio)
        return redirect(changed, 303) if changed else render(request.args, studio)

    app.register_blueprint(blueprint)


def changed_address(sent: MultiDict[str, str], studio: Studio) -> str | None:
    """Address of the comparison with what was changed in the form of the first result; None where nothing was sent of that."""
    found = parse(sent.get(FIRST, ""))
    texts = [(name, text) for name, text in sent.items(multi=True) if name not in (FIRST, SECOND)]
    if found is None or not texts:
        return None
    return f"{COMPARE}?{urlencode({FIRST: sent[FIRST], SECOND: write_address(found[0], MultiDict(texts), studio)})}"


def write_address(task: Task, sent: MultiDict[str, str], studio: Studio) -> str:
    """Address of a result from what its form was sent with."""
    arranged = arrange(task, form.sent_texts(sent, task)[0], studio)
    return address(arranged.task, arranged.typed)


def render(sent: MultiDict[str, str], studio: Studio) -> Response:
    """Render the page with what can be compared."""
    sides = {name: read_side(sent[name].strip(), studio) for name in (FIRST, SECOND) if sent.get(name, "").strip()}
    first, second = sides.get(FIRST), sides.get(SECOND)
    response = page(
        "compare.html",
        here=COMPARE,
        first=first,
        second=second,
        found=compare_sides(first, second),
        studio=studio,
        swapped=swap(first, second),
    )
    if any(each.faults for each in sides.values()):
        response.headers["Cache-Control"] = NOT_KEPT
    return response


def compare_sides(first: Side | None, second: Side | None) -> Comparison | None:
    """Lay two sides side by side, where both have a result."""
    if first is None or second is None or first.outcome is None or second.outcome is None:
        return None
    return compare(first.outcome, second.outcome)


def swap(first: Side | None, second: Side | None) -> str:
    """Address of the same comparison, the other way round."""
    return f"{COMPARE}?{urlencode({FIRST: second.given, SECOND: first.given})}" if first and second else ""
