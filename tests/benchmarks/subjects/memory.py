"""Memory of the service after work: of the master, and of each further worker against a lone one.

A further worker is what the whole service takes more for each worker beyond the first, shared memory counted once (PSS). The
lone one is the resident memory of a single worker, shared memory counted in full: what it would take with nobody to share.
"""

from persistent import Connection, prepared
from processes import Served, memory_of, quiet_port, service, serving
from requests_asked import BODY, EFFECTIVE, EVALUATE, GET_PATH, SET_UP, TABLE
from rows import Effort, Row
from subjects.tables import body_of

WORKERS = 5
REQUESTS = 400
MIXED = (
    prepared("POST", EFFECTIVE, BODY),
    prepared("GET", GET_PATH),
    prepared("POST", EVALUATE, SET_UP),
    prepared("POST", TABLE, body_of(1000)),
)


def rows(effort: Effort) -> list[Row]:
    """Memory with one worker and with several."""
    asked = effort.calls(REQUESTS)
    port, other = quiet_port(), quiet_port()
    with serving(service(port), port, "/healthz") as served:
        work(served, asked)
        master, worker = served.family
        lone, alone = memory_of(worker, "Rss"), total(served)
        sizes = memory_of(master), memory_of(worker)
    with serving(service(other, WORKERS), other, "/healthz") as served:
        work(served, asked * WORKERS)
        further = (total(served) - alone) / (WORKERS - 1)
    return [
        Row("memory of the master beside one worker (PSS)", sizes[0], "byte"),
        Row("memory of one worker beside the master (PSS)", sizes[1], "byte"),
        Row(
            "memory of each further worker (PSS)",
            further,
            "byte",
            "a lone worker (RSS)",
            lone,
            further / lone,
            goal=0.35,
        ),
        Row("memory of the service with one worker (PSS)", alone, "byte"),
    ]


def total(served: Served) -> int:
    """Memory of all processes, what they share counted once."""
    return sum(map(memory_of, served.family))


def work(served: Served, requests: int) -> None:
    """Ask mixed questions over a new connection each time, so that every worker gets some."""
    for number in range(requests):
        connection = Connection(served.port)
        connection.ask(MIXED[number % len(MIXED)])
        connection.close()
