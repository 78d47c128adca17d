"""The studio's kit file, read at start and on SIGHUP."""

from pathlib import Path

from marshmallow import ValidationError

from closeup_service.gear.kit import Kit
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.limits import BYTES_PER_MIB, MOST_KIT_BYTES
from closeup_service.operations.asking.refusals import faults
from closeup_service.schemas.kit import read_kit

MOST_LINES = 100


class BadKitFile(ValueError):
    """One line for each fault, with its JSON pointer."""

    def __init__(self, *lines: str) -> None:
        super().__init__("\n".join(lines))
        self.lines = list(lines)


def read_kit_file(path: str) -> Kit:
    """Read and check a kit file.

    Raises
    ------
    BadKitFile
        With one line for each fault.
    """
    try:
        return read_kit(an_object(strict_json.loads(content_of(path))), "file")
    except strict_json.NotStrictJson as error:
        raise BadKitFile(str(error)) from None
    except ValidationError as error:
        raise BadKitFile(*fault_lines(error)) from None


def described(kit: Kit, path: str | None) -> str:
    """Which kit is in use: its file, its revision and its parts."""
    origin = "the demo kit" if path is None else path
    return f"Kit: {origin}, revision {kit.revision}, {kit.number_of_parts} parts."


def content_of(path: str) -> bytes:
    """Bytes of the file, which must be an ordinary one of bearable size."""
    try:
        if Path(path).exists() and not Path(path).is_file():
            raise BadKitFile("this is no file.")
        with Path(path).open("rb") as file:
            content = file.read(MOST_KIT_BYTES + 1)
    except OSError as error:
        raise BadKitFile(f"{error.strerror or error}.") from None
    except ValueError:
        raise BadKitFile("this is no file name.") from None
    if len(content) > MOST_KIT_BYTES:
        raise BadKitFile(f"larger than {MOST_KIT_BYTES // BYTES_PER_MIB} MiB.")
    return content


def an_object(value: object) -> dict[str, object]:
    """Refuse a kit that is not an object."""
    if not isinstance(value, dict):
        raise BadKitFile("the kit must be one JSON object.")
    return value


def fault_lines(error: ValidationError) -> list[str]:
    """One line for each fault, the first hundred."""
    found = [on_one_line(f"{fault.pointer or '/'}: {fault.detail}") for fault in faults(error.messages)]
    more = len(found) - MOST_LINES
    return found[:MOST_LINES] + ([f"and {more} more faults."] if more > 0 else [])


def on_one_line(text: str) -> str:
    """Text without signs that would break or colour a log: each is written as its escape."""
    return "".join(sign if sign.isprintable() else ascii(sign)[1:-1] for sign in text)
