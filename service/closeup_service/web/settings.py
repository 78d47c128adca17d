"""Settings of the running service, from the command line and from CLOSEUP_… variables, checked at start."""

import ipaddress
import re
from collections.abc import Mapping
from dataclasses import dataclass, fields


class BadSettings(ValueError):
    """One line for each setting that is wrong."""

    def __init__(self, lines: list[str]) -> None:
        super().__init__("\n".join(lines))
        self.lines = lines


@dataclass(frozen=True, slots=True)
class Settings:
    """Where the service listens and with how many workers."""

    host: str = "127.0.0.1"
    port: int = 8000
    workers: int = 2
    threads: int = 8


RANGES = {"port": (1, 65535), "workers": (1, 256), "threads": (1, 256)}
_HOST_NAME = re.compile(r"(?=.{1,253}$)[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?(\.[A-Za-z0-9-]+)*")


def variable(name: str) -> str:
    """Name of the environment variable of a setting."""
    return f"CLOSEUP_{name.upper()}"


def read_settings(arguments: Mapping[str, str | None], environment: Mapping[str, str]) -> Settings:
    """Check every setting; an option given on the command line wins over its variable.

    Raises
    ------
    BadSettings
        With one line for each mistake.
    """
    values: dict[str, object] = {}
    faults = unknown_variables(environment)
    for field in fields(Settings):
        given = arguments.get(field.name)
        origin = f"--{field.name}"
        if given is None:
            given, origin = environment.get(variable(field.name)), variable(field.name)
        if given is None:
            continue
        try:
            values[field.name] = checked(field.name, given)
        except ValueError as error:
            faults.append(f"{origin}={given!r}: {error}")
    if faults:
        raise BadSettings(faults)
    return Settings(**values)  # type: ignore[arg-type]


def unknown_variables(environment: Mapping[str, str]) -> list[str]:
    """Name variables with the service's prefix that are not its settings: most often a slip of the pen."""
    known = [variable(field.name) for field in fields(Settings)]
    return [
        f"{name}: no such setting; there are {', '.join(known)}."
        for name in sorted(environment)
        if name.startswith("CLOSEUP_") and name not in known
    ]


def checked(name: str, given: str) -> object:
    """Value of one setting, or ValueError saying what would be right."""
    if name == "host":
        return checked_host(given)
    low, high = RANGES[name]
    if not re.fullmatch(r"[0-9]{1,9}", given, re.ASCII) or not low <= int(given) <= high:
        raise ValueError(f"give a whole number from {low} to {high}.")
    return int(given)


def checked_host(given: str) -> str:
    """Host as an address or a name."""
    try:
        ipaddress.ip_address(given)
    except ValueError:
        if not _HOST_NAME.fullmatch(given) or re.fullmatch(r"[0-9.]+", given):
            raise ValueError("give an IP address or a host name.") from None
    return given
