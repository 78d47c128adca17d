"""How the one lens of a quantity is mounted."""

from typing import Literal, TypeAlias, TypedDict

Mounting: TypeAlias = Literal["normal", "reversed"]


class MountingFields(TypedDict, total=False):
    """Which way round the lens stands; assumed normal."""

    mounting: Mounting
