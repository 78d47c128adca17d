"""What `refer` can be asked with: keyword arguments of the client's methods, and what they hold.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from typing import TypedDict

from closeup_client.records.shared_requests import Kit, Mounting


class KitFields(TypedDict, total=False):
    """A kit to check; without one, this studio's is listed. What lenses lack is told at one set-up.

    Members
    -------
    camera : text
        Camera of the kit on which lenses that lack data are told; assumed the first.
    mounting : 'normal' | 'reversed'
        Which way round they stand on it; assumed reversed.
    extension_mm : number or None
        Everything between them and the camera: rings, adapters, bellows; assumed 0. [mm]
    kit : Mapping
        What a studio owns, or might buy: at most 5000 parts in all, every id once.
    """

    camera: str
    mounting: Mounting
    extension_mm: float | None
    kit: Kit
