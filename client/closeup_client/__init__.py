"""The sums of close-up photography, asked of the closeup-optics service.

>>> from closeup_client import Client, camera, lens, spacer
>>> with Client("http://127.0.0.1:8000") as client:
...     answer = client.evaluate(
...         camera=camera(register_mm=18.0, sensor="23.5x15.6"),
...         train=[lens(focal_length_mm=50, f_number=8, register_mm=45.46), spacer(length_mm=77.46)],
...     )
...     print(answer.magnification)
"""

from closeup_client import records

TYPE_CHECKING = False
"""What type checkers take for true; the module `typing` is not needed for it."""

if TYPE_CHECKING:
    from closeup_client.client import Client
    from closeup_client.errors import *
    from closeup_client.parts import *
    from closeup_client.photographs import Photograph
    from closeup_client.records import *
else:  # which type checkers must not see, or no name would be misspelt

    def __getattr__(name: str) -> object:
        """Load the module of a public name, or a module with such names, when it is first asked for (PEP 562)."""
        from closeup_client.homes import HOMES, module, module_of  # noqa: PLC0415  # for what is asked for alone

        if name in __all__:
            return globals().setdefault(name, getattr(module_of(name), name))
        if name in HOMES:
            return module(name)
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

    def __dir__() -> list[str]:
        """Return every public name, loaded or not."""
        return sorted({*globals(), *__all__})


# fmt: off
__all__ = [
    "AnswerNotUnderstood", "Client", "CloseupError", "FieldFault", "Photograph", "ServiceRefused", "ServiceUnreachable",
    "camera", "close_up_lens", "kit_part", "lens", "objective", "solve", "spacer", "teleconverter",
]
# fmt: on
__all__ += records.__all__
