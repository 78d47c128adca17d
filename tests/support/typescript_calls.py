"""TypeScript that calls every operation: through openapi-fetch, and through the client that openapi-ts generates.

`python tests/support/typescript_calls.py OPENAPI_JSON FOLDER` writes both scripts for tests/contract.

The examples stand in it as they are, so that the compiler holds them against the generated types.
"""

import json
import sys
from collections.abc import Iterable
from pathlib import Path

from every_operation import Call, as_text, calls

FETCH_HEAD = """import createClient from "openapi-fetch";
import type { paths } from "./api.js";
import { base, called, done, form } from "./calling.js";

const client = createClient<paths>({ baseUrl: base });
"""
SDK_HEAD = """import * as sdk from "./sdk/index.js";
import { client } from "./sdk/client.gen.js";
import { base, called, done, file, written } from "./calling.js";

client.setConfig({ baseUrl: base });
"""
TAIL = "\ndone();\n"


def write_calls(called: Iterable[Call], folder: Path) -> None:
    """Write both scripts."""
    listed = list(called)
    for name, head, line in (("through_fetch", FETCH_HEAD, through_fetch), ("through_sdk", SDK_HEAD, through_sdk)):
        lines = [f"await called({as_text(call.operation_id)}, {line(call)});\n" for call in listed]
        (folder / f"{name}.ts").write_text(f"{head}\n{''.join(lines)}{TAIL}", encoding="utf-8")


def through_fetch(call: Call) -> str:
    """Write a call by its address; the types take a member that holds JSON in a query as its text."""
    options = []
    if call.query:
        query = {name: json.dumps(value) if name == "document" else value for name, value in call.query.items()}
        options.append(f"params: {{ query: {as_text(query)} }}")
    if call.files:
        files = as_text(call.files)
        options.append(f"body: {{}} as never, bodySerializer: () => form({as_text(call.body)}, {files})")
    elif call.body is not None:
        options.append(f"body: {as_text(call.body)}")
    return f"client.{call.method}({as_text(call.path)}, {{ {', '.join(options)} }})"


def through_sdk(call: Call) -> str:
    """Write a call by its function; a member that holds JSON in a query has to be written by who calls."""
    options = []
    if call.query:
        options.append(f"query: {as_text(call.query)}")
        if "document" in call.query:
            options.append("querySerializer: written")
    if call.body is not None:
        members = [f"{as_text(name)}: {as_text(value)}" for name, value in call.body.items()]
        for name, files in call.files.items():
            several = ", ".join(f"file({as_text(each)})" for each in files)
            members.append(f"{as_text(name)}: {f'[{several}]' if len(files) > 1 else several}")
        options.append(f"body: {{ {', '.join(members)} }}")
    return f"sdk.{call.operation_id}({{ {', '.join(options)} }})"


if __name__ == "__main__":
    write_calls(calls(json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))), Path(sys.argv[2]))
