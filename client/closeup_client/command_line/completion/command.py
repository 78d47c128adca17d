"""What can be completed on the command line, and the script that does it, for each shell."""

from closeup_client.command_line.completion.scripts import SCRIPTS, Command
from closeup_client.command_line.export import help as export_help
from closeup_client.command_line.export.help import EXPORT
from closeup_client.command_line.helping import meaning
from closeup_client.command_line.operation import Field, Operation
from closeup_client.command_line.options import FILES, OF_EXPORT, OF_SCALE_BARS, Option, Takes, options_of
from closeup_client.command_line.parsing import COMPLETES, COMPLETION
from closeup_client.command_line.scale_bars import help as scale_bars_help
from closeup_client.command_line.scale_bars.help import SCALE_BARS
from closeup_client.command_line.short_form.names import KINDS, names_of
from closeup_client.command_line.table import Table
from closeup_client.command_line.wording import Wording


def script(shell: str, table: Table) -> str:
    """Script for a shell."""
    commands = [
        Command(each.name, each.summary, (*describe_options(each, table), *files_of(each))) for each in table.operations
    ]
    commands.append(Command(SCALE_BARS, scale_bars_help.SUMMARY, OF_SCALE_BARS))
    commands.append(Command(EXPORT, export_help.SUMMARY, OF_EXPORT))
    shells = Option("", "which shell", Takes.VALUE, tuple(SCRIPTS))
    commands.append(Command(COMPLETION, f"{COMPLETES[:1].lower()}{COMPLETES[1:]}", (shells,)))
    return SCRIPTS[shell](tuple(commands))


def describe_options(operation: Operation, table: Table) -> list[Option]:
    """Options of a command, each with its meaning and the words that can stand behind it."""
    wording = Wording(table, operation)
    return [describe(option, wording) for option in options_of(operation)]


def describe(option: Option, wording: Wording) -> Option:
    """Option with what its field tells; how the opposite of a flag is meant, the flag's own meaning says."""
    if option.field is None:
        return option
    text = meaning(option.field)
    if option.name != option.field.option:
        return option._replace(meaning=text)
    return option._replace(meaning=wording.in_help(text), values=values_of(option.field, wording))


def files_of(operation: Operation) -> tuple[Option, ...]:
    """Files that stand alone, where a command takes them."""
    return (FILES,) if operation.files else ()


def values_of(field: Field, wording: Wording) -> tuple[str, ...]:
    """Words that can stand behind an option."""
    if field.is_train:
        return tuple(dict.fromkeys([*KINDS, *wording.table.parts, *names_of("lens").words]))
    if field.is_named:
        return tuple(f"{names_of(field.name).shortest(each)}=" for each in field.fields)
    return wording.choices(field)
