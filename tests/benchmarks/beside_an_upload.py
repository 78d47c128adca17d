"""How long small requests wait beside a photograph of 24 megapixels: `python tests/benchmarks/beside_an_upload.py`.

One process of the service, one photograph after another sent to it by one client; another client asks GET
effective-f-number all the while. Prints milliseconds and ratios; nothing here passes or fails.
"""

import http.client
import sys
import tempfile
import threading
import time
from pathlib import Path
from statistics import median, quantiles

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from ruler_pictures import as_pixels, jpeg, ruler
from running_service import running_service
from uploads import form

SMALL = "/v1/effective-f-number?f_number=8&magnification=1"
PATH = "/v1/scale-reading/photo"
PHOTOGRAPHS = 6
ALONE_S = 3.0


def asked(port: int, until: threading.Event) -> list[float]:
    """Milliseconds of each small request until told to stop, one every 5 ms or so."""
    connection, times = http.client.HTTPConnection("127.0.0.1", port, timeout=60), []
    while not until.is_set():
        started = time.perf_counter()
        connection.request("GET", SMALL)
        connection.getresponse().read()
        times.append((time.perf_counter() - started) * 1000)
        time.sleep(0.005)
    connection.close()
    return times


def sent(port: int, body: bytes, media_type: str) -> list[float]:
    """Seconds of each photograph."""
    times = []
    for _ in range(PHOTOGRAPHS):
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=120)
        started = time.perf_counter()
        connection.request("POST", PATH, body, {"Content-Type": media_type})
        status = connection.getresponse().status
        times.append(time.perf_counter() - started)
        print(f"photograph: {status} in {times[-1]:.2f} s")
        connection.close()
    return times


def told(what: str, times: list[float]) -> tuple[float, float]:
    """Print and return the median and the 99th percentile."""
    middle, last = median(times), quantiles(times, n=100)[-1]
    print(
        f"{what:22} {len(times):5} requests  median {middle:7.2f} ms  99 % within {last:7.2f} ms   longest {max(times):6.1f} ms"
    )
    return middle, last


def main() -> None:
    """Measure alone, then beside photographs."""
    body, media_type = form({"tick_pitch_mm": 0.5}, [jpeg(as_pixels(ruler(6000, 4000, 400.0)))])
    with tempfile.TemporaryDirectory() as folder, running_service(Path(folder) / "log", "--workers", "1") as port:
        stop = threading.Timer(ALONE_S, (quiet := threading.Event()).set)
        stop.start()
        alone = asked(port, quiet)
        beside: list[float] = []
        done = threading.Event()
        asker = threading.Thread(target=lambda: beside.extend(asked(port, done)))
        asker.start()
        sent(port, body, media_type)
        done.set()
        asker.join()
    first, second = told("alone", alone), told("beside a photograph", beside)
    print(f"ratio: median {second[0] / first[0]:.1f} x, 99th percentile {second[1] / first[1]:.1f} x")


if __name__ == "__main__":
    main()
