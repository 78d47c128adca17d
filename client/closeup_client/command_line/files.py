"""Files by their names on the command line, and why one cannot be had."""

STANDARD_INPUT = "-"


def why(error: Exception) -> str:
    """Reason in the system's words; in those of the error itself where the system has none."""
    return (isinstance(error, OSError) and error.strerror) or str(error)
