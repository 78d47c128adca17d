"""The limits of the service as the documentation states them."""

from closeup_service.operations.asking.limits import BYTES_PER_MIB, LONGEST_LINE, MEGABYTE, MEGAPIXEL, Limits
from closeup_service.operations.operation import MOST_CONTENT_BYTES
from closeup_service.operations.registry import operations
from closeup_service.operations.set_up.evaluate.schemas import MOST_ELEMENTS
from closeup_service.operations.set_up.table.schemas import MOST_ROWS


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
            f"{limits.most_pixels / MEGAPIXEL:g} megapixels, one at a time in each process; another waits for up to "
            f"{limits.patience.longest_s:g} s, then it gets 503 with Retry-After",
        ),
        ("Parts of a train", str(MOST_ELEMENTS)),
        ("Rows of a table", f"{MOST_ROWS:,}"),
        ("Requests in a time", "no limit here: a proxy before the service may set one, and then answers 429"),
    ]
