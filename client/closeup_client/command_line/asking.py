"""Where the question goes: to a server, or to the service within this process where it is installed."""

import argparse
import os
from collections.abc import Mapping, Sequence
from contextlib import closing
from typing import Any, NamedTuple

from closeup_client.command_line.operation import Operation
from closeup_client.command_line.waiting import waiting
from closeup_client.errors import ServiceUnreachable
from closeup_client.in_process import InProcess
from closeup_client.transport import RETRIES, USUAL_URL, Transport, to_server

SERVER_VARIABLE = "CLOSEUP_CLIENT_SERVER"


class Where(NamedTuple):
    """Which server is asked, if one is, and how long it is waited for [s]: for an answer, and in all while it is busy."""

    server: str | None
    timeout: float
    busy_wait_s: float


def where_of(given: argparse.Namespace) -> Where:
    """Where the options say to ask."""
    return Where(given.server, given.timeout, given.busy_wait)


def ask(operation: Operation, members: Mapping[str, Any], files: Sequence[tuple[str, bytes]], where: Where) -> Any:
    """Ask one operation and return the raw answer.

    Raises
    ------
    CloseupError
        Where the service refuses or cannot be talked to.
    ValueError
        Where the server's address or the timeout is none.
    """
    with closing(transport_to(where)) as transport, waiting(said_while_waiting(operation, files)):
        return ask_by(transport, operation, members, files)


def said_while_waiting(operation: Operation, files: Sequence[tuple[str, bytes]]) -> str:
    """What is going on, for the line on the terminal."""
    if not files:
        return operation.name
    size_mb = sum(len(content) for _, content in files) / 1e6
    return f"{operation.name}, {len(files)} photograph{'s' if len(files) > 1 else ''}, {size_mb:.1f} MB"


def ask_by(
    transport: Transport, operation: Operation, members: Mapping[str, Any], files: Sequence[tuple[str, bytes]] = ()
) -> Any:
    """Ask one operation by a transport that stands; raises what `ask` does, but for the address."""
    if operation.files is not None:
        return transport.post_form(operation.path, members, files)
    if operation.method == "POST":
        return transport.post(operation.path, members)
    return transport.get(operation.path)


def ask_for(media_type: str, operation: Operation, members: Mapping[str, Any], where: Where) -> bytes:
    """Ask one operation for its answer in a media type other than JSON; raises what `ask` does."""
    with closing(transport_to(where)) as transport:
        return transport.post_for(operation.path, members, media_type)


def transport_to(where: Where) -> Transport:
    """Transport to the server, or that of the variable; else to the service installed here, or else to the usual address."""
    server = where.server or os.environ.get(SERVER_VARIABLE)
    if server:
        return to_server(server, where.timeout, None, RETRIES, where.busy_wait_s)
    try:
        return InProcess()
    except ServiceUnreachable as error:
        if isinstance(error.__cause__, ValueError):
            raise  # it is installed, and its kit is at fault
        return to_server(USUAL_URL, where.timeout, None, RETRIES, where.busy_wait_s)
