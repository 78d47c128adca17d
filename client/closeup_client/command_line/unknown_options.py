"""Words that the command does not take, and the commands and options they may have meant."""

import difflib
from collections.abc import Sequence

from closeup_client.command_line.arguments import COMPLETION, UsageError
from closeup_client.command_line.completion import COMMON, options_of
from closeup_client.command_line.helping import PROGRAM
from closeup_client.command_line.table import Table


def refuse_unknown_command(arguments: Sequence[str], table: Table) -> None:
    """Refuse a first word that is no command.

    Raises
    ------
    UsageError
        With the nearest command.
    """
    known = [*(operation.name for operation in table.operations), COMPLETION]
    if not arguments or arguments[0].startswith("-") or arguments[0] in known:
        return
    near = difflib.get_close_matches(arguments[0], known, n=1)
    meant = f"did you mean {near[0]}?" if near else f"there are {', '.join(known)}."
    raise UsageError(f"{PROGRAM}: there is no command {arguments[0]!r}; {meant}")


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
    options = options_of(operation, table) if operation else COMMON
    asked = f"{PROGRAM} {command}" if command else PROGRAM
    word = words[0].partition("=")[0]
    if not word.startswith("-"):
        raise UsageError(f"{asked}: {word!r} stands alone; put values with blanks in quotation marks.")
    near = difflib.get_close_matches(word, [option.name for option in options], n=1)
    meant = f"did you mean {near[0]}?" if near else f"see {asked} --help."
    raise UsageError(f"{asked}: there is no {word}; {meant}")
