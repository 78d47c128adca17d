"""Where each public name is defined; a test holds it against the modules."""

from collections.abc import Mapping
from importlib import import_module
from types import ModuleType

from closeup_client.records import MODULES

# fmt: off
HOMES: Mapping[str, tuple[str, ...]] = {
    "client": ("Client",),
    "errors": ("AnswerNotUnderstood", "CloseupError", "FieldFault", "ServiceRefused", "ServiceUnreachable"),
    "parts": ("camera", "close_up_lens", "kit_part", "lens", "objective", "solve", "spacer", "teleconverter"),
    "photographs": ("Photograph",),
}
# fmt: on
"""Names by the module that defines them, beside those of the records, which say that themselves."""


def module_of(name: str) -> ModuleType:
    """Load the module of a public name."""
    if name in MODULES:
        return module(f"records.{MODULES[name]}")
    return module(next(home for home, names in HOMES.items() if name in names))


def module(home: str) -> ModuleType:
    """Load a module."""
    return import_module(f"closeup_client.{home}")
