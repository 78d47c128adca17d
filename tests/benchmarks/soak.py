"""A long mixed load on the running service: `PYTHONPATH=tests/support python tests/benchmarks/soak.py [--requests 1000000]`.

wrk (Debian's package of that name) sends the mix over loopback in blocks; meanwhile one greedy client sends the largest table
and a photograph again and again. After each block it prints how many requests were answered, refused and failed, how long
they took, and the memory and open descriptors of the workers; at the end what has grown since the second block. `--roll` sends
SIGHUP, and kills a worker, within every other block. Everything is bounded by the number of requests.
"""

import argparse
import http.client
import math
import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from mixed_requests import REFUSED, Asked, as_lua, mix, table
from processes import children, memory_of
from ruler_pictures import as_pixels, jpeg, ruler
from running_service import running_service
from uploads import form

BLOCK_S = 20
CONNECTIONS = 16
GREEDY_PAUSE_S = 2.0
TABLE_ROWS = 10_000


@dataclass(frozen=True)
class Block:
    """What one block of the load came to."""

    requests: int
    refused: int
    broken: int
    late: int
    median_ms: float
    last_hundredth_ms: float
    longest_ms: float
    workers: int
    megabytes: float
    descriptors: int


def descriptors(process: int) -> int:
    """Files and sockets that a process has open."""
    return len(list(Path(f"/proc/{process}/fd").iterdir()))


def send(script: Path, port: int, turn: int, seconds: int) -> list[str]:
    """Let wrk send the mix for some seconds; what it told."""
    line = ["wrk", "-t1", f"-c{CONNECTIONS}", f"-d{seconds}s", "--timeout", "20s", "-s", str(script)]
    ended = subprocess.run(
        [*line, f"http://127.0.0.1:{port}", "--", str(turn)], capture_output=True, text=True, check=True
    )
    return next(each for each in ended.stdout.splitlines() if each.startswith("told ")).split()[1:]


@contextmanager
def greedy(port: int) -> Iterator[list[float]]:
    """One client that asks for the most that one may, all the while; how many seconds each took."""
    body, kind = form({"tick_pitch_mm": 0.5}, [jpeg(as_pixels(ruler(2000, 1500, 140.0)))])
    asked = [table(TABLE_ROWS), Asked("POST", "/v1/scale-reading/photo", {"Content-Type": kind}, body)]
    over, took = threading.Event(), []

    def ask() -> None:
        while not over.wait(GREEDY_PAUSE_S):
            for each in asked:
                connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
                started = time.monotonic()
                connection.request(each.method, each.target, each.body, each.headers)
                answer = connection.getresponse()
                answer.read()
                connection.close()
                took.append(time.monotonic() - started if answer.status == 200 else float("nan"))

    asker = threading.Thread(target=ask)
    asker.start()
    try:
        yield took
    finally:
        over.set()
        asker.join()


def upset(master: int, turn: int) -> None:
    """Replace all workers gracefully, or kill one, in the middle of a block."""
    time.sleep(BLOCK_S / 2)
    if turn % 4 == 1:
        os.kill(master, signal.SIGHUP)
    elif turn % 4 == 3:
        os.kill(children(master)[0], signal.SIGKILL)


def one_block(script: Path, port: int, master: int, turn: int, roll: bool) -> Block:
    """Send one block and look at the workers after it."""
    upsetter = threading.Thread(target=upset, args=(master, turn))
    if roll:
        upsetter.start()
    told = send(script, port, turn, BLOCK_S)
    if roll:
        upsetter.join()
    workers = children(master)
    requests, refused, broken, late = map(int, told[:4])
    median, last, longest = map(float, told[4:])
    megabytes = sum(map(memory_of, [master, *workers])) / 1e6
    return Block(
        requests, refused, broken, late, median, last, longest, len(workers), megabytes, sum(map(descriptors, workers))
    )


def show(number: int, block: Block) -> None:
    """Print a block as a line."""
    print(
        f"{number:9} requests  {block.requests / BLOCK_S:6.0f} a second  refused {block.refused:5}  broken {block.broken:3}  "
        f"late {block.late:3}  median {block.median_ms:6.2f} ms  99 % {block.last_hundredth_ms:6.1f} ms  longest "
        f"{block.longest_ms:6.1f} ms  {block.workers} workers {block.megabytes:6.1f} MB {block.descriptors} descriptors",
        flush=True,
    )


def main() -> None:
    """Send blocks until there were so many requests."""
    parser = argparse.ArgumentParser(description="A long mixed load on the running service.")
    parser.add_argument("--requests", type=int, default=1_000_000)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--roll", action="store_true", help="replace the workers and kill one of them meanwhile")
    given = parser.parse_args()
    asked = list(mix())
    share = REFUSED / sum(each.weight for each in asked)
    with tempfile.TemporaryDirectory() as folder:
        script = Path(folder) / "mix.lua"
        script.write_text(as_lua(asked), encoding="ascii")
        with running_service(Path(folder) / "log", "--workers", str(given.workers)) as port:
            (master,) = (each for each in children(os.getpid()) if children(each))
            blocks: list[Block] = []
            with greedy(port) as took:
                while (sent := sum(block.requests for block in blocks)) < given.requests:
                    blocks.append(one_block(script, port, master, len(blocks), given.roll))
                    show(sent + blocks[-1].requests, blocks[-1])
    requests, refused = sum(block.requests for block in blocks), sum(block.refused for block in blocks)
    first, last = blocks[min(1, len(blocks) - 1)], blocks[-1]
    print(f"{requests} requests: {refused} refused, {requests * share:.0f} of them on purpose; ", end="")
    print(f"{sum(block.broken for block in blocks)} connections broken, {sum(block.late for block in blocks)} too late")
    print(f"greedy client: {len(took)} answers, longest {max(took):.2f} s, {sum(map(math.isnan, took))} refused")
    grown_mb, grown = last.megabytes - first.megabytes, last.descriptors - first.descriptors
    print(f"since the second block: {grown_mb:+.1f} MB, {grown:+} descriptors")


if __name__ == "__main__":
    main()
