"""Put a fault into a running program: into the functions that stand, or into the module as it is imported anew."""

import importlib.abc
import importlib.machinery
import importlib.util
import inspect
import sys
from collections.abc import Iterator, Mapping, Sequence
from types import FunctionType, ModuleType
from typing import Any

from mutants import Mutant

OWN = ("closeup_service", "closeup_client")


def graft(mutant: Mutant) -> None:
    """Give every function of the module the code that it has with the fault."""
    module = sys.modules[mutant.module]
    faulty = {"__name__": mutant.module, "__file__": str(mutant.path)}
    exec(mutant.compiled, faulty)
    new = dict(functions_of(faulty, mutant))
    for name, function in functions_of(vars(module), mutant):
        function.__code__ = new[name].__code__


def functions_of(names: Mapping[str, Any], mutant: Mutant, prefix: str = "") -> Iterator[tuple[str, FunctionType]]:
    """Every function written in the module, methods too, by its qualified name."""
    for name, value in list(names.items()):
        if inspect.isclass(value) and value.__module__ == mutant.module:
            yield from functions_of(vars(value), mutant, f"{name}.")
        for candidate in (value, getattr(value, "__func__", None), getattr(value, "fget", None)):
            function = inspect.unwrap(candidate) if callable(candidate) else None
            if isinstance(function, FunctionType) and function.__code__.co_filename == str(mutant.path):
                yield prefix + name, function


class FaultyModule(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Finds the module with the fault, before any other finder."""

    def __init__(self, mutant: Mutant) -> None:
        self.mutant = mutant

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        """Find this one module."""
        if fullname != self.mutant.module:
            return None
        return importlib.util.spec_from_loader(fullname, self, origin=str(self.mutant.path))

    def exec_module(self, module: ModuleType) -> None:
        """Run its code with the fault."""
        exec(self.mutant.compiled, vars(module))


def import_anew(mutant: Mutant) -> None:
    """Forget all that was imported of the project and its tests, and have the module imported with the fault."""
    for name, module in list(sys.modules.items()):
        if name.split(".")[0] in OWN or "/tests/" in (getattr(module, "__file__", None) or ""):
            del sys.modules[name]
    sys.meta_path.insert(0, FaultyModule(mutant))
