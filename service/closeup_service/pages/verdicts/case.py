"""What the rules look at: what was asked and answered, and the figures of one picture out of that."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec import Struct

from closeup_service.advice.figures import decimal
from closeup_service.gear.kit import Kit
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.pages.task import Members
from closeup_service.pages.verdicts.words import Span, Words, ends_of, exact_span, statement, words_of


class Told(Struct, frozen=True):
    """Requests and answers by the id of the operation, those of the drawings too."""

    requests: Mapping[str, Members]
    answers: Mapping[str, Members]
    kit: Kit
    ask: Callable[[str, Members], Members | Refusal]

    def answer(self, operation_id: str) -> Members:
        """Answer of an operation; an empty one where it was not asked."""
        return self.answers.get(operation_id, {})

    def request(self, operation_id: str) -> Members:
        """Request of an operation; an empty one where it was not asked."""
        return self.requests.get(operation_id, {})

    def ask_again(self, operation_id: str, members: Members) -> Members:
        """Answer to another request; an empty one where it is refused."""
        answered = self.ask(operation_id, members)
        return {} if isinstance(answered, Refusal) else answered


class Case(Struct, frozen=True):
    """Figures of one picture, each None where it is not known."""

    f_number: float | None = None
    """As marked and set."""
    magnification: Span | None = None
    effective_f_number: Span | None = None
    airy_um: Span | None = None
    """Width of a point that diffraction draws, on the sensor."""
    accepted_um: float | None = None
    """Width of a point that counts as sharp, on the sensor."""
    total_mm: Span | None = None
    subject_depth_mm: float | None = None
    reserve: float = 0.0
    """Share of the depth that frames of a stack overlap by, which a single frame keeps as a reserve too."""
    frames: Span | None = None
    step_mm: Span | None = None
    optimum_f_number: Span | None = None
    covering_f_number: Span | None = None
    """The f-number whose depth of field is as deep as the subject."""
    clearance_mm: Span | None = None
    working_distance_mm: Span | None = None
    frame_width_mm: Span | None = None
    light_loss_stops: Span | None = None
    blur_um: Span | None = None
    """Blur by movement on the sensor."""
    allowed_blur_um: float | None = None
    missing_stops: float | None = None
    """What the flash or the new setting lacks."""

    @property
    def airy_share(self) -> Span | None:
        """Width of a point by diffraction as a share of what counts as sharp."""
        if self.airy_um is None or not self.accepted_um:
            return None
        return self.airy_um.times(1 / self.accepted_um)

    @property
    def room_mm(self) -> Span | None:
        """Free space in front of the lens, or how far the subject is where that is not known."""
        return self.clearance_mm if self.clearance_mm is not None else self.working_distance_mm

    @property
    def words(self) -> Words:
        """Every figure in words, under the name that sentences have for it."""
        loss = self.light_loss_stops
        return {
            "f_number": None if self.f_number is None else f"f/{decimal(self.f_number)}",
            "magnification": words_of(self.magnification, "magnification"),
            "effective": words_of(self.effective_f_number, "effective_f_number"),
            "airy_range": ends_of(self.airy_um, "airy_diameter_um"),
            "airy": words_of(self.airy_um, "airy_diameter_um"),
            "accepted": words_of(exact_span(self.accepted_um), "airy_diameter_um") if self.accepted_um else None,
            "total_range": ends_of(self.total_mm, "total_mm"),
            "total": words_of(self.total_mm, "total_mm"),
            "depth": statement(self.subject_depth_mm, "subject_depth_mm"),
            "clearance": words_of(self.clearance_mm, "clearance_mm"),
            "distance": words_of(self.working_distance_mm, "working_distance_mm"),
            "covering": words_of(self.covering_f_number, "f_number"),
            "blur": words_of(self.blur_um, "sensor_blur_um"),
            "allowed": words_of(exact_span(self.allowed_blur_um), "sensor_blur_um") if self.allowed_blur_um else None,
            "width": words_of(self.frame_width_mm, "subject_width_mm"),
            "loss": words_of(loss, "light_loss_stops") if loss is not None and loss.low > 0 else None,
            "gain": words_of(negate(loss), "light_loss_stops") if loss is not None and loss.high < 0 else None,
            "missing": words_of(exact_span(self.missing_stops), "light_loss_stops") if self.missing_stops else None,
        }


def negate(span: Span) -> Span:
    """The same with the other sign."""
    return Span(-span.value, -span.high, -span.low)


def take_two(*sentences: str) -> tuple[str, ...]:
    """The first two sentences that say something."""
    return tuple(filter(None, sentences))[:2]
