"""What the HTTP server refuses before the application is asked, as problem documents too."""

import re
import socket
from email.utils import formatdate
from secrets import token_hex

from gunicorn import util

from closeup_service.http.headers import ANYONE, CONTENT_POLICY, PROTECTIVE, policy
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.media_types import PROBLEM_JSON
from closeup_service.operations.asking.problem_types import PROBLEM_TYPES
from closeup_service.operations.asking.refusals import refuse_as_usual
from closeup_service.running.observing import REQUEST_ID

OTHER_VERSION = re.compile(r"Invalid HTTP Version .*(HTTP/|\()[0-9]")
"""How the server words that the version is one, but none that is spoken here."""
OF_THE_SERVER = {
    400: "bad-request",
    414: "uri-too-long",
    417: "expectation-failed",
    431: "header-fields-too-large",
    501: "not-implemented",
    505: "http-version-not-supported",
}


def answer_with_problems(root: str) -> None:
    """Have the server write its refusals so; `root` is where the service stands."""

    def write(connection: socket.socket, status: int, reason: str, text: str) -> None:
        del reason
        util.write_nonblock(connection, refusal(505 if OTHER_VERSION.match(text) else status, root))

    util.write_error = write


def refusal(status: int, root: str) -> bytes:
    """Answer that refuses and closes, as it goes over the wire; nothing of the request is repeated."""
    kind = PROBLEM_TYPES[OF_THE_SERVER.get(status, "bad-request" if status < 500 else "internal-error")]
    own_id = token_hex(16)
    body = strict_json.dumps(refuse_as_usual(kind.slug).members(root) | {"request_id": own_id})
    fields = (
        ("Date", formatdate(usegmt=True)),
        ("Connection", "close"),
        ("Content-Type", PROBLEM_JSON),
        ("Content-Length", str(len(body))),
        ("Cache-Control", "no-store"),
        (REQUEST_ID, own_id),
        (CONTENT_POLICY, policy("")),
        *PROTECTIVE,
        *ANYONE,
    )
    lines = [f"HTTP/1.1 {kind.status} {kind.title}", *(f"{name}: {value}" for name, value in fields)]
    return "\r\n".join([*lines, "", ""]).encode("latin-1") + body
