"""What `refer` can be asked with: keyword arguments of the client's methods, and what they hold.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from typing import TypedDict

from closeup_client.records.shared_requests import Kit


class KitFields(TypedDict, total=False):
    """A kit to check; without one, this studio's is listed.

    Members
    -------
    kit : Mapping
        What a studio owns, or might buy: at most 5000 parts in all, every id once.
    """

    kit: Kit
