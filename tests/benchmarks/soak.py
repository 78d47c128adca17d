"""A long mixed load on the running service: `PYTHONPATH=tests/support python tests/benchmarks/soak.py [--requests 1000000]`.

wrk (Debian's package of that name), or else a slower client of our own, sends the mix over loopback in blocks; meanwhile one
greedy client sends the largest table, a photograph and a hostile one again and again. After each block it prints how many
requests were answered, refused and failed, how long they took, and the memory and open descriptors of the workers; at the end
what has grown from the first quarter of the blocks to the last. `--roll` sends SIGHUP, and kills a worker, within every other
block. Everything is bounded by the number of requests, and by `--minutes`.
"""

import argparse
import http.client
import os
import signal
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field
from itertools import cycle
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from hostile_photographs import MADE
from mixed_requests import REFUSED, Asked, mix, table
from mixed_sending import Told, send_mix
from processes import children, memory_of
from processes_of import descriptors_of
from ruler_pictures import as_pixels, jpeg, ruler
from running_service import running_service
from uploads import form

BLOCK_S = 20
GREEDY_PAUSE_S = 2.0
TABLE_ROWS = 10_000


@dataclass
class Block(Told):
    """What one block of the load came to, and what the processes hold after it."""

    workers: int = 0
    megabytes: float = 0.0
    descriptors: int = 0


@dataclass
class Greed:
    """What the greedy client came to: seconds of each answer, and how many there were of each status."""

    seconds: list[float] = field(default_factory=list)
    statuses: Counter[int] = field(default_factory=Counter)


@contextmanager
def greedy(port: int) -> Iterator[Greed]:
    """One client that asks for the most that one may, all the while, and sends a hostile photograph each time."""
    photograph = photograph_of(jpeg(as_pixels(ruler(2000, 1500, 140.0))))
    hostile = cycle([photograph_of(make()) for make in MADE.values()])
    over, found = threading.Event(), Greed()

    def ask() -> None:
        while not over.wait(GREEDY_PAUSE_S):
            for each in (table(TABLE_ROWS), photograph, next(hostile)):
                connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
                started = time.monotonic()
                connection.request(each.method, each.target, each.body, each.headers)
                answer = connection.getresponse()
                answer.read()
                connection.close()
                found.seconds.append(time.monotonic() - started)
                found.statuses[answer.status] += 1

    asker = threading.Thread(target=ask)
    asker.start()
    try:
        yield found
    finally:
        over.set()
        asker.join()


def photograph_of(content: bytes) -> Asked:
    """Request for a reading of a photograph."""
    body, kind = form({"tick_pitch_mm": 0.5}, [content])
    return Asked("POST", "/v1/scale-reading/photo", {"Content-Type": kind}, body)


def upset(master: int, turn: int) -> None:
    """Replace all workers gracefully, or kill one, in the middle of a block."""
    time.sleep(BLOCK_S / 2)
    if turn % 4 == 1:
        os.kill(master, signal.SIGHUP)
    elif turn % 4 == 3:
        os.kill(children(master)[0], signal.SIGKILL)


def one_block(asked: Sequence[Asked], folder: Path, port: int, master: int, turn: int, roll: bool) -> Block:
    """Send one block and look at the workers after it."""
    upsetter = threading.Thread(target=upset, args=(master, turn))
    if roll:
        upsetter.start()
    told = send_mix(asked, port, turn, BLOCK_S, folder)
    if roll:
        upsetter.join()
    workers = children(master)
    megabytes = sum(map(memory_of, [master, *workers])) / 1e6
    return Block(
        **asdict(told), workers=len(workers), megabytes=megabytes, descriptors=sum(map(descriptors_of, workers))
    )


def show(number: int, block: Block) -> None:
    """Print a block as a line."""
    print(
        f"{number:9} requests  {block.requests / BLOCK_S:6.0f} a second  refused {block.refused:5}  broken {block.broken:3}  "
        f"late {block.late:3}  median {block.median_ms:6.2f} ms  99 % {block.last_hundredth_ms:6.1f} ms  longest "
        f"{block.longest_ms:6.1f} ms  {block.workers} workers {block.megabytes:6.1f} MB {block.descriptors} descriptors",
        flush=True,
    )


def growth(blocks: Sequence[Block]) -> str:
    """How much more the processes hold in the last quarter of the blocks than in the first, each while least is in hand."""
    quarter = max(1, len(blocks) // 4)
    first, last = blocks[:quarter], blocks[-quarter:]
    megabytes = min(each.megabytes for each in last) - min(each.megabytes for each in first)
    descriptors = min(each.descriptors for each in last) - min(each.descriptors for each in first)
    return f"{megabytes:+.1f} MB, {descriptors:+} descriptors"


def main() -> None:
    """Send blocks until there were so many requests."""
    parser = argparse.ArgumentParser(description="A long mixed load on the running service.")
    parser.add_argument("--requests", type=int, default=1_000_000)
    parser.add_argument("--minutes", type=float, default=60.0, help="begin no block after so many")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--roll", action="store_true", help="replace the workers and kill one of them meanwhile")
    given = parser.parse_args()
    asked = list(mix())
    share = REFUSED / sum(each.weight for each in asked)
    with (
        tempfile.TemporaryDirectory() as folder,
        running_service(Path(folder) / "log", "--workers", str(given.workers)) as port,
    ):
        (master,) = (each for each in children(os.getpid()) if children(each))
        blocks: list[Block] = []
        end = time.monotonic() + 60 * given.minutes
        with greedy(port) as greed:
            while (sent := sum(block.requests for block in blocks)) < given.requests and time.monotonic() < end:
                blocks.append(one_block(asked, Path(folder), port, master, len(blocks), given.roll))
                show(sent + blocks[-1].requests, blocks[-1])
    requests, refused = sum(block.requests for block in blocks), sum(block.refused for block in blocks)
    print(f"{requests} requests: {refused} refused, {requests * share:.0f} of them on purpose; ", end="")
    print(f"{sum(block.broken for block in blocks)} connections broken, {sum(block.late for block in blocks)} too late")
    told = ", ".join(f"{number} with {status}" for status, number in sorted(greed.statuses.items()))
    print(f"greedy client: {told}; the longest took {max(greed.seconds):.2f} s")
    print(f"from the first quarter of the blocks to the last: {growth(blocks)}")


if __name__ == "__main__":
    main()
