"""The small requests that are measured, in one home."""

import json
from typing import Any

from plain_sums import DOCUMENT

EFFECTIVE = "/v1/effective-f-number"
QUERY = "f_number=8&magnification=1.5&pupil_magnification=1.3"
GET_PATH = f"{EFFECTIVE}?{QUERY}"
MEMBERS: dict[str, Any] = {"f_number": 8.0, "magnification": 1.5, "pupil_magnification": 1.3}
BODY = json.dumps(MEMBERS).encode()
EVALUATE = "/v1/set-ups/evaluate"
SET_UP = json.dumps(DOCUMENT).encode()
TABLE = "/v1/set-ups/table"
