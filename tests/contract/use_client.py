"""Uses the client that openapi-python-client generates, against a running service.

`use_client.py BASE_URL OPENAPI_JSON PICTURES`, with the folder of the package `generated_client` and tests/support on the
path. Every operation is called with the document's example. One POST for every operation that takes JSON also has its
numbers compared: hand-worked ones where a sum can be done by hand, else those of the answer that the document shows.
"""

import importlib
import json
import math
import pkgutil
import re
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, get_args, get_type_hints

from every_operation import Call, calls
from references import objects_of, written_out

JSON = "application/json"
DOCUMENTED_DIGITS = 1e-5
WORKED = 1e-9

BY_HAND: Mapping[str, tuple[dict[str, Any], str, float]] = {
    # sensor width over subject width
    "findMagnification": ({"subject_width_mm": 15, "sensor": "23.5x15.6"}, "magnification", 23.5 / 15),
    # a reversed lens: its register and f / m
    "findWorkingDistance": (
        {"mounting": "reversed", "focal_length_mm": 35, "magnification": 2, "lens_register_mm": 45.46},
        "working_distance_mm",
        45.46 + 35 / 2,
    ),
    # N (1 + m / p)
    "findEffectiveFNumber": (
        {"f_number": 8, "magnification": 1, "pupil_magnification": 2},
        "effective_f_number",
        12.0,
    ),
    # 2 c N_eff / m^2 without a focal length
    "findDepthOfField": (
        {"f_number": 8, "magnification": 2, "circle_of_confusion_mm": 0.02, "model": "geometric"},
        "total_mm",
        2 * 0.02 * 24 / 4,
    ),
    # k N at N (1 + m) here and N' (1 + k m) there, k = 2
    "findFormatEquivalence": (
        {
            "f_number": 8,
            "magnification": 1,
            "sensor": "24x18",
            "other_sensor_width_mm": 48,
            "other_sensor_height_mm": 36,
        },
        "other_f_number",
        2 * 8 * 2 / 3,
    ),
    # the same as of the set-up below, since the lens states all that counts
    "estimateLens": (
        {
            "focal_length_mm": 35,
            "front_principal_plane_mm": 21,
            "lens_register_mm": 45.46,
            "camera_register_mm": 18,
            "extension_mm": 31,
        },
        "figure/value",
        (18 + 31 + 21) / 35 - 1,
    ),
    # register, tube and principal plane over the focal length, less one
    "evaluateSetUp": (
        {
            "camera": {"register_mm": 18},
            "train": [
                {"element": "lens", "reversed": True, "focal_length_mm": 35, "front_principal_plane_mm": 21},
                {"element": "spacer", "length_mm": 31},
            ],
        },
        "magnification",
        (18 + 31 + 21) / 35 - 1,
    ),
}


def posts(document: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    """Yield every POST that takes JSON and answers JSON."""
    for item in document["paths"].values():
        post = item.get("post")
        if post and JSON in post["requestBody"]["content"] and JSON in post["responses"]["200"].get("content", {}):
            yield post


def functions() -> dict[str, Any]:
    """Return the generated modules, by the name of their operation."""
    api = importlib.import_module("generated_client.api")
    found = pkgutil.walk_packages(api.__path__, "generated_client.api.")
    return {info.name.rsplit(".", 1)[1]: importlib.import_module(info.name) for info in found if not info.ispkg}


def snake(name: str) -> str:
    """Operation id as the generator names its module."""
    return re.sub(r"(?<=[a-z0-9])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])", "_", name).lower()


def numbers(value: Any, path: str = "") -> dict[str, float]:
    """Every number of an answer, by its place."""
    if isinstance(value, Mapping):
        return {place: n for name, inner in value.items() for place, n in numbers(inner, f"{path}/{name}").items()}
    if isinstance(value, list):
        return {place: n for i, inner in enumerate(value) for place, n in numbers(inner, f"{path}/{i}").items()}
    return {path: float(value)} if isinstance(value, int | float) and not isinstance(value, bool) else {}


def differences(got: Mapping[str, float], wanted: Mapping[str, float], relative: float) -> Iterator[str]:
    """Name every number that is missing or differs."""
    for place, number in wanted.items():
        if place not in got or not math.isclose(got[place], number, rel_tol=relative, abs_tol=1e-12):
            yield f"{place} is {got.get(place)}, expected {number}"


def use(post: Mapping[str, Any], modules: Mapping[str, Any], client: Any) -> Iterator[str]:
    """Call one operation through the generated client, and compare its numbers."""
    name = post["operationId"]
    body = post["requestBody"]["content"][JSON]
    models = importlib.import_module("generated_client.models")
    model = getattr(models, body["schema"]["$ref"].rsplit("/", 1)[1])
    for request, wanted, relative in cases(name, post):
        reply = modules[snake(name)].sync_detailed(client=client, body=model.from_dict(request))
        if reply.status_code != 200:
            yield f"{name}: {int(reply.status_code)} {reply.content[:300]!r}"
            continue
        for difference in differences(numbers(reply.parsed.to_dict()), wanted, relative):
            yield f"{name}: {difference}"


def cases(name: str, post: Mapping[str, Any]) -> Iterator[tuple[dict[str, Any], Mapping[str, float], float]]:
    """Requests with the numbers wanted: those worked by hand, and those of the document's own examples."""
    by_hand = BY_HAND.get(name.removesuffix("ByPost"))
    if by_hand:
        request, member, number = by_hand
        yield request, {f"/{member}": number}, WORKED
    answers = post["responses"]["200"]["content"][JSON].get("examples", {})
    for key, example in post["requestBody"]["content"][JSON].get("examples", {}).items():
        if key in answers:
            yield example["value"], numbers(answers[key]["value"]), DOCUMENTED_DIGITS


def called(call: Call, modules: Mapping[str, Any], base_url: str, pictures: Path) -> Iterator[str]:
    """Call one operation as its generated function wants it; say what went wrong."""
    generated = importlib.import_module("generated_client")
    query = dict(call.query)
    as_json = query.pop("document", None)  # the generator leaves out a parameter that holds JSON
    params = {} if as_json is None else {"params": {"document": json.dumps(as_json)}}
    given = query if call.body is None else {"body": body_of(call, modules[snake(call.operation_id)], pictures)}
    client = generated.Client(base_url=base_url, httpx_args=params)
    reply = modules[snake(call.operation_id)].sync_detailed(client=client, **given)
    if reply.status_code != 200 or reply.parsed is None:
        yield f"{call.operation_id}: {int(reply.status_code)} {reply.content[:300]!r}"


def body_of(call: Call, module: Any, pictures: Path) -> Any:
    """Return the body as its generated class, files with their names."""
    model = get_type_hints(module.sync_detailed)["body"]
    kind = next((each for each in get_args(model) if hasattr(each, "from_dict")), model)
    files = {name: [(pictures / each).read_bytes() for each in names] for name, names in call.files.items()}
    lists = {name for name, names in call.files.items() if len(names) > 1}
    body = kind.from_dict(
        {**(call.body or {}), **{name: each if name in lists else each[0] for name, each in files.items()}}
    )
    for name, names in call.files.items():
        sent = getattr(body, name)
        for file, told in zip(sent if name in lists else [sent], names, strict=True):
            file.file_name = told
    return body


def main(base_url: str, document_path: str, pictures: str) -> int:
    """Use every operation; say what differs."""
    published = json.loads(Path(document_path).read_text(encoding="utf-8"))
    document = written_out(published, objects_of(published))
    modules = functions()
    client = importlib.import_module("generated_client").Client(base_url=base_url)
    tried = list(posts(document))
    faults = [fault for post in tried for fault in use(post, modules, client)]
    faults += [
        f"{post['operationId']}: no number to compare" for post in tried if not list(cases(post["operationId"], post))
    ]
    everything = list(calls(published))
    faults += [fault for call in everything for fault in called(call, modules, base_url, Path(pictures))]
    if not tried or not everything:
        faults.append("the document has no POST that takes JSON")
    sys.stdout.writelines(f"{fault}\n" for fault in faults)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
