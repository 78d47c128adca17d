"""One call of every operation of the published document, with the document's own example."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from references import objects_of, written_out

JSON = "application/json"
MULTIPART = "multipart/form-data"
Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Call:
    """What is sent: members of a query or of a body, and files by the names of their parts."""

    operation_id: str
    path: str
    method: str
    tag: str
    query: Mapping[str, Any] = field(default_factory=dict)
    body: Mapping[str, Any] | None = None
    files: Mapping[str, list[str]] = field(default_factory=dict)


def calls(published: Json) -> Iterator[Call]:
    """Yield a call of every operation."""
    document = written_out(published, objects_of(published))
    for path, item in document["paths"].items():
        for method, operation in item.items():
            yield call_of(path, method, operation, item)


def call_of(path: str, method: str, operation: Json, item: Json) -> Call:
    """Return the call of one operation; that of GET has the example of the same request by POST."""
    place = (operation["operationId"], path, method.upper(), operation["tags"][0])
    if method == "get":
        return Call(*place, query=query_of(operation, item.get("post")))
    content = operation["requestBody"]["content"]
    body = first_example(content.get(JSON) or content[MULTIPART])
    if JSON in content:
        return Call(*place, body=body)
    files = {name: names_in(value) for name, value in body.items() if names_in(value)}
    return Call(*place, body={name: value for name, value in body.items() if name not in files}, files=files)


def query_of(operation: Json, post: Json | None) -> Json:
    """Parameters of a GET: the whole request in one, or a member each."""
    parameters = {each["name"]: each for each in operation.get("parameters", ())}
    if not parameters or post is None:
        return {}
    request = first_example(post["requestBody"]["content"][JSON])
    if "document" in parameters:
        return {"document": request}
    return {name: value for name, value in request.items() if name in parameters}


def first_example(content: Json) -> Json:
    """Value of the first example of a request."""
    value: Json = next(iter(content["examples"].values()))["value"]
    return value


def names_in(value: Any) -> list[str]:
    """Names of the files that an example stands for, such as `(the file ruler.jpg)`."""
    told = value if isinstance(value, list) else [value]
    return [each[10:-1] for each in told if isinstance(each, str) and each.startswith("(the file ")]


def as_text(value: Any) -> str:
    """Literal of TypeScript, which JSON is."""
    return json.dumps(value, ensure_ascii=False)
