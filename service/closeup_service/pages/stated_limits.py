"""The limits of the service as the documentation states them."""

from closeup_service.operations.asking.effort import FREE_S, MOST_S
from closeup_service.operations.asking.limits import (
    BYTES_PER_MIB,
    LEAST_BYTES_PER_S,
    LONGEST_LINE,
    MEGABYTE,
    MEGAPIXEL,
    SLOW_START_S,
    Limits,
)
from closeup_service.operations.asking.strict_json import MOST_NESTED, MOST_VALUES
from closeup_service.operations.operation import MOST_CONTENT_BYTES
from closeup_service.operations.registry import operations
from closeup_service.operations.set_up.evaluate.schemas import MOST_ELEMENTS
from closeup_service.operations.set_up.table.estimated import MOST_CONTRAST_ROWS, MOST_ESTIMATED_ROWS, MOST_WHITE_ROWS
from closeup_service.operations.set_up.table.schemas import MOST_ROWS, WHITE_ROWS
from closeup_service.schemas.items import MOST_FAULTS


def describe_limits(limits: Limits) -> list[tuple[str, str]]:
    """Return what is limited, and by how much."""
    larger = [each for each in operations() if each.most_content_bytes != MOST_CONTENT_BYTES]
    return [
        ("Body of a request in JSON", f"{MOST_CONTENT_BYTES // BYTES_PER_MIB} MiB"),
        *((f"Body of {each.path}", f"{each.most_content_bytes / BYTES_PER_MIB:g} MiB") for each in larger),
        ("Address with its query", f"{LONGEST_LINE} bytes with the method; longer requests go by POST"),
        ("Request with photographs", f"{limits.most_bytes / MEGABYTE:g} MB"),
        (
            "One photograph",
            f"{limits.most_pixels / MEGAPIXEL:g} megapixels",
        ),
        (
            "Photographs and heavy calculations",
            f"one at a time in each process, where they take more than {1000 * FREE_S:g} ms of processor time; another waits "
            f"for up to {limits.patience.longest_s:g} s, then it gets 503 with Retry-After. A calculation ends after "
            f"{MOST_S:g} s of processor time, or when the client has disconnected",
        ),
        ("Rate of a body", f"at least {LEAST_BYTES_PER_S // 1000} kB a second after {SLOW_START_S} s, else 408"),
        ("Parts of a train", str(MOST_ELEMENTS)),
        (
            "Rows of a table",
            f"{MOST_ROWS:,}; by the contrast model in white light {WHITE_ROWS:,}; by the contrast model half as many with "
            f"optimum_f_number; where lens data are estimated {MOST_ESTIMATED_ROWS:,}, by the contrast model "
            f"{MOST_CONTRAST_ROWS}, in white light {MOST_WHITE_ROWS}",
        ),
        ("Values in a body", f"{MOST_VALUES:,}, and {MOST_NESTED:,} objects and lists"),
        ("Faults listed in a refusal", str(MOST_FAULTS)),
        ("Requests in a time", "no limit here: a proxy before the service may set one, and then answers 429"),
    ]
