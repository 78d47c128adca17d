"""Words that the command does not take, and the commands and options they may have meant."""

import difflib
from collections.abc import Sequence

from closeup_client.command_line.arguments import COMPLETION, UsageError
from closeup_client.command_line.completion import COMMON, OF_EXPORT, OF_SCALE_BARS, options_of
from closeup_client.command_line.export_help import EXPORT
from closeup_client.command_line.near_words import meant
from closeup_client.command_line.scale_bars_help import SCALE_BARS
from closeup_client.command_line.table import PROGRAM, Table

HELP = frozenset({"-h", "--help"})
OWN_OPTIONS = {SCALE_BARS: OF_SCALE_BARS, EXPORT: OF_EXPORT}
"""Options of the commands that are no operations."""


def refuse_unknown_command(arguments: Sequence[str], table: Table) -> None:
    """Refuse a first word that is no command.

    Raises
    ------
    UsageError
        With the nearest command.
    """
    known = [*(operation.name for operation in table.operations), COMPLETION, EXPORT, SCALE_BARS]
    if not arguments or arguments[0].startswith("-"):
        return
    if arguments[0] in known:
        refuse_unknown_second_word(arguments, table)
        return
    raise UsageError(f"{PROGRAM}: there is no command {arguments[0]!r}; {meant(arguments[0], known)}")


def refuse_unknown_second_word(arguments: Sequence[str], table: Table) -> None:
    """Refuse a second word that makes no command with the first, where some do."""
    below = [each.words[-1] for each in table.below(arguments[0])]
    if below and arguments[1:] and not arguments[1].startswith("-"):
        near = difflib.get_close_matches(arguments[1], below, n=1) or below
        told = " or ".join(f"{PROGRAM} {arguments[0]} {word}" for word in near)
        raise UsageError(f"{PROGRAM} {arguments[0]}: there is no {arguments[1]!r} here; did you mean {told}?")


def refuse_misspelt(arguments: Sequence[str], table: Table) -> None:
    """Refuse an option that an operation does not take, before one is missed that it was meant for.

    Raises
    ------
    UsageError
        With the nearest option.
    """
    operation = next((each for each in table.operations if each.name == arguments[0]), None) if arguments else None
    if operation is None or HELP.intersection(arguments):
        return
    known = {option.name for option in options_of(operation, table)}
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
    operation = next((each for each in table.operations if each.name == command), None)
    options = options_of(operation, table) if operation else OWN_OPTIONS.get(command or "", COMMON)
    asked = f"{PROGRAM} {command}" if command else PROGRAM
    word = words[0].partition("=")[0]
    if not word.startswith("-"):
        raise UsageError(f"{asked}: {word!r} stands alone; put values with blanks in quotation marks.")
    told = meant(word, [option.name for option in options], f"see {asked} --help.")
    raise UsageError(f"{asked}: there is no {word}; {told}")
