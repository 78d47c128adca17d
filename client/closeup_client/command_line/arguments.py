"""The parser of the command line, made from the table of operations."""

import argparse
import re
from collections.abc import Callable, Sequence
from importlib.metadata import PackageNotFoundError, version
from typing import Any, Never

from closeup_client.busy_waits import BUSY_WAIT_S
from closeup_client.command_line import export_help, helping, scale_bars_help
from closeup_client.command_line.asking import SERVER_VARIABLE
from closeup_client.command_line.completion import SHELLS
from closeup_client.command_line.exit_codes import HELP as EXIT_HELP
from closeup_client.command_line.output import output_help
from closeup_client.command_line.paragraphs import wrapped
from closeup_client.command_line.table import PROGRAM, Field, Operation, Table, destination
from closeup_client.command_line.values import BadValue, scalar
from closeup_client.command_line.wording import Wording
from closeup_client.transport import TIMEOUT_S, USUAL_URL

NEGATIVE = re.compile(r"[-−][\d.,]")
COMPLETION = "completion"
COLUMNS_HELP = (
    "Columns of values as a CSV file, - for standard input. Its first line names a member of the set-up for each column, by "
    "JSON pointer such as /train/0/f_number, or by its bare name, such as f_number, where only one part has it. The answer "
    "is CSV too, null as an empty cell; what is worth knowing goes to the standard error."
)
KIT_HELP = "Kit to use instead of the studio's own, as a file in JSON, - for standard input."
SECONDS = Field("timeout", "number", "timeout", unit="s")


class UsageError(Exception):
    """A mistake in the command itself."""


class Parser(argparse.ArgumentParser):
    """Parser that raises its complaints, so that one place words and prints them all."""

    def error(self, message: str) -> Never:
        """Raise instead of leaving the program."""
        raise UsageError(f"{self.prog}: {message.removeprefix('argument ')}")


def parser_for(table: Table) -> Parser:
    """Build the whole parser."""
    parser = Parser(
        prog=PROGRAM,
        description="The sums of close-up photography.",
        epilog=wrapped([f"{PROGRAM} COMMAND --help says more of each command.", EXIT_HELP]),
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {own_version()}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands")
    known = table.labels()
    for operation in table.operations:
        add_operation(commands, Wording(table, operation, known=known))
    add_scale_bars(commands)
    add_export(commands, table)
    add_completion(commands)
    return parser


def own_version() -> str:
    """Version of this package."""
    try:
        return version("closeup-optics")
    except PackageNotFoundError:
        return "of unknown version"


def add_command(
    commands: Any, name: str, summary: str, description: Sequence[str], epilog: Sequence[str]
) -> argparse.ArgumentParser:
    """Add a command with its help."""
    parser: argparse.ArgumentParser = commands.add_parser(
        name,
        help=summary,
        description=wrapped(description),
        epilog=wrapped(epilog),
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    return parser


def add_operation(commands: Any, wording: Wording) -> None:
    """Add the command of one operation."""
    operation = wording.operation
    described, epilog = helping.described(wording), helping.epilog(wording)
    parser = add_command(commands, operation.name, escaped(operation.summary), described, epilog)
    asked = parser.add_argument_group("what is asked") if operation.fields else parser
    if operation.files is not None:
        add_files(asked, wording, operation.files)
    for field in sorted(operation.options, key=lambda field: not field.required):
        if not is_for_cautions(field):
            add_option(asked, wording, field, required=field.required and not operation.takes_document)
    if operation.takes_document:
        asked.add_argument(
            "--document",
            metavar="FILE",
            help="The whole request as a file in JSON, - for standard input; options beside it replace its members.",
        )
    if operation.takes_kit:
        asked.add_argument("--kit", metavar="FILE", help=KIT_HELP)
    if operation.takes_columns:
        asked.add_argument(
            "--column",
            metavar=("NAME", "VALUE"),
            nargs="+",
            action="append",
            help="One column: its name, then its values.",
        )
        asked.add_argument("--csv", metavar="FILE", help=escaped(COLUMNS_HELP))
    if operation.solve:
        add_solving(asked, operation)
    surroundings = [field for field in operation.options if is_for_cautions(field)]
    around = parser.add_argument_group("for the cautions") if surroundings else parser
    for field in surroundings:
        add_option(around, wording, field, required=False)
    add_common(parser, operation)


def is_for_cautions(field: Field) -> bool:
    """Whether a field changes nothing but the cautions, as its meaning says."""
    return ", for the cautions" in field.meaning and not field.required


def add_files(group: Any, wording: Wording, field: Field) -> None:
    """Add the files, which stand without an option."""
    text = escaped(helping.option_help(field, wording))
    group.add_argument(destination(field), metavar="FILE", nargs="+" if field.list else 1, help=text)


def add_option(group: Any, wording: Wording, field: Field, *, required: bool) -> None:
    """Add the option of one field."""
    told: dict[str, Any] = {
        "dest": destination(field),
        "required": required,
        "help": escaped(helping.option_help(field, wording)),
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


def add_scale_bars(commands: Any) -> None:
    """Add the command that makes the bars of many photographs."""
    told = scale_bars_help
    parser = add_command(commands, told.SCALE_BARS, told.SUMMARY, told.DESCRIPTION, told.EPILOG)
    parser.add_argument("specimens", metavar="SPECIMENS", help="CSV file of the specimens, a row for each photograph.")
    parser.add_argument("--photographs", metavar="FOLDER", required=True, help="Folder that holds the photographs.")
    parser.add_argument("--output", metavar="FOLDER", required=True, help="Folder for the bars and the results.")
    add_service(parser)


def add_export(commands: Any, table: Table) -> None:
    """Add the command that writes static pages."""
    told = export_help
    parser = add_command(commands, told.EXPORT, told.SUMMARY, told.DESCRIPTION, told.EPILOG)
    known = table.labels()
    parser.add_argument("folder", metavar="FOLDER", help="Folder for the pages.")
    parser.add_argument("--lens", metavar="LENS", action="append", help="A further lens, such as '60mm f/2.8 p=1.1'.")
    parser.add_argument("--kit", metavar="FILE", help=KIT_HELP)
    parser.add_argument(
        "--magnification",
        metavar="RATIO",
        nargs="+",
        type=reader(known["magnification"]),
        default=[0.25, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0],
        help="Magnifications of the columns, such as 1:2 1:1 2:1.",
    )
    parser.add_argument(
        "--guide-number",
        metavar="METRES",
        type=reader(known["guide_number_m"]),
        default=28.0,
        help="Guide number of the flash at ISO 100, in metres; %(default)g unless given.",
    )
    parser.add_argument(
        "--subject-depth-mm",
        metavar="MM",
        type=reader(known["subject_depth_mm"]),
        default=1.0,
        help="Depth of the subject in the charts; %(default)g mm unless given.",
    )
    parser.add_argument(
        "--sensor-detail-lp-per-mm",
        metavar="LP/MM",
        type=reader(known["sensor_detail_lp_per_mm"]),
        default=30.0,
        help="Detail on the sensor whose contrast the charts show; %(default)g line pairs per mm unless given.",
    )
    add_service(parser)


def add_completion(commands: Any) -> None:
    """Add the command that prints a script for the shell."""
    told = "Prints a script for your shell to read, for example from its start-up file."
    shown = ["Examples:", *(f"  {PROGRAM} {COMPLETION} {shell}" for shell in SHELLS)]
    parser = add_command(commands, COMPLETION, "Script that completes commands in your shell", [told], shown)
    parser.add_argument("shell", choices=SHELLS, help="which shell")


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
        help="How long in all to ask again while a server says that it is busy with other photographs; %(default)g unless "
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


def escaped(text: str) -> str:
    """Text for argparse, which takes a percent sign for a place to fill."""
    return text.replace("%", "%%")


def joined_negatives(arguments: Sequence[str]) -> list[str]:
    """Arguments in which a negative value is joined to its option, so that its minus sign begins no option."""
    joined: list[str] = []
    for argument in arguments:
        last = joined[-1] if joined else ""
        if NEGATIVE.match(argument) and last.startswith("--") and "=" not in last:
            joined[-1] = f"{last}={argument}"
        else:
            joined.append(argument)
    return joined


def joined_commands(arguments: Sequence[str], table: Table) -> list[str]:
    """Arguments in which the two words of a command are one argument."""
    first = " ".join(arguments[:2])
    return [first, *arguments[2:]] if any(each.name == first for each in table.operations) else list(arguments)
