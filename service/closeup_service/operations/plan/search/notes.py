"""`/v1/set-ups/search`: what is worth knowing of what was found."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closeup_service.advice import search_remarks
from closeup_service.advice.remark import Remark
from closeup_service.gear.search.arrangements import Result
from closeup_service.gear.search.left_out import LeftOut, find_left_out
from closeup_service.gear.search.purchases import Bought
from closeup_service.gear.search.request import Request
from closeup_service.operations.plan.search.found import Listing
from closeup_service.operations.plan.search.schemas import MOST_FRONT

if TYPE_CHECKING:
    from closeup_service.records import requests


def remarks_on(asked: Request, result: Result, listing: Listing) -> list[Remark]:
    """What is worth knowing of what was found."""
    found, missing = result.found, find_left_out(asked)
    notes = [*remarks_on_estimates(listing), *remarks_on_lenses(missing, listing)]
    if result.plan.coarse:
        notes.append(search_remarks.merged_lengths(result.plan.resolution))
    if not found.framed:
        frame = asked.magnification / listing.relaxed[0].listed.candidate.magnification if listing.relaxed else None
        notes.append(search_remarks.nearest_frame(frame, some_left_out=missing.any_lens, cut=result.cut))
    elif not found.hits and not found.nearest and listing.relaxed:
        notes.append(search_remarks.several_wishes([each.wish for each in listing.relaxed]))
    if listing.front_length > MOST_FRONT:
        notes.append(search_remarks.cut_front(listing.front_length, MOST_FRONT))
    return notes


def remarks_on_estimates(listing: Listing) -> list[Remark]:
    """What is estimated of lenses, and of which nothing can be told."""
    estimates = listing.estimates
    untold = [
        name for listed in listing.all if listed.is_untold for name in estimates.list_names(listed.candidate.uses)
    ]
    return [
        *search_remarks.estimated_lenses(estimates.names),
        *search_remarks.lenses_to_measure(estimates.measure_first),
        *search_remarks.untold_set_ups(list(dict.fromkeys(untold))),
        *search_remarks.lenses_without_statistics(estimates.no_statistics),
        *search_remarks.contradictory_lenses(estimates.contradictory),
    ]


def remarks_on_lenses(missing: LeftOut, listing: Listing) -> list[Remark]:
    """What the kit does not say of its lenses."""
    unknown = {
        use["use"]
        for listed in listing.all
        if not listed.candidate.sharp_known
        for use in listed.candidate.uses
        if "f_number" in use
    }
    return [
        *search_remarks.unknown_sharpness(sorted(unknown)),
        *search_remarks.lenses_without_marks(
            [name for name in missing.no_marks if name not in listing.estimates.contradictory]
        ),
        *search_remarks.lenses_without_front_plane(
            [name for name in missing.no_front_plane if name not in listing.estimates.measure_first]
        ),
        *search_remarks.lenses_without_front_thread(missing.no_front_thread),
        *search_remarks.lenses_without_rear_plane(missing.no_rear_plane),
        *search_remarks.assumed_pupils(missing.assumed_pupils),
    ]


def remarks_on_purchase(asked: requests.SearchRequest, result: Result, bought: Bought | None) -> list[Remark]:
    """What is worth knowing of the purchase."""
    if bought is None:
        return [] if result.found.hits else [search_remarks.missing_budget()]
    notes = [search_remarks.cut_purchases()] if bought.cut else []
    if bought.purchase is None:
        return [*notes, search_remarks.missing_purchase(asked["budget"])]
    if bought.purchase.price is None:
        notes.append(search_remarks.unknown_price(bought.purchase.part.id))
    return notes
