"""Send every documented example to a running service, and open every page of its index. usage: examples.py HOST:PORT

Run by the image's own Python, with tests/support on its path, so that nothing the answers need was taken out of the image.
"""

import re
import sys
from collections.abc import Iterator
from typing import Any

import requests

from references import objects_of, written_out
from ruler_pictures import pictures

FILE = re.compile(r"\(the file (\S+)\)")


def examples(document: dict[str, Any]) -> Iterator[tuple[str, str, str, dict[str, Any]]]:
    """Path, media type, name and request of each documented example."""
    for path, item in document["paths"].items():
        for media_type, content in item.get("post", {}).get("requestBody", {}).get("content", {}).items():
            for name, example in content.get("examples", {}).items():
                yield path, media_type, name, example["value"]


def form(request: dict[str, Any]) -> dict[str, Any]:
    """The parts of a form, files drawn where the example names them."""
    fields, files = {}, []
    for name, value in request.items():
        named = FILE.findall(str(value))
        files += [(name, (file, pictures()[file])) for file in named]
        if not named:
            fields[name] = str(value)
    return {"data": fields, "files": files}


def send(address: str, path: str, media_type: str, request: dict[str, Any]) -> requests.Response:
    """Post an example as its media type wants it."""
    body = {"json": request} if media_type == "application/json" else form(request)
    return requests.post(f"http://{address}{path}", timeout=60, **body)


def main() -> None:
    """Exit with a line for each example that is not answered, and with a reason when there were none."""
    address = sys.argv[1]
    published = requests.get(f"http://{address}/openapi.json", timeout=10).json()
    document = written_out(published, objects_of(published))
    sent = [(path, name, send(address, path, kind, value)) for path, kind, name, value in examples(document)]
    links = set(re.findall(r'href="(/[^"#?]*)', requests.get(f"http://{address}/", timeout=10).text))
    sent += [(link, "page", requests.get(f"http://{address}{link}", timeout=10)) for link in sorted(links)]
    refused = [f"{path} {name}: {reply.status_code} {reply.text[:300]}" for path, name, reply in sent if not reply.ok]
    if refused or len(sent) < 50 or not links:
        sys.exit("\n".join([*refused, f"{len(refused)} of {len(sent)} refused, {len(links)} pages"]))


if __name__ == "__main__":
    main()
