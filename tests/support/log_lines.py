"""The log of a running service, read as what it is: a JSON object on every line."""

import json
from pathlib import Path
from typing import Any


def lines_of(log: Path) -> list[dict[str, Any]]:
    """Every line; raises where one is no JSON object, or holds a sign that would act on a terminal."""
    content = log.read_text(encoding="utf-8")
    ended = content[: content.rfind("\n") + 1]  # another line may just be being written
    assert all(sign.isprintable() or sign == "\n" for sign in ended)
    found = [json.loads(line) for line in ended.splitlines()]
    assert all(isinstance(each, dict) and {"time", "pid"} <= set(each) for each in found)
    return found


def requests_of(log: Path) -> list[dict[str, Any]]:
    """Lines about requests."""
    return [each for each in lines_of(log) if "method" in each]


def messages_of(log: Path) -> list[str]:
    """What the other lines say."""
    return [each["message"] for each in lines_of(log) if "message" in each]
