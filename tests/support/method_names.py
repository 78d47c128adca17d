"""The client's method for an operation."""

from closeup_service.web.command_table import command_name
from closeup_service.web.operation import Operation


def method_name(operation: Operation) -> str:
    """Name of its command, with underscores."""
    return command_name(operation.path).replace(" ", "_").replace("-", "_")
