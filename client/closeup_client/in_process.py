"""The service within this process: the same requests, handed to it without a connection."""

from collections.abc import Callable, Mapping, Sequence
from importlib import import_module
from typing import Any, Protocol

from closeup_client.errors import ServiceUnreachable
from closeup_client.installed import find_entry_point
from closeup_client.messages import JSON, Reply, body_of, check_reply, content_of, json_of, write_form_fields

BASE_URL = "http://in-process.invalid"
ENTRY_POINT_GROUP = "closeup_client.in_process"
ENTRY_POINT = "service"
_INSTALL = (
    "The service is not installed here: in a clone of the repository pip install '.[service]', "
    "or give the base_url of a running one."
)


class Service(Protocol):
    """What the service offers within a process; answers are status, media type and body."""

    def ask(self, path: str, body: bytes, accept: str) -> tuple[int, str, bytes]:
        """Answer a JSON text, or an empty one where there is nothing to ask."""

    def ask_form(
        self, path: str, values: Sequence[tuple[str, str]], files: Sequence[tuple[str, bytes]], accept: str
    ) -> tuple[int, str, bytes]:
        """Answer a form with files."""


def start_service() -> Service:
    """Start the service that is installed here, found by its entry point.

    Raises
    ------
    ServiceUnreachable
        Where the service, or what it needs, is not installed, or its settings are wrong.
    """
    found = find_entry_point(ENTRY_POINT_GROUP, ENTRY_POINT)
    if found is None:
        raise ServiceUnreachable(_INSTALL)
    module, _, name = found.replace(" ", "").partition(":")
    try:
        start: Callable[[], Service] = getattr(import_module(module), name)
    except ModuleNotFoundError as error:
        raise ServiceUnreachable(f"{_INSTALL} ({error})") from error
    try:
        return start()
    except ValueError as error:
        raise ServiceUnreachable(f"The service here cannot start: {error}") from error


class InProcess:
    """Asks the service within this process; time limits do not apply here."""

    base_url = BASE_URL

    def __init__(self) -> None:
        self._service = start_service()

    def get(self, path: str) -> Any:
        """JSON that an operation answers with that is asked without a request."""
        return json_of(read_reply(path, self._service.ask(path, b"", JSON)))

    def post(self, path: str, members: Mapping[str, Any]) -> Any:
        """JSON that a request is answered with."""
        return json_of(read_reply(path, self._service.ask(path, body_of(members), JSON)))

    def post_form(self, path: str, members: Mapping[str, Any], files: Sequence[tuple[str, bytes]]) -> Any:
        """JSON that a form with files is answered with."""
        return json_of(read_reply(path, self._service.ask_form(path, write_form_fields(members), files, JSON)))

    def post_for(self, path: str, members: Mapping[str, Any], media_type: str) -> bytes:
        """Content of the media type that a request is answered with."""
        return content_of(read_reply(path, self._service.ask(path, body_of(members), media_type)), media_type)

    def is_alive(self) -> bool:
        """Whether the service answers: it has started, or there were no way to it."""
        return True

    def close(self) -> None:
        """Do nothing: there are no connections."""


def read_reply(path: str, answer: tuple[int, str, bytes]) -> Reply:
    """Return an answer that is a success; raises `ServiceRefused` where it is none."""
    return check_reply(Reply(BASE_URL + path, *answer))
