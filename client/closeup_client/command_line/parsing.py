"""The first parser of the command line: it knows every command, and has the parser built of the one that is asked."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Sequence
from functools import partial

from closeup_client.command_line.exit_codes import HELP as EXIT_HELP
from closeup_client.command_line.export import help as export_help
from closeup_client.command_line.paragraphs import wrapped
from closeup_client.command_line.scale_bars import help as scale_bars_help
from closeup_client.command_line.table import PROGRAM, Table
from closeup_client.installed import read_own_version

TYPE_CHECKING = False  # as type checkers know it; for the help alone, loading `typing` takes long
if TYPE_CHECKING:
    from typing import Any, Never

NEGATIVE = re.compile(r"[-−][\d.,]")
COMPLETION = "completion"
COMPLETES = "Script that completes commands in your shell"
HELP = "--help"


class UsageError(Exception):
    """A mistake in the command itself."""


class Parser(argparse.ArgumentParser):
    """Parser that raises its complaints, so that one place words and prints them all."""

    def error(self, message: str) -> Never:
        """Raise instead of leaving the program."""
        raise UsageError(f"{self.prog}: {message.removeprefix('argument ')}")


class Later(Parser):
    """Stands for the parser of a command until that is asked, since building them all takes longer than most answers."""

    def __init__(self, build: Callable[..., Parser], **told: Any) -> None:
        super().__init__(add_help=False, **told)
        self._build, self._told = build, told

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """Build the parser, with its texts where they are to be read, and parse."""
        parser = self._build(with_help=asks_for_help(args), **self._told)
        return parser.parse_known_args(args, namespace)


def asks_for_help(arguments: Sequence[str]) -> bool:
    """Whether the help may be asked for; -h stands also before other letters."""
    return any(each.startswith("-h") or each == HELP for each in arguments)


def parser_for(table: Table) -> Parser:
    """Build the first parser."""
    parser = Parser(
        prog=PROGRAM,
        description="The sums of close-up photography.",
        epilog=wrapped([f"{PROGRAM} COMMAND --help says more of each command.", EXIT_HELP]),
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {read_own_version() or 'of unknown version'}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands", parser_class=Later)
    for each in table.listed:
        commands.add_parser(
            each.name, help=escaped(each.summary), build=partial(build_operation_parser, table, each.name)
        )
    for name, summary in OWN_COMMANDS.items():
        commands.add_parser(name, help=summary, build=partial(build_own_parser, table, name))
    return parser


OWN_COMMANDS = {
    scale_bars_help.SCALE_BARS: scale_bars_help.SUMMARY,
    export_help.EXPORT: export_help.SUMMARY,
    COMPLETION: COMPLETES,
}
"""Commands that are no operations."""


def build_operation_parser(table: Table, name: str, **told: Any) -> Parser:
    """Parser of an operation's command."""
    from closeup_client.command_line import arguments  # noqa: PLC0415  # for a command alone

    return arguments.build_operation_parser(table, table.operation(name), **told)


def build_own_parser(table: Table, name: str, **told: Any) -> Parser:
    """Parser of a command that is no operation."""
    from closeup_client.command_line import own_arguments  # noqa: PLC0415  # for such a command alone

    return own_arguments.PARSERS[name](table, **told)


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
    return [first, *arguments[2:]] if table.knows(first) else list(arguments)
