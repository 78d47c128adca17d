"""The service within this process: the same requests, handed to its WSGI application instead of a socket."""

import io
import sys
from collections.abc import Callable, Iterable, Mapping
from importlib.metadata import entry_points
from typing import Any, TypeAlias
from urllib.parse import unquote_to_bytes, urlsplit

import requests
from requests.adapters import BaseAdapter
from requests.structures import CaseInsensitiveDict

from closeup_client.errors import ServiceUnreachable

BASE_URL = "http://in-process.invalid"
ENTRY_POINT_GROUP = "closeup_client.in_process"
ENTRY_POINT = "service"
_NOT_AS_HEADERS = frozenset({"host", "content-type", "content-length", "accept-encoding"})
_INSTALL = (
    "The service is not installed here: in a clone of the repository pip install '.[service]', "
    "or give the base_url of a running one."
)

Application: TypeAlias = Callable[[dict[str, Any], Callable[..., Any]], Iterable[bytes]]


def application() -> Application:
    """Build the service's WSGI application, found by its entry point.

    Raises
    ------
    ServiceUnreachable
        Where the service, or what it needs, is not installed, or its settings are wrong.
    """
    for point in entry_points(group=ENTRY_POINT_GROUP, name=ENTRY_POINT):
        try:
            create: Callable[[], Application] = point.load()
        except ModuleNotFoundError as error:
            raise ServiceUnreachable(f"{_INSTALL} ({error})") from error
        try:
            return create()
        except ValueError as error:
            raise ServiceUnreachable(f"The service here cannot start: {error}") from error
    raise ServiceUnreachable(_INSTALL)


class WsgiAdapter(BaseAdapter):
    """Answers the requests of a session by a WSGI application; time limits do not apply here."""

    def __init__(self, app: Application) -> None:
        super().__init__()
        self._app = app

    def send(
        self,
        request: requests.PreparedRequest,
        stream: bool = False,
        timeout: Any = None,
        verify: bool | str = True,
        cert: Any = None,
        proxies: Mapping[str, str] | None = None,
    ) -> requests.Response:
        """Call the application once and gather its answer."""
        del stream, timeout, verify, cert, proxies
        response = requests.Response()
        response.request = request
        response.url = request.url or ""

        def start_response(status: str, headers: list[tuple[str, str]], exc_info: Any = None) -> None:
            del exc_info
            code, _, response.reason = status.partition(" ")
            response.status_code = int(code)
            response.headers = CaseInsensitiveDict(headers)

        pieces = self._app(environ_of(request), start_response)
        try:
            response.raw = io.BytesIO(b"".join(pieces))
        finally:
            getattr(pieces, "close", lambda: None)()
        return response

    def close(self) -> None:
        """Do nothing: there are no connections."""


def environ_of(request: requests.PreparedRequest) -> dict[str, Any]:
    """WSGI environment of a request (PEP 3333)."""
    parts = urlsplit(request.url or "")
    body = request.body or b""
    content = body if isinstance(body, bytes) else body.encode()
    return header_variables(request.headers) | {
        "HTTP_HOST": parts.netloc,
        "REQUEST_METHOD": request.method,
        "SCRIPT_NAME": "",
        "PATH_INFO": unquote_to_bytes(parts.path).decode("latin-1"),
        "QUERY_STRING": parts.query,
        "CONTENT_TYPE": request.headers.get("Content-Type", ""),
        "CONTENT_LENGTH": str(len(content)),
        "SERVER_NAME": parts.hostname,
        "SERVER_PORT": "80",
        "SERVER_PROTOCOL": "HTTP/1.1",
        "REMOTE_ADDR": "127.0.0.1",
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": parts.scheme,
        "wsgi.input": io.BytesIO(content),
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": True,
        "wsgi.multiprocess": False,
        "wsgi.run_once": False,
    }


def header_variables(headers: Mapping[str, str]) -> dict[str, Any]:
    """Headers as WSGI variables; no compression is asked for, and three more have variables of their own."""
    return {
        f"HTTP_{name.upper().replace('-', '_')}": value
        for name, value in headers.items()
        if name.lower() not in _NOT_AS_HEADERS
    }
