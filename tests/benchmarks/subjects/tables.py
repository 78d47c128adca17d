"""Tables of two columns and fourteen figures against orjson alone, which reads the same request and writes the same answer.

The peer works the same figures out row by row in plain floats, its models checking what comes and writing what goes; it is
called within the process, without a server, as ours is.
"""

import asyncio
from collections.abc import Callable, Sequence

import numpy as np
import orjson

from closeup_client import Client
from closeup_client.blocks import blocks_of
from closeup_service.http.app import create_app
from closeup_service.operations.asking import ask, strict_json
from closeup_service.operations.asking.media_types import JSON
from closeup_service.operations.set_up.table import operation as table
from closeup_service.schemas.kit import demo_kit
from in_process_calls import asgi, wsgi
from persistent import server_cpu
from plain_sums import FIELDS, POINT_MEMBERS, agree, fourteen, table_document
from processes import quiet_port, service, serving
from requests_asked import TABLE
from rows import Effort, Row, cpu, in_turns, settle

FEW_FIELDS = FIELDS[:4]
Call = Callable[[], object]


def drawn(rows: int) -> tuple[list[float], list[float]]:
    """f-numbers and lengths at random, the same every time."""
    draw = np.random.default_rng(1)
    return draw.uniform(2, 22, rows).round(3).tolist(), draw.uniform(20, 150, rows).round(3).tolist()


def body_of(rows: int, fields: Sequence[str] = FIELDS) -> bytes:
    """Request of so many rows."""
    return orjson.dumps(table_document(*drawn(rows), fields))


def orjson_alone(request: bytes, answer: bytes) -> Call:
    """Read the request and write the answer, with nothing between."""
    told = orjson.loads(answer)

    def call() -> None:
        orjson.loads(request)
        orjson.dumps(told)

    return call


def rows(effort: Effort) -> list[Row]:
    """All comparisons of tables."""
    app = create_app()
    settle()
    asked, few = wsgi(app, "POST", TABLE, body_of(10_000)), wsgi(app, "POST", TABLE, body_of(10_000, FEW_FIELDS))
    floor = cpu(orjson_alone(body_of(10_000), asked()), 1)
    return [
        in_turns("table, 10,000 rows, 14 figures", cpu(asked, 1), "orjson alone", floor, effort, goal=1.25),
        in_turns("table, 10,000 rows, 4 figures", cpu(few, 1), "orjson alone, 14 figures", floor, effort, goal=0.7),
        *small(wsgi(app, "POST", TABLE, body_of(100)), effort),
        *by_blocks(app, effort),
        over_a_socket(effort),
        *against_the_peer(asked, effort),
    ]


def small(asked: Callable[[], bytes], effort: Effort) -> list[Row]:
    """100 rows: the sums with reading and writing, without what every request costs; and the whole request."""
    body, kit, calls = body_of(100), demo_kit(), effort.calls(50)

    def compute() -> bytes:
        return ask.body_of(table.OPERATION, strict_json.loads(body), JSON, lambda: kit)

    floor = cpu(orjson_alone(body, asked()), calls)
    return [
        in_turns(
            "table, 100 rows, 14 figures, compute only", cpu(compute, calls), "orjson alone", floor, effort, goal=5
        ),
        in_turns("table, 100 rows, 14 figures, whole request", cpu(asked, calls), "orjson alone", floor, effort),
    ]


def by_blocks(app: object, effort: Effort) -> list[Row]:
    """100,000 rows in the blocks that the client asks."""
    bodies = [orjson.dumps(block) for block in blocks_of(table_document(*drawn(100_000)))]
    calls = [wsgi(app, "POST", TABLE, body) for body in bodies]  # type: ignore[arg-type]
    alone = [orjson_alone(body, call()) for body, call in zip(bodies, calls, strict=True)]
    own, floor = (cpu(lambda each=each: [call() for call in each], 1) for each in (calls, alone))  # type: ignore[misc]
    return [in_turns("table, 100,000 rows in 10 blocks", own, "orjson alone", floor, effort, goal=1.25)]


def over_a_socket(effort: Effort) -> Row:
    """100,000 rows asked by the client of a running service: CPU of the service."""
    document, port = table_document(*drawn(100_000)), quiet_port()
    bodies = [orjson.dumps(block) for block in blocks_of(document)]
    answers = [wsgi(create_app(), "POST", TABLE, body)() for body in bodies[:1]] * len(bodies)
    alone = [orjson_alone(body, answer) for body, answer in zip(bodies, answers, strict=True)]
    floor = cpu(lambda: [call() for call in alone], 1)
    with serving(service(port), port, "/healthz") as served, Client(f"http://127.0.0.1:{port}") as client:
        own = server_cpu(served, lambda: client.table(**document), 1)
        return in_turns("table, 100,000 rows by the client, CPU of the service", own, "orjson alone", floor, effort)


def against_the_peer(asked: Callable[[], bytes], effort: Effort) -> list[Row]:
    """10,000 rows against the peer's models: a list of objects, and lists of numbers."""
    from peers.fastapi_sums import app  # the peer is needed here alone

    loop = asyncio.new_event_loop()
    numbers, lengths = drawn(10_000)
    objects = [{"f_number": n, "length_mm": length} for n, length in zip(numbers, lengths, strict=True)]
    by_rows = asgi(app, loop, "/rows", orjson.dumps({"rows": objects}))
    by_columns = asgi(app, loop, "/columns", orjson.dumps({"f_number": numbers, "length_mm": lengths}))
    first = [column[0] for column in orjson.loads(asked())["columns"].values()]
    agree(first, tuple(orjson.loads(by_rows())["rows"][0].values()))
    agree(first, [column[0] for column in orjson.loads(by_columns())["columns"].values()])
    agree(first, fourteen(**{**POINT_MEMBERS, "n": numbers[0], "tube": lengths[0]}))
    own = cpu(asked, 1)
    measured = [
        in_turns("table, 10,000 rows", own, "FastAPI, list of models", cpu(by_rows, 1), effort, goal=0.1),
        in_turns("table, 10,000 rows", own, "FastAPI, lists of floats", cpu(by_columns, 1), effort),
    ]
    loop.close()
    return measured
