"""The command `closeup`: the sums of close-up photography, asked from a shell."""

import contextlib
import errno
import io
import os
import sys
from argparse import Namespace
from collections.abc import Sequence

from closeup_client.command_line import exit_codes
from closeup_client.command_line.complaints import complain
from closeup_client.command_line.parsing import (
    OWN_COMMANDS,
    UsageError,
    joined_commands,
    joined_negatives,
    parser_for,
)
from closeup_client.command_line.table import PROGRAM, table

UNWRITABLE = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
"""What goes wrong with a file or a disk that the output is sent to, as with one that is full."""


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
        leave_the_output()
        return exit_codes.PIPE_CLOSED
    except SystemExit as error:  # argparse has printed its help or version
        return int(error.code or exit_codes.DONE)
    except Exception as error:  # a person at a shell can do nothing with a traceback
        return complain_of(error)


def complain_of(error: Exception) -> int:
    """Say what failed that is no mistake in the command: the output, or the command itself."""
    if isinstance(error, OSError) and error.errno in UNWRITABLE:
        leave_the_output()
        return complain(f"{PROGRAM}: the output cannot be written: {error.strerror}.", exit_codes.FAILED)
    return complain(f"{PROGRAM}: this is a fault of ours: {type(error).__name__}: {error}", exit_codes.FAILED)


def run(arguments: Sequence[str]) -> int:
    """Do what the arguments ask for; what a command needs is loaded with it alone."""
    arguments = joined_commands(arguments, table())
    if arguments:
        refuse_words(arguments)
    parser = parser_for(table())
    given, unknown = parser.parse_known_args(arguments)
    if unknown:
        refuse_leftovers(unknown, given)
    if given.command is None:
        return complain(parser.format_help().rstrip(), exit_codes.USAGE)
    if given.command in OWN_COMMANDS:
        return run_own_command(given)
    from closeup_client.command_line import one_operation

    return one_operation.ask_operation(given, table())


def refuse_words(arguments: Sequence[str]) -> None:
    """Refuse a command, or an option of one, that there is not."""
    if arguments[0].startswith("-"):
        return
    from closeup_client.command_line import unknown_options

    unknown_options.refuse_unknown_command(arguments, table())
    unknown_options.refuse_misspelt(arguments, table())


def refuse_leftovers(unknown: Sequence[str], given: Namespace) -> None:
    """Refuse words that were left over."""
    from closeup_client.command_line import unknown_options

    unknown_options.refuse_unknown(unknown, table(), given.command)


def run_own_command(given: Namespace) -> int:
    """Run a command that is no operation."""
    from closeup_client.command_line import own_commands

    return own_commands.run(given, table())


def print_any_sign() -> None:
    """Let a terminal that lacks a sign show a question mark in its place."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def leave_the_output() -> None:
    """Send what is still to be written nowhere, since nobody can take it."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


if __name__ == "__main__":
    sys.exit(main())
