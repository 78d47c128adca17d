"""Ask a service new questions without a pause until told to stop (SIGTERM); exit code 1 when one was not answered rightly.

usage: load.py HOST:PORT
"""

import http.client
import json
import math
import signal
import sys
import threading
import time

CLIENTS = 4
PAUSE_S = 0.1
"""Of each client, so that all together stay within the quota of one address."""
PATH = "/v1/effective-f-number"

over = threading.Event()
asked: list[str | None] = []
"""What was wrong with each answer."""


def fault_of(address: str, f_number: float, posted: bool) -> str | None:
    """Ask one question; return what is wrong with its answer, if anything."""
    question = {"f_number": f_number, "magnification": 1, "pupil_magnification": 1}
    query = "&".join(f"{name}={value}" for name, value in question.items())
    connection = http.client.HTTPConnection(address, timeout=20)
    try:
        if posted:
            connection.request("POST", PATH, json.dumps(question), {"Content-Type": "application/json"})
        else:
            connection.request("GET", f"{PATH}?{query}")
        reply = connection.getresponse()
        text = reply.read()
        if reply.status == http.client.OK and math.isclose(json.loads(text)["effective_f_number"], 2 * f_number):
            return None
        return f"status {reply.status}: {text.decode()}"
    except (OSError, ValueError, http.client.HTTPException) as error:
        return repr(error)
    finally:
        connection.close()


def ask(address: str, client: int) -> None:
    """Ask on and on."""
    number = 0
    while not over.is_set():
        number += 1
        asked.append(fault_of(address, 1 + client + number / 1e5, posted=number % 2 == 0))
        time.sleep(PAUSE_S)


def main() -> None:
    """Ask until told to stop, then say how often and with what success."""
    signal.signal(signal.SIGTERM, lambda *_: over.set())
    threads = [threading.Thread(target=ask, args=(sys.argv[1], client)) for client in range(CLIENTS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    failed = [fault for fault in asked if fault]
    sys.stdout.write("\n".join([f"{len(asked)} requests, {len(failed)} failed", *failed[:5]]) + "\n")
    sys.exit(1 if failed or not asked else 0)


if __name__ == "__main__":
    main()
