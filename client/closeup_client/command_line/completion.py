"""What can be completed on the command line, and the script that does it, for each shell."""

from collections.abc import Callable, Mapping

from closeup_client.command_line import completion_scripts as scripts
from closeup_client.command_line import export_help, scale_bars_help
from closeup_client.command_line.completion_scripts import Command, Option, Takes
from closeup_client.command_line.export_help import EXPORT
from closeup_client.command_line.helping import meaning
from closeup_client.command_line.scale_bars_help import SCALE_BARS
from closeup_client.command_line.short_names import KINDS, names_of
from closeup_client.command_line.table import Field, Operation, Table
from closeup_client.command_line.wording import Wording

SCRIPTS: Mapping[str, Callable[[tuple[Command, ...]], str]] = {
    "bash": scripts.bash,
    "zsh": scripts.zsh,
    "fish": scripts.fish,
}
SHELLS = tuple(SCRIPTS)
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


def script(shell: str, table: Table) -> str:
    """Script for a shell."""
    commands = [
        Command(each.name, each.summary, (*options_of(each, table), *files_of(each))) for each in table.operations
    ]
    commands.append(Command(SCALE_BARS, scale_bars_help.SUMMARY, OF_SCALE_BARS))
    commands.append(Command(EXPORT, export_help.SUMMARY, OF_EXPORT))
    shells = Option("", "which shell", Takes.VALUE, SHELLS)
    commands.append(Command("completion", "script that completes commands in your shell", (shells,)))
    return SCRIPTS[shell](tuple(commands))


def options_of(operation: Operation, table: Table) -> tuple[Option, ...]:
    """Every option of a command."""
    wording = Wording(table, operation, known=table.labels())
    options = [option_of(field, wording) for field in operation.options]
    options += [Option(f"--no-{field.option[2:]}", meaning(field), Takes.NOTHING) for field in flags(operation)]
    options += [DOCUMENT] if operation.takes_document else []
    options += COLUMNS if operation.takes_columns else []
    options += [KIT] if operation.takes_kit else []
    if operation.solve:
        words = tuple(f"{names_of('target').shortest(field)}=" for field in operation.targets)
        options.append(Option("--target", "what the open length is to reach", Takes.VALUE, words))
        options.append(Option("--between", "least and greatest value of the open length", Takes.VALUE))
    options += [OUTPUT] if operation.media_types else []
    return (*options, *COMMON, *([ALL_CAUTIONS] if operation.fields else []))


def files_of(operation: Operation) -> tuple[Option, ...]:
    """Files that stand alone, where a command takes them."""
    return (FILES,) if operation.files else ()


def flags(operation: Operation) -> list[Field]:
    """Fields that are yes or no."""
    return [field for field in operation.options if field.kind == "flag"]


def option_of(field: Field, wording: Wording) -> Option:
    """Option of one field."""
    takes = Takes.NOTHING if field.kind == "flag" else Takes.FILE if field.is_picture else Takes.VALUE
    return Option(field.option, wording.in_help(meaning(field)), takes, values_of(field, wording))


def values_of(field: Field, wording: Wording) -> tuple[str, ...]:
    """Words that can stand behind an option."""
    if field.is_train:
        return tuple(dict.fromkeys([*KINDS, *wording.table.parts, *names_of("lens").words]))
    if field.is_named:
        return tuple(f"{names_of(field.name).shortest(each)}=" for each in field.fields)
    return wording.choices(field)
