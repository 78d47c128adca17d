"""Requests of `refer`, as they are loaded.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from typing import TypedDict

from closeup_service.gear.kit import Kit


class KitRequest(TypedDict, total=False):
    """A kit to check; without one, this studio's is listed."""

    kit: Kit
