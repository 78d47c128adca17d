"""One operation asked: its request sent, its answer printed or written."""

import argparse
import json
from collections.abc import Mapping
from typing import Any

from closeup_client.command_line import exit_codes, tables
from closeup_client.command_line.answers import answer_text
from closeup_client.command_line.asking import ask, ask_for, where_of
from closeup_client.command_line.complaints import complain
from closeup_client.command_line.doubts import doubts
from closeup_client.command_line.notes import notes
from closeup_client.command_line.output import media_type_of, pictures_wanted, write, write_pictures
from closeup_client.command_line.paragraphs import terminal_width
from closeup_client.command_line.parsing import UsageError
from closeup_client.command_line.refusals import error_text, exit_code
from closeup_client.command_line.request import files_of, request_of
from closeup_client.command_line.table import PROGRAM, Table
from closeup_client.command_line.wording import Wording
from closeup_client.errors import CloseupError


def ask_operation(given: argparse.Namespace, table: Table) -> int:
    """Ask one operation and print its answer; write its drawing to a file where one is named."""
    operation = table.operation(given.command)
    try:
        members, wording = request_of(given, operation, table)
        if operation.takes_columns and (columns := tables.columns_of(given, members, table, operation)):
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
