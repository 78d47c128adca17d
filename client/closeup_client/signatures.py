"""Signatures of the client's methods with the members that they take, for `inspect.signature` and for completion.

They are made when somebody looks at one, since making them all loads every record.
"""

import re
from collections.abc import Iterator, Mapping
from inspect import Parameter, Signature
from types import FunctionType, MappingProxyType
from typing import Any, get_type_hints

import closeup_client

ASKED = re.compile(r"Unpack\[closeup_client\.(\w+)\]")


class LeftOut:
    """Stands for a member that is not sent."""

    def __repr__(self) -> str:
        """As stubs write a default that they do not tell."""
        return "..."


LEFT_OUT = LeftOut()


class Signatures(Signature):
    """Signature of a method whose keyword arguments are the members of a record."""

    def __init__(self, method: FunctionType, record: str) -> None:
        super().__init__()
        self._method, self._record = method, record

    @property
    def parameters(self) -> MappingProxyType[str, Parameter]:
        """Parameters of the method, with the members in place of the rest."""
        return MappingProxyType({each.name: each for each in parameters_of(self._method, self._record)})

    @property
    def return_annotation(self) -> Any:
        """What the method returns."""
        return self._method.__annotations__.get("return", Signature.empty)

    def replace(self, **changed: Any) -> Signature:  # type: ignore[override]
        """Plain signature with other parameters or another return annotation."""
        return Signature(
            changed.get("parameters", list(self.parameters.values())),
            return_annotation=changed.get("return_annotation", self.return_annotation),
        )

    def __reduce__(self) -> Any:
        """Keep as a plain signature."""
        return self.replace().__reduce__()


def add_signatures(owner: type) -> None:
    """Let the methods of a class show the members that they take."""
    for method in vars(owner).values():
        record = record_of(method)
        if record:
            method.__signature__ = Signatures(method, record)


def record_of(method: Any) -> str:
    """Name of the record whose members a method takes; nothing where there is none."""
    asked: Mapping[str, str] = getattr(method, "__annotations__", {})
    return next((found[1] for each in asked.values() if (found := ASKED.fullmatch(str(each)))), "")


def parameters_of(method: FunctionType, record: str) -> Iterator[Parameter]:
    """Parameters of a method: its own, and each member of the record, that which is needed without a default."""
    fields = getattr(closeup_client, record)
    told = method.__annotations__
    for each in Signature.from_callable(without_signature(method)).parameters.values():
        if each.kind != Parameter.VAR_KEYWORD:
            yield each.replace(annotation=told.get(each.name, Parameter.empty))
    hints = get_type_hints(fields)
    for name in sorted(hints, key=lambda name: name not in fields.__required_keys__):
        default = Parameter.empty if name in fields.__required_keys__ else LEFT_OUT
        yield Parameter(name, Parameter.KEYWORD_ONLY, default=default, annotation=hints[name])


def without_signature(method: FunctionType) -> FunctionType:
    """The same code, whose signature is that of its text."""
    return FunctionType(method.__code__, method.__globals__, method.__name__, method.__defaults__, method.__closure__)
