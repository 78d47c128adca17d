"""Ask a running service one question and check the answer. usage: ask.py HOST:PORT"""

import http.client
import json
import math
import sys

SET_UP = {
    "camera": {"register_mm": 44.0},
    "train": [
        {"element": "lens", "focal_length_mm": 80, "f_number": 8, "register_mm": 44.0},
        {"element": "spacer", "length_mm": 40},
    ],
}
# Langford's Basic Photography, appendix on close-up exposure (seen in the publisher's abstract): an 80 mm lens with
# the subject at twice the image's size needs 2.25 times the exposure. An f-number grows as the root of that.
EXPECTED = {"magnification": 0.5, "effective_f_number": 8 * math.sqrt(2.25)}


def ask(address: str) -> dict[str, float]:
    """Answer of the set-up resource."""
    connection = http.client.HTTPConnection(address, timeout=5)
    connection.request(
        "POST", "/v1/set-ups/evaluate", body=json.dumps(SET_UP), headers={"Content-Type": "application/json"}
    )
    reply = connection.getresponse()
    text = reply.read()
    if reply.status != 200:
        sys.exit(f"status {reply.status}: {text.decode()}")
    answer: dict[str, float] = json.loads(text)
    return answer


def main() -> None:
    """Exit with a reason unless every expected number is in the answer."""
    answer = ask(sys.argv[1])
    wrong = [name for name, value in EXPECTED.items() if not math.isclose(answer[name], value, rel_tol=1e-9)]
    if wrong:
        sys.exit(f"expected {EXPECTED}, got { {name: answer[name] for name in EXPECTED} }")


if __name__ == "__main__":
    main()
