"""Where the question goes: to a server, or to the service within this process where it is installed."""

import argparse
import os
from collections.abc import Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from closeup_client import in_process
from closeup_client.command_line.table import Operation
from closeup_client.errors import ServiceUnreachable
from closeup_client.transport import RETRIES, USUAL_URL, Transport

SERVER_VARIABLE = "CLOSEUP_CLIENT_SERVER"


@dataclass(frozen=True, slots=True)
class Where:
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
    with closing(transport_to(where)) as transport:
        return ask_by(transport, operation, members, files)


def ask_by(
    transport: Transport, operation: Operation, members: Mapping[str, Any], files: Sequence[tuple[str, bytes]] = ()
) -> Any:
    """Ask one operation by a transport that stands; raises what `ask` does, but for the address."""
    if operation.files is not None:
        return transport.post_form(operation.path, members, files)
    if operation.method == "POST":
        return transport.post(operation.path, members)
    return transport.get(operation.path + (f"?{urlencode(members)}" if members else ""))


def ask_for(media_type: str, operation: Operation, members: Mapping[str, Any], where: Where) -> bytes:
    """Ask one operation for its answer in a media type other than JSON; raises what `ask` does."""
    with closing(transport_to(where)) as transport:
        return transport.post_for(operation.path, members, media_type)


def transport_to(where: Where) -> Transport:
    """Transport to the server, or that of the variable; else to the service installed here, or else to the usual address."""
    server = where.server or os.environ.get(SERVER_VARIABLE)
    if server:
        return Transport(server, where.timeout, None, RETRIES, where.busy_wait_s)
    try:
        adapter = in_process.WsgiAdapter(in_process.application())
    except ServiceUnreachable as error:
        if isinstance(error.__cause__, ValueError):
            raise  # it is installed, and its kit is at fault
        return Transport(USUAL_URL, where.timeout, None, RETRIES, where.busy_wait_s)
    transport = Transport(in_process.BASE_URL, where.timeout, None, 0, 0)
    transport.session.mount(in_process.BASE_URL, adapter)
    return transport
