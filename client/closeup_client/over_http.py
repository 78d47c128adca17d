"""Over HTTP: one session, a time limit on every call, another try when the service is busy or a connection is lost."""

import math
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from http.client import IncompleteRead, responses
from typing import Any
from urllib.parse import urlsplit

import requests

from closeup_client.busy_waits import BusyWaits
from closeup_client.errors import CloseupError, ServiceUnreachable
from closeup_client.installed import read_own_version
from closeup_client.messages import JSON, Reply, body_of, check_reply, content_of, json_of, write_form_fields
from closeup_client.transport import BUSY_WAIT_S, Timeout

FIRST_PAUSE_S = 0.1
LONGEST_PAUSE_S = 1.0


@dataclass(frozen=True, slots=True)
class Content:
    """Body of a request, and its media type."""

    data: bytes
    media_type: str


class OverHttp:
    """Sends requests and gives back JSON, or one of this library's errors."""

    def __init__(
        self,
        base_url: str,
        timeout: Timeout,
        session: requests.Session | None,
        retries: int,
        busy_wait_s: float = BUSY_WAIT_S,
    ) -> None:
        self.base_url = checked_address(base_url)
        self.timeout = checked_timeout(timeout)
        self.retries = checked_retries(retries)
        self.busy_wait_s = checked_wait(busy_wait_s)
        self.session = own_session() if session is None else session
        self._owns_session = session is None
        self._made: dict[tuple[str, str, str], requests.PreparedRequest] = {}

    def get(self, path: str) -> Any:
        """JSON that GET answers with."""
        return json_of(self._ask("GET", path, None))

    def post(self, path: str, members: Mapping[str, Any]) -> Any:
        """JSON that POST answers with."""
        return json_of(self._ask("POST", path, Content(body_of(members), JSON)))

    def post_form(self, path: str, members: Mapping[str, Any], files: Sequence[tuple[str, bytes]]) -> Any:
        """JSON that POST of a form with files answers with."""
        return json_of(self._ask("POST", path, form_of(members, files)))

    def post_for(self, path: str, members: Mapping[str, Any], media_type: str) -> bytes:
        """Content of the media type that POST answers with."""
        return content_of(self._ask("POST", path, Content(body_of(members), JSON), media_type), media_type)

    def is_alive(self) -> bool:
        """Whether the service says that it is well."""
        try:
            told = self.get("/healthz")
        except CloseupError:
            return False
        return isinstance(told, dict) and told.get("status") == "pass"

    def close(self) -> None:
        """Close the connections, unless the session is the caller's."""
        if self._owns_session:
            self.session.close()

    def _ask(self, method: str, path: str, body: Content | None, accepted: str = JSON) -> Reply:
        return check_reply(reply_of(self._send_until_not_busy(method, self.base_url + path, body, accepted)))

    def _send_until_not_busy(self, method: str, url: str, body: Content | None, accepted: str) -> requests.Response:
        """Send again after as long as a busy service says."""
        waits = BusyWaits(self.busy_wait_s)
        while True:
            response = self._send_until_heard(method, url, body, accepted)
            pause = waits.pause(response.status_code, response.headers)
            if pause is None:
                return response
            time.sleep(pause)

    def _send_until_heard(self, method: str, url: str, body: Content | None, accepted: str) -> requests.Response:
        """Send again when the connection was lost; every operation is safe to repeat, since the service keeps nothing."""
        handled_by_caller = sys.exception()
        waits = pauses(self.retries)
        while True:
            try:
                return self._send(method, url, body, accepted)
            except (OSError, ValueError) as error:  # what requests and the layers below it raise
                causes = list(causes_of(error, handled_by_caller))
                pause = next(waits, None)
                if pause is None or not connection_lost(causes):
                    raise ServiceUnreachable(self._why(url, causes)) from error
            time.sleep(pause)

    def _send(self, method: str, url: str, body: Content | None, accepted: str) -> requests.Response:
        if self._owns_session:
            request = with_body(self._prepared(method, url, accepted), body)
            return self.session.send(request, timeout=self.timeout, allow_redirects=False)
        headers = {"Accept": accepted} | ({} if body is None else {"Content-Type": body.media_type})
        data = None if body is None else body.data
        return self.session.request(
            method, url, data=data, headers=headers, timeout=self.timeout, allow_redirects=False
        )

    def _prepared(self, method: str, url: str, accepted: str) -> requests.PreparedRequest:
        """Request without its body, made once for each address: making it takes a third of a call's time."""
        key = method, url, accepted
        if key not in self._made:
            request = requests.Request(method, url, headers={"Accept": accepted})
            self._made[key] = self.session.prepare_request(request)
        return self._made[key]

    def _why(self, url: str, causes: Sequence[BaseException]) -> str:
        if any(isinstance(cause, requests.Timeout | TimeoutError) for cause in causes):
            return f"{url} did not answer in time (timeout {self.timeout} s)."
        return f"{url} cannot be reached: {str(causes[-1]) or type(causes[-1]).__name__}."


def with_body(made: requests.PreparedRequest, body: Content | None) -> requests.PreparedRequest:
    """Copy of a request that has no body yet, with this one."""
    request = made.copy()
    if body is not None:
        request.headers["Content-Type"] = body.media_type
        request.prepare_body(body.data, None)
    return request


def own_session() -> requests.Session:
    """Session that heeds no environment (proxies, netrc), which also saves looking them up at every call."""
    session = requests.Session()
    session.trust_env = False
    session.headers["User-Agent"] = user_agent()
    return session


def user_agent() -> str:
    """Name and version of this library."""
    version = read_own_version()
    return f"closeup-client/{version}" if version else "closeup-client"


def form_of(members: Mapping[str, Any], files: Sequence[tuple[str, bytes]]) -> Content:
    """Form of a request, a part for each file and each member, written as in JSON; raises what `body_of` does."""
    parts = [
        (name, (f"{name}-{place}", file, "application/octet-stream")) for place, (name, file) in enumerate(files, 1)
    ]
    prepared = requests.Request(
        "POST", "http://form.invalid", data=dict(write_form_fields(members)), files=parts
    ).prepare()
    assert isinstance(prepared.body, bytes)
    return Content(prepared.body, prepared.headers["Content-Type"])


def reply_of(response: requests.Response) -> Reply:
    """Return what was answered, without the library's own type."""
    return Reply(
        response.url,
        response.status_code,
        response.headers.get("Content-Type", ""),
        response.content,
        responses.get(response.status_code, "Refused"),
        response.headers["Location"] if response.is_redirect else None,
    )


def pauses(retries: int) -> Iterator[float]:
    """Seconds to wait before each further try on a connection that was lost."""
    return (min(FIRST_PAUSE_S * 2.0**attempt, LONGEST_PAUSE_S) for attempt in range(retries))


def causes_of(error: BaseException, outer: BaseException | None) -> Iterator[BaseException]:
    """Yield an error and what it came from, down to but without what the caller was handling already."""
    cause: BaseException | None = error
    while cause is not None and cause is not outer:
        yield cause
        cause = cause.__cause__ or cause.__context__


def connection_lost(causes: Sequence[BaseException]) -> bool:
    """Whether a connection that stood was lost; not one that never came about, nor silence."""
    return any(
        isinstance(cause, ConnectionError | IncompleteRead) and not isinstance(cause, ConnectionRefusedError)
        for cause in causes
    )


def checked_address(base_url: str) -> str:
    """Address without its last slash; ValueError where it is none."""
    parts = urlsplit(base_url)
    if parts.scheme not in ("http", "https") or not parts.hostname or parts.query or parts.fragment:
        raise ValueError(f"base_url={base_url!r}: give an address such as http://127.0.0.1:8000.")
    return base_url.rstrip("/")


def checked_timeout(timeout: Timeout) -> Timeout:
    """Timeout, if it is one: there is no call without."""
    for seconds in timeout if isinstance(timeout, tuple) else (timeout,):
        if not isinstance(seconds, int | float) or not math.isfinite(seconds) or seconds <= 0:
            raise ValueError(f"timeout={timeout!r}: give seconds above 0, or a pair of them.")
    return timeout


def checked_retries(retries: int) -> int:
    """Number of further tries, if it is one."""
    if not isinstance(retries, int) or retries < 0:
        raise ValueError(f"retries={retries!r}: give 0 or more.")
    return retries


def checked_wait(busy_wait_s: float) -> float:
    """Seconds to wait for a busy service in all, if they are any."""
    if not isinstance(busy_wait_s, int | float) or not math.isfinite(busy_wait_s) or busy_wait_s < 0:
        raise ValueError(f"busy_wait_s={busy_wait_s!r}: give seconds, or 0 to wait for nothing.")
    return busy_wait_s
