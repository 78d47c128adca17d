"""The lesson: its sums, worked out by the service itself out of the invented kit."""

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct

from closeup_service.gear.kit import Camera, Setting
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.operations.asking.strict_json import JsonObject
from closeup_service.operations.registry import operation_named
from closeup_service.pages.asking import Studio
from closeup_service.schemas.kit import demo_kit

CAMERA, WIDE, NORMAL = "field-camera", "wide-35", "normal-50"
MARKED = 8
MARKS = (4, 8, 16)
NORMAL_MAGNIFICATIONS = (0.5, 1, 2)
REVERSED_MAGNIFICATIONS = (1.5, 2, 3)
RULER_MARKS_MM = ((20.2, 35.2), (7, 18.5))
READING_ERROR_MM = 0.1
GUIDE_NUMBER_M = 12
FLASH_DISTANCE_MM = 150
REFERENCE_POWER = 1 / 64
SUBJECT_DEPTH_MM = 0.5
DEPTH_MAGNIFICATION = 2
MODELS = ("geometric", "wave", "combined")


class Sum(Struct, frozen=True):
    """One sum: the address of the API that it was asked at, the request, and the answer."""

    path: str
    request: JsonObject
    answer: JsonObject


class Lesson(Struct, frozen=True, dict=True):
    """Every sum of the lesson, each worked out once, and the parts of the invented kit that they are about."""

    studio: Studio

    def work_out(self, operation_id: str, **request: object) -> Sum:
        """Work out one sum."""
        answer = self.studio.ask(operation_id, request)
        assert not isinstance(answer, Refusal)
        return Sum(operation_named(operation_id).path, request, answer)

    @property
    def camera(self) -> Camera:
        """The camera."""
        return demo_kit().cameras_by_id[CAMERA]

    @property
    def wide_lens(self) -> Setting:
        """The lens that is mounted reversed."""
        return setting_of(WIDE)

    @property
    def normal_lens(self) -> Setting:
        """The lens that is mounted normally."""
        return setting_of(NORMAL)

    @property
    def reversed_request(self) -> dict[str, object]:
        """What every sum about the reversed lens states."""
        return {"mounting": "reversed", "pupil_magnification": self.wide_lens.pupil_magnification}

    @property
    def depth_request(self) -> dict[str, object]:
        """What every sum about depth and diffraction states."""
        return {**self.reversed_request, "magnification": DEPTH_MAGNIFICATION}

    @cached_property
    def rulers(self) -> tuple[Sum, ...]:
        """Frames of a ruler."""
        return tuple(self.ruler(first, last) for first, last in RULER_MARKS_MM)

    def ruler(self, first_mm: float, last_mm: float) -> Sum:
        """One frame of a ruler, read at both edges."""
        marks = {"first_mark_mm": first_mm, "last_mark_mm": last_mm, "reading_error_mm": READING_ERROR_MM}
        return self.work_out("readScale", **marks, sensor=self.camera.sensor)

    @cached_property
    def normal_f_numbers(self) -> tuple[Sum, ...]:
        """Effective f-numbers of the lens mounted normally."""
        lens = {"mounting": "normal", "pupil_magnification": self.normal_lens.pupil_magnification, "f_number": MARKED}
        return tuple(self.work_out("findEffectiveFNumber", **lens, magnification=m) for m in NORMAL_MAGNIFICATIONS)

    @cached_property
    def reversed_f_numbers(self) -> tuple[Sum, ...]:
        """Effective f-numbers of the reversed lens."""
        lens = {**self.reversed_request, "f_number": MARKED}
        return tuple(self.work_out("findEffectiveFNumber", **lens, magnification=m) for m in REVERSED_MAGNIFICATIONS)

    @cached_property
    def exposure(self) -> Sum:
        """Flash power of a planned frame, from one that was right."""
        frame = {**self.reversed_request, "f_number": MARKED}
        least, *_, most = REVERSED_MAGNIFICATIONS
        return self.work_out(
            "findExposure",
            reference={**frame, "magnification": least, "flash_power": REFERENCE_POWER},
            planned={**frame, "magnification": most},
            unknown="flash_power",
        )

    @cached_property
    def flash(self) -> Sum:
        """Flash power by guide number."""
        head = {"guide_number_m": GUIDE_NUMBER_M, "flash_distance_mm": FLASH_DISTANCE_MM}
        return self.work_out("findFlash", **self.depth_request, f_number=MARKED, **head)

    @cached_property
    def depths(self) -> tuple[Mapping[str, Sum], ...]:
        """Depth of field at every mark, by every model."""
        return tuple({model: self.depth(mark, model) for model in MODELS} for mark in MARKS)

    def depth(self, mark: float, model: str) -> Sum:
        """Depth of field at one mark, by one model."""
        lens = {**self.depth_request, "f_number": mark, "focal_length_mm": self.wide_lens.focal_length_mm}
        blur = self.camera.circle_of_confusion_mm
        return self.work_out("findDepthOfField", **lens, circle_of_confusion_mm=blur, model=model)

    @cached_property
    def diffraction(self) -> tuple[Sum, ...]:
        """What diffraction leaves at every mark."""
        blur = self.camera.circle_of_confusion_mm
        return tuple(
            self.work_out("findDiffraction", **self.depth_request, f_number=mark, circle_of_confusion_mm=blur)
            for mark in MARKS
        )

    @cached_property
    def optimum(self) -> Sum:
        """Aperture for a subject of some depth."""
        marks = [mark.nominal for mark in self.wide_lens.marks]
        return self.work_out(
            "findOptimumAperture", **self.depth_request, subject_depth_mm=SUBJECT_DEPTH_MM, f_numbers=marks
        )

    @property
    def sums(self) -> tuple[Sum, ...]:
        """All of them."""
        depths = tuple(each for models in self.depths for each in models.values())
        single = (self.exposure, self.flash, self.optimum)
        return (*self.rulers, *self.normal_f_numbers, *self.reversed_f_numbers, *single, *depths, *self.diffraction)


def setting_of(lens_id: str) -> Setting:
    """Only setting of a lens of the kit."""
    lens = next(lens for lens in demo_kit().lenses if lens.id == lens_id)
    return lens.settings[0]
