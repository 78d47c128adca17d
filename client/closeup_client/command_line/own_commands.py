"""The commands that are no operations."""

import argparse

from closeup_client.command_line import exit_codes
from closeup_client.command_line.complaints import complain
from closeup_client.command_line.completion.command import script
from closeup_client.command_line.export.command import export
from closeup_client.command_line.export.help import EXPORT
from closeup_client.command_line.parsing import COMPLETION, UsageError
from closeup_client.command_line.refusals import exit_code
from closeup_client.command_line.scale_bars.command import make_scale_bars
from closeup_client.command_line.scale_bars.help import SCALE_BARS
from closeup_client.command_line.table import PROGRAM, Table
from closeup_client.errors import CloseupError

ASKING = {SCALE_BARS: make_scale_bars, EXPORT: export}
"""Commands that ask more than one operation."""


def run(given: argparse.Namespace, table: Table) -> int:
    """Run the command that is asked for."""
    if given.command == COMPLETION:
        print(script(given.shell, table), end="")
        return exit_codes.DONE
    try:
        return ASKING[given.command](given, table)
    except CloseupError as error:
        return complain(f"{PROGRAM} {given.command}: {error}", exit_code(error))
    except (UsageError, ValueError) as error:
        raise UsageError(f"{PROGRAM} {given.command}: {error}") from None
