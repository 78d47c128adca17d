"""A running service under attack."""

from dataclasses import dataclass
from pathlib import Path

from service_client import Service


@dataclass(frozen=True)
class Attacked:
    """The service and its log."""

    service: Service
    log: Path
