"""The pages of an own kit as a browser without JavaScript uses them: forms filled in, buttons pressed."""

from __future__ import annotations

import json
from dataclasses import dataclass
from html.parser import HTMLParser
from io import BytesIO
from typing import Any

from flask.testing import FlaskClient
from werkzeug.datastructures import FileStorage, MultiDict
from werkzeug.test import TestResponse, encode_multipart

from closeup_service.gear.kit_building import demo_text

BOUNDARY = "part-of-a-form"


def own_kit() -> dict[str, Any]:
    """The demo kit under ids of its own, so that no other kit has its parts."""
    kit: dict[str, Any] = json.loads(demo_text())
    kit["name"] = "Anna's kit"
    for group, parts in kit.items():
        if group not in ("name", "currency", "mounts"):
            kit[group] = [{**part, "id": f"my-{part['id']}", "name": f"My {part['name']}"} for part in parts]
    return kit


def kit_file(kit: dict[str, Any]) -> FileStorage:
    """Kit as a file that is chosen in a form."""
    return FileStorage(BytesIO(json.dumps(kit).encode()), "kit.json", content_type="application/json")


class Fields(HTMLParser):
    """What the fields of one form hold when it is sent."""

    def __init__(self, text: str, form: str) -> None:
        super().__init__()
        self.sent: list[tuple[str, str]] = []
        self.wanted, self.inside, self.select = form, False, ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.inside = self.wanted in (given.get("id", ""), *given.get("class", "").split())
        if not self.inside:
            return
        if tag == "select":
            self.select = given["name"]
        if tag == "option" and "selected" in given:
            self.sent.append((self.select, given["value"]))
        if tag == "input" and given.get("type") != "file" and (given.get("type") != "checkbox" or "checked" in given):
            self.sent.append((given["name"], given.get("value", "")))

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.inside = False


@dataclass
class KitPage:
    """A page of the kit, and what can be done on it."""

    api: FlaskClient
    text: str

    @property
    def kit(self) -> dict[str, Any]:
        """Kit that the page takes along."""
        kit: dict[str, Any] = json.loads(dict(Fields(self.text, "own-kit").sent)["kit"])
        return kit

    def press(self, do: str, **typed: Any) -> KitPage:
        """Press a button; what is typed stands in place of what the form holds."""
        return KitPage(self.api, self.answer(do, **typed).text)

    def answer(self, do: str, **typed: Any) -> TestResponse:
        form = "part" if 'id="part"' in self.text else "own-kit"
        held = dict(Fields(self.text, form).sent)
        return post(self.api, "/kit", **{**held, **typed, "do": do})


def post(api: FlaskClient, address: str, **fields: Any) -> TestResponse:
    _, body = encode_multipart(MultiDict(fields), BOUNDARY)
    answer = api.post(address, data=body, content_type=f"multipart/form-data; boundary={BOUNDARY}")
    assert answer.status_code in (200, 303)
    return answer


def opened(api: FlaskClient, kit: dict[str, Any] | str) -> KitPage:
    """Page of a kit that was sent."""
    text = kit if isinstance(kit, str) else json.dumps(kit)
    return KitPage(api, post(api, "/kit", kit=text, do="show").text)
