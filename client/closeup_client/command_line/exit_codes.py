"""What the command ends with."""

DONE = 0
FAILED = 1
USAGE = 2
REFUSED = 3
UNREACHABLE = 4
INTERRUPTED = 130
PIPE_CLOSED = 141
"""As shells count: 128 and the signal's number."""

HELP = (
    "Ends with 0 when done, 1 when something failed that is no mistake of yours, such as a full disk, 2 for a mistake in the "
    "command, 3 when the service refused, 4 when it could not be reached, 130 when you interrupted it, 141 when what reads the "
    "output stopped reading."
)
