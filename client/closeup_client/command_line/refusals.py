"""What is printed when something went wrong, and what the command ends with then."""

from collections.abc import Sequence

from closeup_client.command_line.asking import SERVER_VARIABLE
from closeup_client.command_line.exit_codes import FAILED, REFUSED, UNREACHABLE, USAGE
from closeup_client.command_line.table import PROGRAM
from closeup_client.command_line.wording import Wording
from closeup_client.errors import AnswerNotUnderstood, CloseupError, FieldFault, ServiceRefused, ServiceUnreachable
from closeup_client.transport import USUAL_URL

SERVER_FAILED = 500
NOTHING_SAID = "refused."
START_ONE = (
    "Start it there by closeup-service, name another by --server, or install it here as well, "
    "in a clone of the repository: pip install '.[service]'."
)


def exit_code(error: Exception) -> int:
    """Code for an error; a server that fails is as good as not there."""
    if isinstance(error, ServiceRefused):
        return REFUSED if error.status < SERVER_FAILED else UNREACHABLE
    if isinstance(error, ServiceUnreachable | AnswerNotUnderstood):
        return UNREACHABLE
    return USAGE if isinstance(error, ValueError) else FAILED


def error_text(error: Exception, wording: Wording) -> str:
    """Lines for people, naming options and parts."""
    program = f"{PROGRAM} {wording.operation.name}: "
    if isinstance(error, ServiceRefused):
        head = refusal_head(error, wording)
        return "\n".join([program + head, *fault_lines(error, wording, head)])
    text = str(error)
    if isinstance(error, ServiceUnreachable) and f"{USUAL_URL}/" in text:
        text = f"{text} {START_ONE}"
    if isinstance(error, ValueError) and not isinstance(error, CloseupError):
        text = text.replace("base_url=", f"--server or {SERVER_VARIABLE}: ", 1).replace("timeout=", "--timeout ", 1)
    return program + text


def refusal_head(error: ServiceRefused, wording: Wording) -> str:
    """Say what was refused; a single fault says so by itself."""
    faults = error.fields
    placed = error.code is None or all(wording.names_one_file(fault.pointer) for fault in faults)
    if placed and faults and all(fault.detail for fault in faults):
        return NOTHING_SAID
    return f"refused. {wording.in_refusal(error.detail or error.title)}"


def fault_lines(error: ServiceRefused, wording: Wording, head: str) -> Sequence[str]:
    """One line for each fault that the head has not told; faults that share their words share a line."""
    places: dict[str, list[str]] = {}
    for fault in error.fields:
        if not is_said(fault, error, head):
            said = wording.in_refusal(fault.detail, fault.pointer)
            places.setdefault(said, []).append(wording.place(fault.pointer))
    silent = [place for place in places.pop("", []) if place and place not in head]
    lines = [fault_line(found, said) for said, found in places.items()]
    return [f"  {line}" for line in [*lines, *([f"see {', '.join(silent)}"] if silent else [])]]


def fault_line(places: Sequence[str], said: str) -> str:
    """Places at fault, and what would be right."""
    named = ", ".join(dict.fromkeys(filter(None, places)))
    return f"{named}: {said}" if named else said


def is_said(fault: FieldFault, error: ServiceRefused, head: str) -> bool:
    """Whether the head has said the words of this fault."""
    return head != NOTHING_SAID and error.code is not None and bool(fault.detail) and fault.detail == error.detail
