"""The page of one's own kit: everything by POST, since the kit travels in the page and is kept nowhere."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from flask import Blueprint, Flask, Response, request
from msgspec import Struct
from msgspec.structs import replace
from werkzeug.datastructures import MultiDict

from closeup_service.language import mark, tr
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.pages.asking import Members, OwnKit, Studio
from closeup_service.pages.form import LONGEST
from closeup_service.pages.own_kit import changes, kit_text, part_form, sent_kit, shown
from closeup_service.pages.own_kit.groups import GROUPS
from closeup_service.pages.own_kit.lens_kind import OF_ONE_SETTING, setting_field
from closeup_service.pages.own_kit.part_form import PartForm
from closeup_service.pages.rendering import page
from closeup_service.schemas.kit_lens import MOST_SETTINGS

ADDRESS = "/kit"
KEPT_NOWHERE = {"Cache-Control": "no-store"}
FILE_NAME = "kit.json"
DO, PART, GROUP, ID, COUNT, NAME = "do", "part", "group", "id", "count", "kit_name"
"""Fields of the page's forms beside those of a part."""
ADDED = mark("“{name}” is in your kit.")
REMOVED = mark("“{name}” is no longer in your kit.")
OPENED = mark("This is your kit now.")
IN_USE = mark("“{name}” cannot be removed, because these parts have it: {parts}.")
GONE = mark("This part is not in your kit.")
NOT_READ = mark("The data of this part cannot be read: {reason}")


class Asked(Struct, frozen=True):
    """What a form asked: of which kit, what is to be done, with what, and everything else that was typed."""

    studio: Studio
    own: OwnKit
    target: str
    texts: MultiDict[str, str]
    is_new: bool


class ShownPage(Struct, frozen=True):
    """What the page shows: a kit, what was done, what is wrong, and the form of a part where one is open."""

    studio: Studio
    said: str = ""
    faults: tuple[str, ...] = ()
    part: PartForm | None = None
    part_id: str = ""
    before: str = ""
    is_new: bool = False


def register(app: Flask, studio: Studio) -> None:
    """Add the page."""
    blueprint = Blueprint("own_kit", __name__, template_folder="../templates")
    blueprint.add_url_rule(ADDRESS, "kit", lambda: kit_page(ShownPage(studio)))
    blueprint.add_url_rule(ADDRESS, "change kit", lambda: change_kit(studio), methods=["POST"])
    app.register_blueprint(blueprint)


def change_kit(studio: Studio) -> Response:
    """Do what a form asks, and show the kit that comes of it."""
    sent = sent_kit.read(request, studio)
    if sent.own is None and not sent.is_missing:
        return kit_page(ShownPage(studio, faults=sent.faults))
    action, _, target = sent.texts.get(DO, "").partition(":")
    if sent.own is None and action not in WITHOUT_KIT:
        return kit_page(ShownPage(studio, faults=sent.faults))
    own = sent.own or kit_text.read_listing(changes.new_kit(sent.texts.get(NAME, "").strip()))
    if isinstance(own, Refusal):
        return kit_page(ShownPage(studio, faults=tuple(kit_text.describe(own, {}))))
    asked = Asked(studio, own, target, sent.texts, sent.own is None)
    return ACTIONS.get(action, show)(asked)


def kit_page(told: ShownPage) -> Response:
    """Render the page."""
    studio = told.studio
    listing = studio.kit.listing if studio.own is None else studio.own.listing
    response = page(
        "kit.html", here=ADDRESS, told=told, studio=studio, groups=shown.groups_of(listing, studio.kit), kinds=GROUPS
    )
    if request.method == "POST":
        response.headers.update(KEPT_NOWHERE)
    return response


def show(asked: Asked) -> Response:
    """Show the kit that was sent."""
    return kit_page(ShownPage(studio_of(asked), "" if asked.is_new else tr(OPENED)))


def copy(asked: Asked) -> Response:
    """Begin with a copy of the service's kit."""
    found = kit_text.read_listing(asked.studio.kit.listing)
    assert isinstance(found, OwnKit)
    return kit_page(ShownPage(asked.studio.with_kit(found), tr(OPENED)))


def rename(asked: Asked) -> Response:
    """Give the kit another name."""
    return changed(asked, {**asked.own.listing, "name": asked.texts.get(NAME, "").strip()}, tr(OPENED))


def export(asked: Asked) -> Response:
    """Send the kit as a file."""
    headers = {**KEPT_NOWHERE, "Content-Disposition": f'attachment; filename="{FILE_NAME}"'}
    return Response(kit_text.write_file(asked.own.listing), content_type="application/json", headers=headers)


def remove(asked: Asked) -> Response:
    """Take a part away."""
    found = changes.find(asked.own.listing, asked.target)
    if found is None:
        return kit_page(ShownPage(studio_of(asked), faults=(tr(GONE),)))
    group, part = found
    name, users = part["name"], changes.parts_with_mount(asked.own.listing, asked.target)
    if group == "mounts" and users:
        return kit_page(ShownPage(studio_of(asked), faults=(tr(IN_USE, name=name, parts=", ".join(users)),)))
    return changed(asked, changes.remove(asked.own.listing, asked.target), tr(REMOVED, name=name))


def changed(asked: Asked, listing: Members, said: str) -> Response:
    """Show the kit after a change; as it was, with what is wrong, where it could not be so."""
    found = kit_text.read_listing(listing)
    if isinstance(found, Refusal):
        faults = tuple(kit_text.describe(found, listing))
        return kit_page(ShownPage(studio_of(asked), faults=faults))
    return kit_page(ShownPage(asked.studio.with_kit(found), said))


def open_new(asked: Asked) -> Response:
    """Show the form of a new part."""
    if asked.target not in GROUPS:
        return show(asked)
    return part_page(asked, part_form.read(asked.target, 0, part_form.blank(asked.target), studio_of(asked)))


def open_part(asked: Asked) -> Response:
    """Show the form of a part of the kit."""
    found = changes.find(asked.own.listing, asked.target)
    if found is None:
        return kit_page(ShownPage(studio_of(asked), faults=(tr(GONE),)))
    group, part = found
    return part_page(asked, form_of(asked, group, part), part_id=asked.target)


def keep(asked: Asked) -> Response:
    """Show the form of a part that another page found, to be named and added."""
    found = part_before(asked)
    if isinstance(found, Refusal) or asked.target not in GROUPS:
        reason = found.detail if isinstance(found, Refusal) else ""
        return kit_page(ShownPage(asked.studio, faults=(tr(NOT_READ, reason=reason),)))
    return part_page(asked, form_of(asked, asked.target, found), before=asked.texts.get(PART, ""))


def more_settings(asked: Asked) -> Response:
    """Show the form of a lens with one more setting; the first takes what the lens had of its own."""
    settings = settings_sent(asked)
    texts = asked.texts.copy()
    if settings == 0:
        texts.update({setting_field(0, name): texts.get(name, "") for name in OF_ONE_SETTING})
    more = min(max(settings + 1, 2), MOST_SETTINGS)
    given = part_form.read("lenses", more, texts, studio_of(asked))
    return part_page(asked, given, asked.texts.get(ID, ""), asked.texts.get(PART, ""))


def save(asked: Asked) -> Response:
    """Take over what was typed of a part, or show what is wrong with it."""
    group, part_id = asked.target, asked.texts.get(ID, "")
    before = before_change(asked, part_id)
    if group not in GROUPS or isinstance(before, Refusal):
        return show(asked)
    given = part_form.read(group, settings_sent(asked) if group == "lenses" else 0, asked.texts, studio_of(asked))
    part = part_form.part_of(given, before)
    listing = changes.change(asked.own.listing, group, part_id, part)
    found = kit_text.read_listing(listing)
    part_form.note_missing(given)
    if isinstance(found, Refusal):
        part_form.note_refused(given, found, f"/{group}/{changes.place_of(listing, group, part_id)}")
    if given.given.faults or isinstance(found, Refusal):
        return part_page(asked, given, part_id, asked.texts.get(PART, ""))
    return kit_page(ShownPage(asked.studio.with_kit(found), tr(ADDED, name=part[changes.NAME])))


def before_change(asked: Asked, part_id: str) -> Members | Refusal:
    """Part as it was before its form was filled in: that of the kit, or the one that another page found."""
    found = changes.find(asked.own.listing, part_id)
    return found[1] if found is not None else part_before(asked)


def part_before(asked: Asked) -> Members | Refusal:
    """Part that another page found."""
    text = asked.texts.get(PART, "")
    return asked.studio.read_document(text[: LONGEST + 1]) if text else {}


def form_of(asked: Asked, group: str, part: Members) -> PartForm:
    """Form of a part as it is."""
    return part_form.read(group, part_form.count_settings(part), part_form.texts_of(group, part), studio_of(asked))


def part_page(asked: Asked, part: PartForm, part_id: str = "", before: str = "") -> Response:
    """Show the form of a part."""
    told = ShownPage(studio_of(asked), part=part, part_id=part_id, before=before)
    return kit_page(replace(told, is_new=asked.is_new))


def studio_of(asked: Asked) -> Studio:
    """Return the pages of the kit that was sent."""
    return asked.studio.with_kit(asked.own)


def settings_sent(asked: Asked) -> int:
    """How many settings the form of a lens has."""
    text = asked.texts.get(COUNT, "0")
    return min(int(text), MOST_SETTINGS) if text.isascii() and text.isdigit() and len(text) < 4 else 0


ACTIONS: Mapping[str, Callable[[Asked], Response]] = {
    "show": show,
    "start": show,
    "copy": copy,
    "rename": rename,
    "export": export,
    "add": open_new,
    "change": open_part,
    "remove": remove,
    "keep": keep,
    "settings": more_settings,
    "save": save,
}
WITHOUT_KIT = ("start", "copy", "add", "keep", "settings", "save")
"""What can be done before there is a kit."""
