"""Words that the command does not take, and the commands and options they may have meant."""

from collections.abc import Sequence

from closeup_client.command_line.near_words import meant, nearest
from closeup_client.command_line.options import COMMON, OF_OWN_COMMANDS, options_of
from closeup_client.command_line.parsing import HELP, OWN_COMMANDS, UsageError
from closeup_client.command_line.table import PROGRAM, Table

HELP_OPTIONS = frozenset({"-h", HELP})


def refuse_unknown_command(arguments: Sequence[str], table: Table) -> None:
    """Refuse a first word that is no command.

    Raises
    ------
    UsageError
        With the nearest command.
    """
    known = [*(each.name for each in table.listed), *sorted(OWN_COMMANDS)]
    if not arguments or arguments[0].startswith("-"):
        return
    if arguments[0] in known:
        refuse_unknown_second_word(arguments, table)
        return
    raise UsageError(f"{PROGRAM}: there is no command {arguments[0]!r}; {meant(arguments[0], known)}")


def refuse_unknown_second_word(arguments: Sequence[str], table: Table) -> None:
    """Refuse a second word that makes no command with the first, where some do."""
    below = [each.name.split()[-1] for each in table.below(arguments[0])]
    if below and arguments[1:] and not arguments[1].startswith("-"):
        near = nearest(arguments[1], below) or below
        told = " or ".join(f"{PROGRAM} {arguments[0]} {word}" for word in near)
        raise UsageError(f"{PROGRAM} {arguments[0]}: there is no {arguments[1]!r} here; did you mean {told}?")


def refuse_misspelt(arguments: Sequence[str], table: Table) -> None:
    """Refuse an option that an operation does not take, before one is missed that it was meant for.

    Raises
    ------
    UsageError
        With the nearest option.
    """
    if not arguments or not table.knows(arguments[0]) or HELP_OPTIONS.intersection(arguments):
        return
    operation = table.operation(arguments[0])
    known = {option.name for option in options_of(operation)}
    long = [word for word in arguments if word.startswith("--") and word.strip("-")]
    refuse_unknown([word for word in long if word.partition("=")[0] not in known], table, operation.name)


def refuse_unknown(words: Sequence[str], table: Table, command: str | None) -> None:
    """Refuse words that were left over.

    Raises
    ------
    UsageError
        Where there are any.
    """
    if not words:
        return
    asked = f"{PROGRAM} {command}" if command else PROGRAM
    word = words[0].partition("=")[0]
    if not word.startswith("-"):
        raise UsageError(f"{asked}: {word!r} stands alone; put values with blanks in quotation marks.")
    known = (
        options_of(table.operation(command))
        if command and table.knows(command)
        else OF_OWN_COMMANDS.get(command or "", COMMON)
    )
    told = meant(word, [option.name for option in known], f"see {asked} --help.")
    raise UsageError(f"{asked}: there is no {word}; {told}")
