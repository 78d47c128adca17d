"""The same question for other clients: an address or what to send, and the command line."""

from __future__ import annotations

import json
import shlex
from collections.abc import Mapping
from urllib.parse import urlencode

from msgspec import Struct

from closeup_service.language import tr
from closeup_service.operations.operation import Operation
from closeup_service.operations.registry import command_name
from closeup_service.pages.asking import Members
from closeup_service.schemas.worked_steps import SHOW_STEPS

PROGRAM = "closeup"
OPTIONS = {SHOW_STEPS: "steps"}
"""Options of the command line that are not called as their members."""


class Elsewhere(Struct, frozen=True):
    """One operation that was asked: its address where GET takes it, else what to send; and its command line."""

    summary: str
    address: str
    path: str
    body: str
    command: str


def requests_of(asked: Operation, members: Members) -> Elsewhere:
    """Write the request of one operation for other clients."""
    address = address_of(asked, members)
    body = "" if address or asked.takes_photographs else json.dumps(plain_number(members), indent=1, ensure_ascii=False)
    return Elsewhere(tr(asked.summary), address, asked.path, body, command_line(asked, members))


def address_of(asked: Operation, members: Members) -> str:
    """Address that answers the request by GET; empty where POST alone does."""
    if asked.takes_photographs or asked.by_query == "none":
        return ""
    if asked.by_query == "fields" and any(map(lists_objects, members.values())):
        return ""
    if asked.by_query == "document":
        query = {"document": json.dumps(plain_number(members), separators=(",", ":"))}
    else:
        query = {name: write_value(value) for name, value in members.items()}
    return f"{asked.path}?{urlencode(query)}"


def command_line(asked: Operation, members: Members) -> str:
    """Write the request as a command."""
    if asked.takes_photographs:
        files = [name for name, value in members.items() if not isinstance(value, str | float | int | bool)]
        options = {name: value for name, value in members.items() if name not in (*files, "overlay")}
        return " ".join([PROGRAM, command_name(asked.path), "ruler.jpg", *map(option, options, options.values())])
    if asked.by_query == "fields":
        return " ".join([PROGRAM, command_name(asked.path), *map(option, members, members.values())])
    document = shlex.quote(json.dumps(plain_number(members)))
    return f"printf '%s' {document} | {PROGRAM} {command_name(asked.path)} --document -"


def lists_objects(value: object) -> bool:
    """Whether a value is a list of objects, which no query can hold."""
    return isinstance(value, list | tuple) and any(isinstance(each, Mapping) for each in value)


def option(name: str, value: object) -> str:
    """Write one option; a value that begins with a sign is tied to its name; of objects each is one of its own."""
    flag = f"--{OPTIONS.get(name, name).replace('_', '-')}"
    if isinstance(value, list | tuple) and lists_objects(value):
        return " ".join(f"{flag} {shlex.quote(write_pairs(each))}" for each in value)
    if isinstance(value, bool):
        return flag if value else flag.replace("--", "--no-", 1)
    told = write_value(value)
    return f"{flag}={told}" if told.startswith("-") else f"{flag} {shlex.quote(told)}"


def write_pairs(members: Members) -> str:
    """Members of an object as the command line takes them."""
    return " ".join(f"{name}={write_value(value)}" for name, value in members.items())


def write_value(value: object) -> str:
    """Value as a query and the command line write it, exactly."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return repr(value).removesuffix(".0") if isinstance(value, float | int) else str(value)


def plain_number(value: object) -> object:
    """Value with whole numbers written without a point."""
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return int(value)
    if isinstance(value, Mapping):
        return {name: plain_number(each) for name, each in value.items()}
    return [plain_number(each) for each in value] if isinstance(value, list | tuple) else value
