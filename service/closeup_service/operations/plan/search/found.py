"""`/v1/set-ups/search`: the set-ups that are listed, each worked out once by evaluate."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, cast

from msgspec import Struct
from msgspec.structs import replace

from closeup_service.advice import cautions
from closeup_service.advice.caution_texts import Caution
from closeup_service.estimates.lens_members import ESTIMATE_UNKNOWN
from closeup_service.gear.search.arrangements import Result, document_of, kit_document_of
from closeup_service.gear.search.found import Candidate, shares_of
from closeup_service.gear.search.joints import Use
from closeup_service.gear.search.purchases import Bought
from closeup_service.gear.search.request import Request
from closeup_service.gear.search.score import WISHES
from closeup_service.language import tr, with_decimal_sign
from closeup_service.operations.plan.search.estimates import Estimates
from closeup_service.operations.plan.search.figures import Figures, estimated_figures, known_figures
from closeup_service.operations.plan.search.schemas import MOST_FRONT

if TYPE_CHECKING:
    from closeup_service.records import answers


class Listed(Struct, frozen=True):
    """One set-up of an answer, with its document and what evaluate says of it; the one by the kit where all is in that."""

    candidate: Candidate
    document: Mapping[str, Any]
    figures: Figures
    by_kit: Mapping[str, object] | None

    @property
    def member(self) -> answers.SearchHit:
        """The set-up as it is told, its figures as evaluate gives them."""
        return cast(
            "answers.SearchHit",
            {
                "parts": [words_of(use) for use in self.candidate.uses],
                "score": self.candidate.score,
                "criteria": dict(self.candidate.criteria),
                **self.figures.values,
                "document": self.document,
                **({} if self.by_kit is None else {"kit_document": self.by_kit}),
                **self.figures.ranged,
            },
        )

    @property
    def is_untold(self) -> bool:
        """Whether the lenses differ too much to tell the magnification."""
        return not self.figures.has_magnification

    @property
    def cautions(self) -> list[Caution]:
        """Cautions of the train, and of what is left before the subject."""
        depth = self.document.get("subject_depth_mm")
        clearance = self.figures.least_clearance_mm
        near = (
            []
            if clearance is None or clearance > (depth or 0.0)
            else cautions.near_glass_cautions(float(clearance), depth)
        )
        return [*cautions.train_cautions(self.document["train"]), *near]


class Relaxed(Struct, frozen=True):
    """A wish that nothing meets, by how much that misses it which comes nearest, and that set-up."""

    wish: str
    miss: float
    listed: Listed

    def member(self, asked: Request) -> answers.Relaxation:
        """The same as it is told."""
        wanted = asked.tolerance if self.wish == "tolerance" else asked.wishes[self.wish]
        side = -1.0 if self.wish == "tolerance" else WISHES[self.wish][1]
        known = math.isfinite(self.miss)
        return {
            "wish": self.wish,
            "asked": wanted,
            "nearest": wanted - side * self.miss if known else None,
            "miss": self.miss if known else None,
            "hit": self.listed.member,
        }


class Listing:
    """Everything that an answer lists, each set-up evaluated once."""

    def __init__(self, asked: Request, result: Result, bought: Bought | None, estimates: Estimates) -> None:
        self.estimates = estimates
        self.kit = asked.kit
        self.known: dict[tuple[str, ...], Listed] = {}
        front = result.found.best_of_front(MOST_FRONT)
        self.hits = [self.listed(asked, each) for each in result.found.best]
        self.front = [self.listed(asked, each) for each in front]
        self.front_length = len(result.found.front.all)
        self.relaxed = [
            Relaxed(wish, miss, self.listed(asked, each)) for wish, miss, each in relaxations(asked, result)
        ]
        purchase = None if bought is None else bought.purchase
        self.bought = None if purchase is None else self.listed(purchase.request, purchase.candidate)

    def listed(self, asked: Request, candidate: Candidate) -> Listed:
        """Evaluate a set-up, unless it is listed already."""
        if candidate.name not in self.known:
            self.known[candidate.name] = self.evaluate_set_up(asked, candidate)
        return self.known[candidate.name]

    def evaluate_set_up(self, asked: Request, candidate: Candidate) -> Listed:
        """Evaluate a set-up, for all lenses that its own may be where they are estimated."""
        document = document_of(asked, candidate.uses)
        if not self.estimates.holds_any(candidate.uses):
            return Listed(candidate, document, known_figures(document), self.by_kit(asked, candidate.uses))
        as_stated = replace(
            asked, kit=self.estimates.take_out(asked.kit), light={**asked.light, ESTIMATE_UNKNOWN: True}
        )
        stated = document_of(as_stated, candidate.uses)
        figures = estimated_figures(stated, document, asked.magnification, asked.tolerance)
        return Listed(candidate, stated, figures, self.by_kit(as_stated, candidate.uses))

    def by_kit(self, asked: Request, uses: tuple[Use, ...]) -> Mapping[str, object] | None:
        """Document that names the parts by their ids; None where one of them is not in the kit."""
        return kit_document_of(asked, uses) if all(use["use"] in self.kit.by_id for use in uses) else None

    @property
    def all(self) -> Iterable[Listed]:
        """Every set-up that is listed."""
        return self.known.values()

    @property
    def cautions(self) -> list[Caution]:
        """Cautions of all set-ups listed, each once."""
        return cautions.sort_cautions([note for each in self.all for note in each.cautions])


def words_of(use: Use) -> str:
    """Part by its id, with what is chosen of it."""
    words = [use["use"], use.get("setting"), tr("reversed") if use.get("reversed") else None]
    words += [with_decimal_sign(f"f/{use['f_number']:g}") if "f_number" in use else None]
    words += [with_decimal_sign(f"{use['length_mm']:.4g}mm") if "length_mm" in use else None]
    return " ".join(filter(None, words))


def relaxations(asked: Request, result: Result) -> list[tuple[str, float, Candidate]]:
    """Wishes to relax, each with its miss and the nearest set-up; the least miss against its wish first."""
    found = result.found
    if found.hits:
        return []
    if not found.framed:
        return nearest_frame(asked, result)
    if found.nearest:
        order = sorted(found.nearest.items(), key=lambda each: each[1][0] / shares_of(asked, each[0]))
        return [(wish, miss, candidate) for wish, (miss, candidate) in order]
    if found.nearest_of_all is None:
        return []
    candidate = found.nearest_of_all[1]
    return [(wish, miss, candidate) for wish, miss in candidate.misses if miss > 0]


def nearest_frame(asked: Request, result: Result) -> list[tuple[str, float, Candidate]]:
    """What comes nearest to filling the frame."""
    if result.wider is None or result.wider.nearest_frame is None:
        return []
    candidate = result.wider.nearest_frame[1]
    return [("tolerance", abs(asked.magnification / candidate.magnification - 1) - asked.tolerance, candidate)]
