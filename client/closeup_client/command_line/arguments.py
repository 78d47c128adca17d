"""The parser of an operation's command, made from the table of operations."""

import argparse
import textwrap
from collections.abc import Callable, Sequence
from typing import Any

from closeup_client.command_line import helping
from closeup_client.command_line.asking import SERVER_VARIABLE
from closeup_client.command_line.operation import Field, Operation, destination
from closeup_client.command_line.output import output_help
from closeup_client.command_line.paragraphs import wrapped
from closeup_client.command_line.parsing import Parser, escaped
from closeup_client.command_line.table import Table
from closeup_client.command_line.values import BadValue, scalar
from closeup_client.command_line.wording import Wording
from closeup_client.transport import BUSY_WAIT_S, TIMEOUT_S, USUAL_URL

COLUMNS_HELP = (
    "Columns of values as a CSV file, - for standard input. Its first line names a member of the set-up for each column, by "
    "JSON pointer such as /train/0/f_number, or by its bare name, such as f_number, where only one part has it. The answer "
    "is CSV too, null as an empty cell; what is worth knowing goes to the standard error."
)
KIT_HELP = "Kit to use instead of the studio's own, as a file in JSON, - for standard input."
SECONDS = Field("timeout", "number", "timeout", unit="s")


class WholeWords(argparse.RawDescriptionHelpFormatter):
    """Help whose lines do not break within a word with a hyphen, such as a choice that is to be typed."""

    def _split_lines(self, text: str, width: int) -> list[str]:
        return textwrap.wrap(" ".join(text.split()), width, break_on_hyphens=False, break_long_words=False)


def build_parser(description: Sequence[str], epilog: Sequence[str], **told: Any) -> Parser:
    """Parser of a command with its texts."""
    return Parser(
        description=wrapped(description),
        epilog=wrapped(epilog),
        formatter_class=WholeWords,
        allow_abbrev=False,
        **told,
    )


def build_operation_parser(table: Table, operation: Operation, with_help: bool, **told: Any) -> Parser:
    """Parser of the command of one operation; its texts are composed only where they are to be read."""
    wording = Wording(table, operation) if with_help else None
    described, epilog = (helping.described(wording), helping.epilog(wording)) if wording else ([], [])
    parser = build_parser(described, epilog, **told)
    asked = parser.add_argument_group("what is asked") if operation.fields else parser
    if operation.files is not None:
        add_files(asked, wording, operation.files)
    for field in sorted(operation.options, key=lambda field: not field.required):
        if not is_for_cautions(field):
            add_option(asked, wording, field, required=field.required and not operation.takes_document)
    add_documents(asked, operation)
    if operation.solve:
        add_solving(asked, operation)
    surroundings = [field for field in operation.options if is_for_cautions(field)]
    around = parser.add_argument_group("for the cautions") if surroundings else parser
    for field in surroundings:
        add_option(around, wording, field, required=False)
    add_common(parser, operation)
    return parser


def is_for_cautions(field: Field) -> bool:
    """Whether a field changes nothing but the cautions, as its meaning says."""
    return ", for the cautions" in field.meaning and not field.required


def add_files(group: Any, wording: Wording | None, field: Field) -> None:
    """Add the files, which stand without an option."""
    group.add_argument(destination(field), metavar="FILE", nargs="+" if field.list else 1, help=help_of(field, wording))


def help_of(field: Field, wording: Wording | None) -> str | None:
    """Help of an option, where it is to be read."""
    return None if wording is None else escaped(helping.option_help(field, wording))


def add_documents(group: Any, operation: Operation) -> None:
    """Add what is given as files or as columns."""
    if operation.takes_document:
        group.add_argument(
            "--document",
            metavar="FILE",
            help="The whole request as a file in JSON, - for standard input; options beside it replace its members.",
        )
    if operation.takes_kit:
        group.add_argument("--kit", metavar="FILE", help=KIT_HELP)
    if operation.takes_columns:
        group.add_argument(
            "--column",
            metavar=("NAME", "VALUE"),
            nargs="+",
            action="append",
            help="One column: its name, then its values.",
        )
        group.add_argument("--csv", metavar="FILE", help=escaped(COLUMNS_HELP))


def add_option(group: Any, wording: Wording | None, field: Field, *, required: bool) -> None:
    """Add the option of one field."""
    told: dict[str, Any] = {
        "dest": destination(field),
        "required": required,
        "help": help_of(field, wording),
        "default": None,
    }
    if field.kind == "flag":
        group.add_argument(field.option, action=argparse.BooleanOptionalAction, **told)
    elif field.is_picture:
        group.add_argument(field.option, metavar="FILE", **told)
    elif field.is_scalar:
        group.add_argument(field.option, metavar=helping.metavar(field), type=reader(field), **told)
    elif field.is_scalar_list:
        group.add_argument(field.option, metavar=helping.metavar(field), type=reader(field), nargs="+", **told)
    else:
        word = "PART" if field.is_train else "NAME=VALUE"
        group.add_argument(field.option, metavar=word, nargs="+", action="append", **told)


def add_solving(group: Any, operation: Operation) -> None:
    """Add the options that solve for an open length."""
    targets = ", ".join(field.label for field in operation.targets)
    group.add_argument(
        "--target",
        metavar="NAME=VALUE",
        help=escaped(f"What the length left open by ? is to reach: {targets}. A bare 2:1 or 2x is a magnification."),
    )
    least = next(field for field in operation.solve.fields if field.name == "minimum") if operation.solve else None
    if least is not None:
        text = "Least and greatest value of the length left open."
        group.add_argument("--between", nargs=2, metavar=("LEAST", "GREATEST"), type=reader(least), help=text)


def add_common(parser: argparse.ArgumentParser, operation: Operation) -> None:
    """Add what every command takes; listings hold no cautions."""
    group = parser.add_argument_group("how it is asked and shown")
    group.add_argument("--json", action="store_true", help="Print the answer as the service gives it.")
    if operation.media_types:
        group.add_argument("--output", metavar="FILE", help=escaped(output_help(operation.media_types)))
    if operation.fields:
        group.add_argument("--all-cautions", action="store_true", help="Show every caution, not the first three alone.")
    add_service(group)


def add_service(group: Any) -> None:
    """Add which service is asked, and for how long."""
    group.add_argument(
        "--server",
        metavar="URL",
        help=f"Service to ask; also from the variable {SERVER_VARIABLE}. Without either, the service installed here "
        f"answers within this process, or else {USUAL_URL}.",
    )
    group.add_argument(
        "--timeout",
        metavar="SECONDS",
        type=seconds,
        default=TIMEOUT_S,
        help="How long to wait for a server; %(default)g unless given.",
    )
    group.add_argument(
        "--busy-wait",
        metavar="SECONDS",
        type=seconds_or_none,
        default=BUSY_WAIT_S,
        help="How long in all to ask again while a server says that it is busy, or asked too often; %(default)g unless "
        "given, 0 for not at all.",
    )


def reader(field: Field) -> Callable[[str], Any]:
    """Return the function that turns the text of an option into its value."""

    def read(text: str) -> Any:
        try:
            return scalar(text, field)
        except BadValue as error:
            raise argparse.ArgumentTypeError(str(error)) from None

    return read


def seconds(text: str) -> float:
    """Read a time to wait."""
    value: float = reader(SECONDS)(text)
    if value <= 0:
        raise argparse.ArgumentTypeError("give seconds above 0.")
    return value


def seconds_or_none(text: str) -> float:
    """Read a time to wait that may be none."""
    value: float = reader(SECONDS)(text)
    if value < 0:
        raise argparse.ArgumentTypeError("give seconds, or 0.")
    return value
