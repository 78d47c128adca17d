"""What the physics names, as JSON pointers (RFC 6901) into the request."""


def as_pointer(member: str) -> str:
    """Pointer to a member that is named by itself; a pointer stays."""
    return member if member.startswith("/") else f"/{member}"
