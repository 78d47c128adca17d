"""CPU of the server for each request over a connection that stays open: one worker, the server's core to itself.

All servers run at once; those that are not asked take nothing. The bare ones have the same server with the same settings.
"""

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager

from persistent import kept_open, prepared
from processes import gunicorn, quiet_port, service, serving, uvicorn
from requests_asked import BODY, EFFECTIVE, GET_PATH, QUERY
from rows import Effort, Measure, Row, in_turns

CALLS = 1000
PEER = "peers.fastapi_sums:app"


def rows(effort: Effort) -> list[Row]:
    """CPU per request of the service against the floors and the peer."""
    calls = effort.calls(CALLS)
    post, get = prepared("POST", EFFECTIVE, BODY), prepared("GET", GET_PATH)
    constant, peer_post = prepared("GET", "/"), prepared("POST", "/effective-f-number", BODY)
    peer_get = f"/effective-f-number?{QUERY}"
    with ExitStack() as running:

        def start(command: Callable[..., list[str]], *app: str, path: str = "/") -> Callable[[bytes], Measure]:
            return running.enter_context(asked_of(command, app, path, calls))

        own, flask = start(service, path="/healthz"), start(gunicorn, "peers.bare_flask:app")
        wsgi, peer = start(gunicorn, "peers.bare_wsgi:app"), start(uvicorn, PEER, path=peer_get)
        bare = flask(constant)
        return [
            in_turns("POST effective-f-number over a socket", own(post), "bare Flask, same server", bare, effort, goal=1.2),
            in_turns("GET effective-f-number over a socket", own(get), "bare Flask, same server", bare, effort, goal=1.2),
            in_turns("POST effective-f-number over a socket", own(post), "bare WSGI, same server", wsgi(constant), effort),
            in_turns("POST effective-f-number over a socket", own(post), "FastAPI, uvicorn, POST", peer(peer_post), effort),
            in_turns(
                "GET effective-f-number over a socket", own(get), "FastAPI, uvicorn, GET",
                peer(prepared("GET", peer_get)), effort,
            ),
        ]  # fmt: skip


@contextmanager
def asked_of(
    command: Callable[..., list[str]], app: tuple[str, ...], path: str, calls: int
) -> Iterator[Callable[[bytes], Measure]]:
    """Run a server; yields what measures its CPU for a request."""
    port = quiet_port()
    with serving(command(*app, port), port, path) as served:
        yield lambda request: kept_open(served, request, calls)
