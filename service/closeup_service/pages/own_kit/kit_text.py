"""A kit as a text: read as strictly as the API reads one, written for a form or a file, and its faults in words."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping

from closeup_service.language import later, mark, tr
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.limits import BYTES_PER_MIB, MOST_KIT_BYTES
from closeup_service.operations.asking.refusals import Fault, Refusal
from closeup_service.pages.asking import Members, OwnKit, attempt
from closeup_service.pages.own_kit.groups import GROUPS
from closeup_service.schemas.describing import label, write_in_words
from closeup_service.schemas.fields import REQUIRED
from closeup_service.schemas.kit import read_kit

MOST_TOLD = 12
LONGEST_NAME = 60
NAME = "name"
BYTE_ORDER_MARK = b"\xef\xbb\xbf"
TOO_LARGE = later("This kit is too large: at most {most} MB are read.", most=MOST_KIT_BYTES // BYTES_PER_MIB)
NO_KIT_FILE = mark("This is no kit file: {reason}")
MORE = mark("There are {count} more faults.")
MISSING = mark("This is missing.")


def read_text(text: str | bytes) -> OwnKit | list[str]:
    """Read a kit from a form, or from a file; what is wrong with it in words."""
    content = text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text.removeprefix(BYTE_ORDER_MARK)
    if len(content) > MOST_KIT_BYTES:
        return [tr(TOO_LARGE)]
    listing = attempt(lambda: strict_json.an_object(strict_json.loads(content)))
    if isinstance(listing, Refusal):
        return [tr(NO_KIT_FILE, reason=listing.detail)]
    found = read_listing(listing)
    return describe(found, listing) if isinstance(found, Refusal) else found


def read_listing(listing: Members) -> OwnKit | Refusal:
    """Check a kit, and build its records."""
    kit = attempt(lambda: read_kit(listing, "request"))
    return kit if isinstance(kit, Refusal) else OwnKit(write(listing), listing, kit)


def write(listing: Members) -> str:
    """Kit as a form takes it along."""
    return json.dumps(listing, separators=(",", ":"))


def write_file(listing: Members) -> str:
    """Kit as a file."""
    return json.dumps(listing, indent=1, ensure_ascii=False) + "\n"


def describe(refused: Refusal, listing: Members) -> list[str]:
    """Say what is wrong with a kit, part by part; the first faults only, where there are many."""
    told = [describe_fault(fault, listing) for fault in refused.faults[:MOST_TOLD]]
    more = len(refused.faults) - len(told)
    return [*(told or [refused.detail]), *([tr(MORE, count=more)] if more > 0 else [])]


def describe_fault(fault: Fault, listing: Members) -> str:
    """Say what is wrong, of which part, and at which of its data."""
    text = fault_in_words(fault.detail)
    where = ", ".join(places(fault.pointer.split("/")[1:], listing))
    return f"{where}: {text}" if where else text


def fault_in_words(text: str) -> str:
    """What is wrong, in words."""
    return tr(MISSING) if text == tr(REQUIRED) else write_in_words(text)


def places(steps: list[str], listing: Members) -> Iterator[str]:
    """Words for the part that a pointer leads into, and for its datum."""
    if steps and steps[0] in GROUPS and len(steps) > 1:
        yield tr("{part} “{name}”", part=tr(GROUPS[steps[0]].one), name=name_at(steps, listing))
        steps = steps[2:]
    if steps and not steps[-1].isdigit():
        yield label(steps[-1][:LONGEST_NAME])


def name_at(steps: list[str], listing: Members) -> str:
    """Name of the part at this place of the kit; its number where it has none."""
    rows = listing.get(steps[0])
    place = int(steps[1]) if steps[1].isdigit() else 0
    part = rows[place] if isinstance(rows, list) and place < len(rows) else None
    name = part.get(NAME) if isinstance(part, Mapping) else None
    return name[:LONGEST_NAME] if isinstance(name, str) else str(place + 1)
