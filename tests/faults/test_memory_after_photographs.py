"""What hostile photographs make a process take it gives back: bombs, huge directories, countless chunks, alone and at once."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import requests

from hostile_photographs import MADE
from processes_of import memory_of
from ruler_pictures import as_pixels, jpeg, ruler
from service_copies import Copy
from uploads import form

PATH = "/v1/scale-reading/photo"
LONGEST_S = 120.0
MOST_RATIO = 1.5
AT_ONCE = 8
ROUNDS = 2


@pytest.fixture
def copy(tmp_path: Path) -> Iterator[Copy]:
    started = Copy(tmp_path / "log")
    started.start()
    yield started
    started.end()


def statuses(copy: Copy, photographs: list[bytes]) -> set[int]:
    """Send photographs, some at once."""

    def status_of(content: bytes) -> int:
        body, kind = form({"tick_pitch_mm": 0.5}, [content])
        url = f"http://127.0.0.1:{copy.port}{PATH}"
        return requests.post(url, data=body, headers={"Content-Type": kind}, timeout=LONGEST_S).status_code

    with ThreadPoolExecutor(AT_ONCE) as pool:
        return {*pool.map(status_of, photographs)}


def memory(copy: Copy) -> int:
    return sum(map(memory_of, copy.workers))


def test_memory_comes_back_after_hostile_photographs(copy: Copy) -> None:
    good = [jpeg(as_pixels(ruler(1000, 750, 70.0)))] * 2 * AT_ONCE
    assert 200 in statuses(copy, good)
    before = memory(copy)
    found = statuses(copy, [make() for make in MADE.values()] * ROUNDS)
    assert {422} <= found <= {422, 503}
    assert 200 in statuses(copy, good)
    assert memory(copy) < MOST_RATIO * before
