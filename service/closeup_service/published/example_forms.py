"""The examples of the documentation as they are asked with curl, the Python client and the command line.

The client's method for an operation is its command with underscores; the command's options are those of its table.
"""

import json
import shlex
from collections.abc import Callable, Mapping

from marshmallow.fields import List
from msgspec import Struct

from closeup_service.operations.estimating.places import list_one_lens
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.registry import command_name, operations
from closeup_service.published.command_table import FieldRow, operation_row
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN

LOCAL_ADDRESS = "http://127.0.0.1:8000"
"""Address of a service started as the README says."""
SCALARS = ("number", "whole", "text", "flag")
PICTURE = "picture"
INDENT = "    "
WIDEST = 88


class ExampleForms(Struct, frozen=True):
    """One example as it is asked with curl, the Python client and the command line."""

    summary: str
    curl: str
    python: str
    command: str


NO_ESTIMATES = "--no-estimate-unknown"


def forms_by_name(server_url: str) -> Callable[[str], list[ExampleForms]]:
    """Return what gives the forms of an operation's examples by its name; none for an address that is no sum."""
    address = LOCAL_ADDRESS if server_url == "/" else server_url.rstrip("/")
    known = {operation.operation_id: operation for operation in operations()}
    return lambda name: example_forms(known[name], address) if name in known else []


def example_forms(operation: Operation, address: str) -> list[ExampleForms]:
    """Every example of an operation in its forms; what asks for nothing is asked as it is."""
    if not operation.examples:
        plainly = (
            f"curl -s {address}{operation.path}",
            listing(operation, address),
            f"closeup {command_name(operation.path)}",
        )
        return [ExampleForms(f"{operation.summary}, all of it", *plainly)]
    return [
        ExampleForms(
            example.summary,
            curl(operation, example, address),
            python(operation, example, address),
            command(operation, example),
        )
        for example in operation.examples
    ]


def curl(operation: Operation, example: Example, address: str) -> str:
    """Ask by POST, in JSON or as a form with files."""
    start = f"curl -s {address}{operation.path}"
    if not operation.takes_photographs:
        return f"{start} -H 'Content-Type: application/json' -d {shlex.quote(json.dumps(example.request))}"
    files = [f"{operation.photographs}=@{name}" for name in example.photographs]
    return " ".join([start, *(f"-F {shlex.quote(part)}" for part in (*files, *fields_of_form(example)))])


def fields_of_form(example: Example) -> list[str]:
    """Fields of a form, numbers as JSON writes them."""
    return [
        f"{name}={value if isinstance(value, str) else json.dumps(value)}" for name, value in example.request.items()
    ]


def method_name(operation: Operation) -> str:
    """Return the client's method: the command with underscores."""
    return command_name(operation.path).replace(" ", "_").replace("-", "_")


def listing(operation: Operation, address: str) -> str:
    """Ask the client for records."""
    return within_client(address, f"for record in studio.{method_name(operation)}():\n{INDENT}print(record)")


def python(operation: Operation, example: Example, address: str) -> str:
    """Ask the client with keyword arguments, photographs before them by the names of their files."""
    arguments = [
        *files_first(operation, example),
        *(f"{name}={literal(value)}" for name, value in example.request.items()),
    ]
    start = f"answer = studio.{method_name(operation)}("
    whole = f"{start}{', '.join(arguments)})"
    if len(whole) > WIDEST or "\n" in whole:
        whole = start + "\n" + "".join(f"{indented(argument)},\n" for argument in arguments) + ")"
    return f"{within_client(address, whole)}\nprint(answer.raw)"


def files_first(operation: Operation, example: Example) -> list[str]:
    """Return the argument that holds the photographs, where there are any."""
    if operation.photographs is None or operation.request_schema is None:
        return []
    several = isinstance(operation.request_schema.fields[operation.photographs], List)
    return [literal(list(example.photographs) if several else example.photographs[0])]


def within_client(address: str, lines: str) -> str:
    """Lines of Python within a client's context."""
    return f'from closeup_client import Client\n\nwith Client("{address}") as studio:\n{indented(lines)}'


def literal(value: object, room: int = WIDEST - 24) -> str:
    """Python literal, on lines of bearable length."""
    text = json.dumps(value, ensure_ascii=False) if isinstance(value, str) else plain(value)
    if len(text) <= room or not isinstance(value, list | Mapping):
        return text
    if isinstance(value, list):
        inner, ends = [literal(each, room - 4) for each in value], "[]"
    else:
        inner, ends = [f"{literal(name)}: {literal(each, room - 4)}" for name, each in value.items()], "{}"
    return ends[0] + "\n" + "".join(f"{indented(each)},\n" for each in inner) + ends[1]


def plain(value: object) -> str:
    """Python literal on one line, texts in double quotation marks."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{plain(name)}: {plain(each)}" for name, each in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(plain, value)) + "]"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else repr(value)


def indented(lines: str) -> str:
    """Lines one step further in."""
    return "\n".join(f"{INDENT}{line}" for line in lines.split("\n"))


def command(operation: Operation, example: Example) -> str:
    """Ask the command line by options where each member has one, else by a document on the standard input."""
    start = f"closeup {command_name(operation.path)}"
    kinds = {row["name"]: row for row in operation_row(operation)["fields"]}
    if all(kinds[name]["kind"] in (*SCALARS, PICTURE) for name in example.request):
        words = [word for name, value in example.request.items() for word in option(kinds[name], value)]
        words += [NO_ESTIMATES] if is_open_to_estimates(operation, example) else []
        return " ".join([start, *map(shlex.quote, (*example.photographs, *words))])
    return f"{start} --document - <<'END'\n{json.dumps(example.request, ensure_ascii=False)}\nEND"


def is_open_to_estimates(operation: Operation, example: Example) -> bool:
    """Whether the command line would estimate what the request leaves open."""
    taken = () if operation.request_schema is None else tuple(operation.request_schema.fields)
    asked = ESTIMATE_UNKNOWN in taken and ESTIMATE_UNKNOWN not in example.request
    return asked and any(True for _ in list_one_lens(example.request, taken, ()))


def option(row: FieldRow, value: object) -> list[str]:
    """Words of one option."""
    name = row["name"].replace("_", "-")
    if row["kind"] == PICTURE:
        return [f"--{name}", f"{name}.png"]
    if row["kind"] == "flag":
        return [f"--{name}" if value else f"--no-{name}"]
    return [f"--{name}", *(word(each) for each in (value if isinstance(value, list | tuple) else [value]))]


def word(value: object) -> str:
    """One word of the command line."""
    return value if isinstance(value, str) else json.dumps(value)
