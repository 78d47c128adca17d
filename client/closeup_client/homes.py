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


def neighbours(name: str) -> dict[str, object]:
    """Load the module of a public name, and return its public names."""
    home, names = next(each for each in {**HOMES, **records()}.items() if name in each[1])
    loaded = module(home)
    return {each: getattr(loaded, each) for each in names}


def records() -> dict[str, tuple[str, ...]]:
    """Names of records by the module that defines them."""
    homes: dict[str, tuple[str, ...]] = {}
    for name, home in MODULES.items():
        homes[f"records.{home}"] = (*homes.get(f"records.{home}", ()), name)
    return homes


def module(home: str) -> ModuleType:
    """Load a module."""
    return import_module(f"closeup_client.{home}")
