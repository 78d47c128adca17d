"""When a request is sent again to a service that is busy, or is asked too often, and says for how long."""

from collections.abc import Mapping
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime

BUSY = (429, 503)
"""Too many requests of one address, as a proxy before the service counts them; and a service that is busy."""
MOST_BUSY_TRIES = 10
LEAST_BUSY_PAUSE_S = 0.5


class BusyWaits:
    """Waits for a service that is busy, until they come to so many seconds."""

    def __init__(self, most_s: float) -> None:
        self._left_s = most_s
        self._tries = MOST_BUSY_TRIES

    def pause(self, status: int, headers: Mapping[str, str]) -> float | None:
        """Seconds to wait before the next try; None where the answer is to be taken as it is."""
        wanted = seconds_of(headers.get("Retry-After", "")) if status in BUSY else None
        if wanted is None:
            return None
        wanted = max(wanted, LEAST_BUSY_PAUSE_S)
        if self._tries == 0 or wanted > self._left_s:
            return None
        self._tries -= 1
        self._left_s -= wanted
        return wanted


def seconds_of(retry_after: str) -> float | None:
    """Seconds that a Retry-After says, as a number or as a date (RFC 9110, 10.2.3); None where it says nothing."""
    text = retry_after.strip()
    if text.isascii() and text.isdecimal():
        return float(text)
    try:
        date = parsedate_to_datetime(text)
    except ValueError:
        return None
    aware = date if date.tzinfo else date.replace(tzinfo=UTC)
    return max(0.0, (aware - datetime.now(UTC)).total_seconds())
