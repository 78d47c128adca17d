"""How the service is asked: over HTTP, or within this process; either gives back JSON, or one of this library's errors."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Protocol, TypeAlias

if TYPE_CHECKING:
    import requests

Timeout: TypeAlias = float | tuple[float, float]
"""Seconds to wait for the connection and for each piece of the answer; one figure for both, or one each."""

USUAL_URL = "http://127.0.0.1:8000"
"""Where a service answers that was started without settings."""
TIMEOUT_S = 10.0
RETRIES = 2
BUSY_WAIT_S = 30.0
"""Seconds that are waited in all for a service that is busy, unless said otherwise."""


class Transport(Protocol):
    """A way to the service."""

    @property
    def base_url(self) -> str:
        """Address of the service, before those of its operations."""

    def get(self, path: str) -> Any:
        """JSON that an operation answers with that is asked without a request."""

    def post(self, path: str, members: Mapping[str, Any]) -> Any:
        """JSON that a request is answered with."""

    def post_form(self, path: str, members: Mapping[str, Any], files: Sequence[tuple[str, bytes]]) -> Any:
        """JSON that a form with files is answered with."""

    def post_for(self, path: str, members: Mapping[str, Any], media_type: str) -> bytes:
        """Content of the media type that a request is answered with."""

    def is_alive(self) -> bool:
        """Whether the service answers at all."""

    def close(self) -> None:
        """Give back what the way has taken, such as connections."""


def to_server(
    base_url: str, timeout: Timeout, session: requests.Session | None, retries: int, busy_wait_s: float
) -> Transport:
    """Way to a server; what it needs is loaded for it alone.

    Raises
    ------
    ValueError
        Where one of these is none.
    """
    from closeup_client.over_http import OverHttp  # noqa: PLC0415

    return OverHttp(base_url, timeout, session, retries, busy_wait_s)
