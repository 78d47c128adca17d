"""A call of the client against `http.client` over a connection that stays open, asking the same service the same."""

import http.client
import json

from closeup_client import Client
from processes import quiet_port, service, serving
from requests_asked import EFFECTIVE, MEMBERS
from rows import Effort, Row, cpu, in_turns, wall

CALLS = 200
FLOOR = "http.client, kept alive"


def rows(effort: Effort) -> list[Row]:
    """Wall-clock of a call, and CPU of the client's side."""
    port, calls = quiet_port(), effort.calls(CALLS)
    with serving(service(port), port, "/healthz"), Client(f"http://127.0.0.1:{port}") as client:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        headers = {"Content-Type": "application/json", "Accept": "application/json"}

        def by_library() -> object:
            return client.effective_f_number(**MEMBERS)

        def by_standard() -> object:
            connection.request("POST", EFFECTIVE, json.dumps(MEMBERS), headers)
            return json.loads(connection.getresponse().read())

        by_wall = in_turns(
            "client call, wall-clock", wall(by_library, calls), FLOOR, wall(by_standard, calls), effort, goal=1.6
        )
        by_cpu = in_turns(
            "client call, CPU of the client", cpu(by_library, calls), FLOOR, cpu(by_standard, calls), effort
        )
        connection.close()
        return [by_wall, by_cpu]
