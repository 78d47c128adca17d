"""What a club's website, scripts and a studio ask in a day, as a mix of real requests by weight."""

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from urllib.parse import quote, urlencode

from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.registry import operations

JSON = {"Content-Type": "application/json"}
BROWSER = {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8", "Accept-Encoding": "gzip"}
BY_ID = {operation.operation_id: operation for operation in operations()}
PAGES = ("/", "/docs", "/lesson", "/tasks/fill-the-frame?sensor=23.5x15.6&subject_width_mm=15")
BY_QUERY = (
    "findMagnification",
    "findEffectiveFNumber",
    "findDepthOfField",
    "findFlash",
    "findRingChains",
    "drawScaleBar",
)
BY_BODY = ("evaluateSetUp", "findExposure", "drawSetUp")
TABLE_ROWS = 100


@dataclass(frozen=True)
class Asked:
    """One request, and how often it comes in the mix."""

    method: str
    target: str
    headers: dict[str, str] = field(default_factory=dict)
    body: bytes = b""
    weight: int = 1


def mix() -> Iterator[Asked]:
    """Every kind of request of the mix."""
    for page in PAGES:
        yield Asked("GET", page, BROWSER, weight=3)
    for name in BY_QUERY:
        for example in BY_ID[name].examples:
            yield Asked("GET", by_query(BY_ID[name], example), weight=4)
    for name in BY_BODY:
        for example in BY_ID[name].examples:
            yield Asked("POST", BY_ID[name].path, JSON, json.dumps(example.request).encode(), weight=2)
    yield table(TABLE_ROWS)
    yield Asked("OPTIONS", "/v1/set-ups/evaluate", {"Origin": "https://club.example"})
    yield Asked("GET", "/v1/effective-f-number?f_number=eight")
    yield Asked("GET", "/nothing-here", BROWSER)


REFUSED = 2
"""How many of the mix are refused on purpose, each once."""


def by_query(operation: Operation, example: Example) -> str:
    """Address of an example by GET."""
    values = {name: spelled(value) for name, value in example.request.items()}
    return f"{operation.path}?{urlencode(values, quote_via=quote)}"


def spelled(value: object) -> str:
    """Value as a query gives it."""
    if isinstance(value, list):
        return ",".join(map(spelled, value))
    return str(value).lower() if isinstance(value, bool) else str(value)


def table(rows: int) -> Asked:
    """A table of so many rows, three results each."""
    operation = BY_ID["tabulateSetUp"]
    request = dict(operation.examples[0].request)
    request["columns"] = {"/train/1/length_mm": [5 + 50 * row / rows for row in range(rows)]}
    return Asked("POST", operation.path, JSON, json.dumps(request).encode())


def as_lua(asked: list[Asked]) -> str:
    """Script for wrk that sends the mix in turn; each connection's thread starts somewhere else."""
    formatted = "\n".join(
        f"  for _ = 1, {each.weight} do table.insert(mix, wrk.format({text(each.method)}, {text(each.target)}, "
        f"{{{', '.join(f'[{text(name)}] = {text(value)}' for name, value in each.headers.items())}}}, "
        f"{text(each.body) if each.body else 'nil'})) end"
        for each in asked
    )
    return (
        f"local mix, turn = {{}}, 0\nfunction init(args)\n{formatted}\n  math.randomseed(tonumber(args[1]))\n"
        "  for i = #mix, 2, -1 do local j = math.random(i); mix[i], mix[j] = mix[j], mix[i] end\nend\n"
        "function request()\n  turn = turn % #mix + 1\n  return mix[turn]\nend\n"
        "function done(summary, latency, requests)\n"
        '  io.write(string.format("told %d %d %d %d %.3f %.3f %.3f\\n", summary.requests, summary.errors.status, '
        "summary.errors.connect + summary.errors.read + summary.errors.write, summary.errors.timeout, "
        "latency:percentile(50) / 1000, latency:percentile(99) / 1000, latency.max / 1000))\nend\n"
    )


def text(value: str | bytes) -> str:
    """String of Lua, each byte as an escape where it is no plain letter."""
    raw = value.encode() if isinstance(value, str) else value
    return '"' + "".join(chr(each) if chr(each).isalnum() and each < 128 else f"\\{each:03d}" for each in raw) + '"'
