"""Values as an address, a command line and a document write them, exactly."""

from collections.abc import Mapping


def write_value(value: object) -> str:
    """Value as a query and the command line write it, exactly."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return repr(value).removesuffix(".0") if isinstance(value, float | int) else str(value)


def plain_number(value: object) -> object:
    """Value with whole numbers written without a point."""
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return int(value)
    if isinstance(value, Mapping):
        return {name: plain_number(each) for name, each in value.items()}
    return [plain_number(each) for each in value] if isinstance(value, list | tuple) else value
