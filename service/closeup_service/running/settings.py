"""Settings of the running service, from the command line and from CLOSEUP_… variables, checked at start."""

import ipaddress
import re
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from msgspec import Struct

from closeup_service.language import later
from closeup_service.operations.asking.limits import MEGABYTE, MEGAPIXEL, Limits
from closeup_service.schemas.upload import Patience

if TYPE_CHECKING:
    from closeup_service.gear.kit import Kit

MOST_WAITING_SHARE = 0.5
"""Share of a process's threads that wait for a turn at most."""


class BadSettings(ValueError):
    """One line for each setting that is wrong."""

    def __init__(self, lines: list[str]) -> None:
        super().__init__("\n".join(lines))
        self.lines = lines


class Settings(Struct, frozen=True):
    """What an operator may choose."""

    host: str = "127.0.0.1"
    port: int = 8000
    workers: int = 2
    threads: int = 8
    allowed_origins: tuple[str, ...] = ("*",)
    allowed_hosts: tuple[str, ...] = ("*",)
    contact_url: str = "https://closeup-optics.example/"
    server_url: str = "/"
    prefix: str = "/"
    most_upload_mb: int = 40
    most_megapixels: int = 60
    photograph_wait_s: int = 5
    access_log: str = "plain"
    kit: "Kit | None" = None

    @property
    def address(self) -> str:
        """Host and port to listen on, as they stand in an address."""
        return f"{in_address(self.host)}:{self.port}"

    @property
    def limits(self) -> Limits:
        """How much of a photograph is taken, and how it waits: never so many that small requests find no thread."""
        patience = Patience(float(self.photograph_wait_s), int(self.threads * MOST_WAITING_SHARE))
        return Limits(self.most_upload_mb * MEGABYTE, self.most_megapixels * MEGAPIXEL, patience)


HELP = {
    "host": "address to listen on",
    "port": "port to listen on",
    "workers": "processes that answer",
    "threads": "threads in each process",
    "allowed_origins": "origins whose pages may call, separated by commas; * for any",
    "allowed_hosts": "names that the service answers to, separated by commas; * for any; probes and /metrics need none",
    "contact_url": "contact stated in the API document",
    "server_url": "address of this service as stated in the API document",
    "prefix": "path below which a proxy offers this service, whether the proxy takes it away or passes it on",
    "most_upload_mb": "MB of a request with photographs, which each thread may hold in memory",
    "most_megapixels": "megapixels of a photograph; one at a time is decoded in each process, about 20 MB for each",
    "photograph_wait_s": "seconds that a photograph or a heavy calculation waits for its turn while its process is at another, "
    "before it gets 503; at most half of the threads wait",
    "access_log": "lines about requests in the log: off, plain (no values, nobody's address), or full (both)",
    "kit": "JSON file with this studio's kit; read again when the service is sent SIGHUP",
}
BOUNDS = {
    "port": (1, 65535),
    "workers": (1, 256),
    "threads": (1, 256),
    "most_upload_mb": (1, 1000),
    "most_megapixels": (1, 500),
    "photograph_wait_s": (0, 15),
}
FORMS = {
    "host": "an IP address or a host name",
    "allowed_origins": "* or origins such as https://club.example, separated by commas",
    "allowed_hosts": "* or names such as club.example, separated by commas",
    "contact_url": "an address such as https://closeup-optics.example/",
    "server_url": "/ or an address such as https://closeup-optics.example/",
    "prefix": "/ or a path such as /closeup, of letters, digits and ._~-, which is no address of the service itself",
    "access_log": "off, plain or full",
    "kit": "the path of a file",
} | {name: later("a whole number from {low} to {high}", low=low, high=high) for name, (low, high) in BOUNDS.items()}
"""What each setting takes, in words."""
NO_DEFAULT = {"kit": later("the invented demo kit")}
"""What is used where nothing is set and the setting's own default does not say it."""

USUAL_PORTS = {"http": 80, "https": 443}
_HOST_NAME = re.compile(r"(?=.{1,253}$)[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?(\.[A-Za-z0-9-]+)*")
_PREFIX = re.compile(r"(?=.{2,100}$)(/[A-Za-z0-9_~][A-Za-z0-9._~-]*)+")


def option(name: str) -> str:
    """Command-line option of a setting."""
    return f"--{name.replace('_', '-')}"


def variable(name: str) -> str:
    """Environment variable of a setting."""
    return f"CLOSEUP_{name.upper()}"


def default_of(name: str) -> str:
    """Return what a setting is where nobody sets it, in words."""
    value = NO_DEFAULT.get(name, getattr(Settings(), name))
    return ",".join(value) if isinstance(value, tuple) else value if isinstance(value, str) else str(value)


def read_settings(arguments: Mapping[str, str | None], environment: Mapping[str, str]) -> Settings:
    """Check every setting; an option given on the command line wins over its variable, and an empty variable is none.

    Raises
    ------
    BadSettings
        With one line for each mistake.
    """
    values: dict[str, object] = {}
    faults = unknown_variables(environment)
    for name in Settings.__struct_fields__:
        given, origin = arguments.get(name), option(name)
        if given is None:
            given, origin = environment.get(variable(name)) or None, variable(name)
        if given is None:
            continue
        try:
            values[name] = CHECKS[name](given)
        except BadSettings as error:
            faults += [f"{origin}={given!r}: {line}" for line in error.lines]
        except ValueError as error:
            faults.append(f"{origin}={given!r}: {error}")
    if faults:
        raise BadSettings(faults)
    return Settings(**values)  # type: ignore[arg-type]


def settings_of_process(environment: Mapping[str, str]) -> Settings:
    """Return the settings of an application within another process, which listens nowhere."""
    return read_settings({}, {name: value for name, value in environment.items() if name == variable("kit")})


def unknown_variables(environment: Mapping[str, str]) -> list[str]:
    """Name variables with the service's prefix that are not its settings: most often a slip of the pen."""
    known = [variable(name) for name in Settings.__struct_fields__]
    return [
        f"{name}: no such setting; there are {', '.join(known)}."
        for name in sorted(environment)
        if name.startswith("CLOSEUP_") and not name.startswith("CLOSEUP_CLIENT_") and name not in known
    ]


def whole_number(name: str) -> Callable[[str], int]:
    """Check for a whole number within the bounds of a setting."""
    low, high = BOUNDS[name]

    def check(given: str) -> int:
        if not re.fullmatch(r"[0-9]{1,9}", given, re.ASCII) or not low <= int(given) <= high:
            raise ValueError(f"give {FORMS[name]}.")
        return int(given)

    return check


def host(given: str) -> str:
    """Check a host, as an address or a name."""
    try:
        ipaddress.ip_address(given)
    except ValueError:
        if not _HOST_NAME.fullmatch(given) or re.fullmatch(r"[0-9.]+", given):
            raise ValueError(f"give {FORMS['host']}.") from None
    return given


def web_address(given: str) -> str:
    """Check an absolute http or https address."""
    if not is_web_address(given):
        raise ValueError(f"give {FORMS['contact_url']}.")
    return given


def own_address(given: str) -> str:
    """Check the service's own address: absolute, or "/" for wherever the document was read."""
    return given if given == "/" else web_address(given)


def prefix(given: str) -> str:
    """Check a path below which the service stands; one slash at its end may be left out."""
    path = given.removesuffix("/")
    if path and not _PREFIX.fullmatch(path):
        raise ValueError(f"give {FORMS['prefix']}.")
    return path or "/"


def is_web_address(given: str) -> bool:
    """Whether this is an absolute http or https address of printable characters."""
    try:
        parts = urlsplit(given)
        return parts.scheme in ("http", "https") and bool(parts.hostname) and re.fullmatch(r"[!-~]+", given) is not None
    except ValueError:
        return False


def origins(given: str) -> tuple[str, ...]:
    """Check a list of origins, and write each as browsers do."""
    return tuple(origin if origin == "*" else as_browsers_write(origin) for origin in map(str.strip, given.split(",")))


def as_browsers_write(origin: str) -> str:
    """Origin of scheme, host and port alone, in small letters, without the port that the scheme implies (RFC 6454, 6.2)."""
    if is_web_address(origin):
        parts = urlsplit(origin.lower())
        usual = USUAL_PORTS[parts.scheme]
        if origin.lower() == f"{parts.scheme}://{parts.netloc}" and "@" not in parts.netloc:
            return f"{parts.scheme}://{parts.netloc.removesuffix(f':{usual}')}"
    raise ValueError(f"give {FORMS['allowed_origins']}.")


def hosts(given: str) -> tuple[str, ...]:
    """Check a list of names, and write each as the Host of a request has it, without a port."""
    try:
        return tuple(
            name if name == "*" else in_address(host(name).lower()) for name in map(str.strip, given.split(","))
        )
    except ValueError:
        raise ValueError(f"give {FORMS['allowed_hosts']}.") from None


def in_address(host: str) -> str:
    """Host as it stands in an address: one of IPv6 in brackets (RFC 3986, 3.2.2)."""
    return f"[{host}]" if ":" in host else host


def access_log(given: str) -> str:
    """Check how much is logged of a request."""
    if given not in ("off", "plain", "full"):
        raise ValueError(f"give {FORMS['access_log']}.")
    return given


def kit(given: str) -> "Kit":
    """Read and check the studio's kit; one line for each fault."""
    from closeup_service.running.kit_file import BadKitFile, read_kit_file  # noqa: PLC0415  # many ask without a kit

    try:
        return read_kit_file(given)
    except BadKitFile as error:
        raise BadSettings(error.lines) from None


CHECKS: Mapping[str, Callable[[str], object]] = {
    **{name: whole_number(name) for name in BOUNDS},
    "host": host,
    "allowed_origins": origins,
    "allowed_hosts": hosts,
    "contact_url": web_address,
    "server_url": own_address,
    "prefix": prefix,
    "access_log": access_log,
    "kit": kit,
}
