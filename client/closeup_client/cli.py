"""The command `closeup`: the sums of close-up photography, asked from a shell."""

import argparse
import contextlib
import io
import json
import os
import sys
from collections.abc import Mapping, Sequence
from typing import Any

from closeup_client.command_line import exit_codes, tables
from closeup_client.command_line.answers import answer_text
from closeup_client.command_line.arguments import COMPLETION, UsageError, joined_commands, joined_negatives, parser_for
from closeup_client.command_line.asking import ask, ask_for, where_of
from closeup_client.command_line.completion import script
from closeup_client.command_line.doubts import doubts
from closeup_client.command_line.export import export
from closeup_client.command_line.export_help import EXPORT
from closeup_client.command_line.notes import notes
from closeup_client.command_line.output import media_type_of, pictures_wanted, write, write_pictures
from closeup_client.command_line.paragraphs import terminal_width
from closeup_client.command_line.refusals import error_text, exit_code
from closeup_client.command_line.request import files_of, request_of
from closeup_client.command_line.scale_bars import make_scale_bars
from closeup_client.command_line.scale_bars_help import SCALE_BARS
from closeup_client.command_line.table import PROGRAM, table
from closeup_client.command_line.unknown_options import refuse_misspelt, refuse_unknown, refuse_unknown_command
from closeup_client.command_line.wording import Wording
from closeup_client.errors import CloseupError


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; every way it can end has its exit code, and none of them a traceback."""
    print_any_sign()
    try:
        code = run(joined_negatives(sys.argv[1:] if arguments is None else arguments))
        sys.stdout.flush()
        return code
    except UsageError as error:
        return complain(str(error), exit_codes.USAGE)
    except KeyboardInterrupt:
        return exit_codes.INTERRUPTED
    except BrokenPipeError:
        leave_the_pipe()
        return exit_codes.PIPE_CLOSED
    except SystemExit as error:  # argparse has printed its help or version
        return int(error.code or exit_codes.DONE)
    except Exception as error:  # a person at a shell can do nothing with a traceback
        return complain(f"{PROGRAM}: this is a fault of ours: {type(error).__name__}: {error}", exit_codes.FAILED)


def run(arguments: Sequence[str]) -> int:
    """Do what the arguments ask for."""
    arguments = joined_commands(arguments, table())
    refuse_unknown_command(arguments, table())
    refuse_misspelt(arguments, table())
    parser = parser_for(table())
    given, unknown = parser.parse_known_args(arguments)
    if given.command is None:
        refuse_unknown(unknown, table(), None)
        return complain(parser.format_help().rstrip(), exit_codes.USAGE)
    refuse_unknown(unknown, table(), given.command)
    if given.command == COMPLETION:
        print(script(given.shell, table()), end="")
        return exit_codes.DONE
    if given.command in OWN_COMMANDS:
        return own_command(given)
    return asked(given)


OWN_COMMANDS = {SCALE_BARS: make_scale_bars, EXPORT: export}
"""Commands that ask more than one operation."""


def own_command(given: argparse.Namespace) -> int:
    """Run a command that asks more than one operation."""
    try:
        return OWN_COMMANDS[given.command](given, table())
    except CloseupError as error:
        return complain(f"{PROGRAM} {given.command}: {error}", exit_code(error))
    except (UsageError, ValueError) as error:
        raise UsageError(f"{PROGRAM} {given.command}: {error}") from None


def asked(given: argparse.Namespace) -> int:
    """Ask one operation and print its answer; write its drawing to a file where one is named."""
    operation = next(each for each in table().operations if each.name == given.command)
    try:
        members, wording = request_of(given, operation, table())
        if operation.takes_columns and (columns := tables.columns_of(given, members, table(), operation)):
            members[tables.COLUMNS] = columns
        files = files_of(given, operation)
    except UsageError as error:
        raise UsageError(f"{PROGRAM} {operation.name}: {error}") from None
    if said := doubts(members, wording):
        complain(said, exit_codes.DONE)
    path = getattr(given, "output", None)
    try:
        media_type = None if path is None else media_type_of(path, operation)
        pictures = pictures_wanted(given, operation)
        answer: Any = (
            tables.ask(operation, members, where_of(given))
            if operation.takes_columns
            else ask(operation, members, files, where_of(given))
        )
        if path is not None and operation.takes_columns:  # a table may be longer than one request
            write(path, tables.csv_text(members, answer, tables.END_IN_A_FILE).encode())
        elif path is not None and media_type is not None:
            write(path, ask_for(media_type, operation, members, where_of(given)))
        write_pictures(pictures, operation, answer)
    except (CloseupError, ValueError) as error:
        return complain(error_text(error, wording), exit_code(error))
    show(given, members, answer, wording)
    return exit_codes.DONE


def show(given: argparse.Namespace, members: Mapping[str, Any], answer: Any, wording: Wording) -> None:
    """Print an answer: as the service gave it, a table as CSV, anything else for people."""
    if given.json:
        print(json.dumps(answer, indent=2, ensure_ascii=False))
    elif wording.operation.takes_columns:
        print(tables.csv_text(members, answer), end="")
        said = notes(answer, wording, terminal_width(), given.all_cautions)
        complain("\n\n".join(filter(None, said)), exit_codes.DONE)
    else:
        print(answer_text(answer, wording, terminal_width(), getattr(given, "all_cautions", False)), end="")


def complain(text: str, code: int) -> int:
    """Print to the standard error and return the code."""
    with contextlib.suppress(OSError):
        print(text, file=sys.stderr)
    return code


def print_any_sign() -> None:
    """Let a terminal that lacks a sign show a question mark in its place."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def leave_the_pipe() -> None:
    """Send what is still to be written nowhere, since nobody reads on."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


if __name__ == "__main__":
    sys.exit(main())
