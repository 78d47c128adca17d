"""What is said on the standard error."""

import contextlib
import sys


def complain(text: str, code: int) -> int:
    """Print to the standard error and return the code."""
    with contextlib.suppress(OSError):
        print(text, file=sys.stderr)
    return code
