"""The options of every command, by name and by what stands behind each."""

from collections.abc import Sequence
from enum import Enum
from typing import NamedTuple

from closeup_client.command_line.export.help import EXPORT
from closeup_client.command_line.operation import Field, Operation
from closeup_client.command_line.scale_bars.help import SCALE_BARS
from closeup_client.command_line.short_form.names import names_of


class Takes(Enum):
    """What stands behind an option."""

    NOTHING = "nothing"
    VALUE = "value"
    FILE = "file"


class Option(NamedTuple):
    """One option, with the words known for its value; without a name, the words stand alone.

    Where it gives a field, the field tells its meaning and its words.
    """

    name: str
    meaning: str
    takes: Takes
    values: tuple[str, ...] = ()
    field: Field | None = None


ALL_CAUTIONS = Option("--all-cautions", "show every caution", Takes.NOTHING)
COMMON = (
    Option("--json", "print the answer as the service gives it", Takes.NOTHING),
    Option("--server", "service to ask", Takes.VALUE),
    Option("--timeout", "seconds to wait for a server", Takes.VALUE),
    Option("--busy-wait", "seconds to ask again while a server is busy", Takes.VALUE),
    Option("--help", "what the command takes", Takes.NOTHING),
)
FILES = Option("", "file", Takes.FILE)
OF_SCALE_BARS = (
    Option("--photographs", "folder that holds the photographs", Takes.FILE),
    Option("--output", "folder for the bars and the results", Takes.FILE),
    *COMMON[1:],
    FILES,
)
KIT = Option("--kit", "kit to use instead of the studio's own, as a file in JSON", Takes.FILE)
OF_EXPORT = (
    Option("--lens", "a further lens", Takes.VALUE),
    KIT,
    Option("--magnification", "magnifications of the columns", Takes.VALUE),
    Option("--guide-number", "guide number of the flash", Takes.VALUE),
    Option("--subject-depth-mm", "depth of the subject in the charts", Takes.VALUE),
    Option("--sensor-detail-lp-per-mm", "detail on the sensor whose contrast the charts show", Takes.VALUE),
    *COMMON[1:],
    FILES,
)
OUTPUT = Option("--output", "file for the drawing", Takes.FILE)
COLUMNS = (
    Option("--column", "one column: its name, then its values", Takes.VALUE),
    Option("--csv", "columns as a CSV file", Takes.FILE),
)
DOCUMENT = Option("--document", "the whole request as a file in JSON", Takes.FILE)


OF_OWN_COMMANDS = {SCALE_BARS: OF_SCALE_BARS, EXPORT: OF_EXPORT}
"""Options of the commands that are no operations."""


def options_of(operation: Operation) -> tuple[Option, ...]:
    """Every option of a command."""
    options = [option_of(field) for field in operation.options]
    options += [Option(f"--no-{field.option[2:]}", "", Takes.NOTHING, (), field) for field in flags(operation)]
    options += [DOCUMENT] if operation.takes_document else []
    options += COLUMNS if operation.takes_columns else []
    options += [KIT] if operation.takes_kit else []
    if operation.solve:
        words = tuple(f"{names_of('target').shortest(field)}=" for field in operation.targets)
        options.append(Option("--target", "what the open length is to reach", Takes.VALUE, words))
        options.append(Option("--between", "least and greatest value of the open length", Takes.VALUE))
    options += [OUTPUT] if operation.media_types else []
    return (*options, *COMMON, *([ALL_CAUTIONS] if operation.fields else []))


def option_of(field: Field) -> Option:
    """Option of one field."""
    takes = Takes.NOTHING if field.kind == "flag" else Takes.FILE if field.is_picture else Takes.VALUE
    return Option(field.option, "", takes, (), field)


def flags(operation: Operation) -> Sequence[Field]:
    """Fields that are yes or no."""
    return [field for field in operation.options if field.kind == "flag"]
