"""Every operation of the service, in the order of the documentation; each module is loaded when it is asked for."""

from functools import cache
from importlib import import_module
from typing import NamedTuple

from closeup_service.language import ENGLISH, speaking
from closeup_service.operations.operation import Operation

CHARTS = "/v1/charts"


class Place(NamedTuple):
    """Where an operation is: its id, its path, and the module below this package that holds it."""

    operation_id: str
    path: str
    module: str


PLACES = (
    Place("findMagnification", "/v1/magnification", "plan.magnification.operation"),
    Place("findWorkingDistance", "/v1/working-distance", "set_up.working_distance.operation"),
    Place("findEffectiveFNumber", "/v1/effective-f-number", "set_up.effective_f_number.operation"),
    Place("findDepthOfField", "/v1/depth-of-field", "set_up.depth_of_field.operation"),
    Place("findDiffraction", "/v1/diffraction", "set_up.diffraction.operation"),
    Place("findOptimumAperture", "/v1/optimum-aperture", "set_up.optimum_aperture.operation"),
    Place("findFormatEquivalence", "/v1/format-equivalence", "set_up.format_equivalence.operation"),
    Place("findExposure", "/v1/exposure", "light.exposure.operation"),
    Place("findFlash", "/v1/flash", "light.flash.operation"),
    Place("findClearOpening", "/v1/clear-opening", "light.clear_opening.operation"),
    Place("findMotionBlur", "/v1/motion-blur", "shoot.motion_blur.operation"),
    Place("findFocusStack", "/v1/focus-stack", "shoot.focus_stack.operation"),
    Place("readScale", "/v1/scale-reading", "measure.scale_reading.operation"),
    Place("readScalePhoto", "/v1/scale-reading/photo", "measure.scale_photo.operation"),
    Place("compareScalePhotos", "/v1/scale-reading/comparison", "measure.scale_comparison.operation"),
    Place("drawScaleBar", "/v1/scale-bar", "measure.scale_bar.operation"),
    Place("calibrateLens", "/v1/lens-calibration", "measure.lens_calibration.operation"),
    Place("estimateLens", "/v1/lens-estimate", "measure.lens_estimate.operation"),
    Place("findRingChains", "/v1/ring-chains", "plan.ring_chains.operation"),
    Place("evaluateSetUp", "/v1/set-ups/evaluate", "set_up.evaluate.operation"),
    Place("drawSetUp", "/v1/set-ups/drawing", "set_up.drawing.operation"),
    Place("drawFrame", "/v1/set-ups/frame-drawing", "set_up.frame_drawing.operation"),
    Place("printSetUp", "/v1/set-ups/sheet", "set_up.sheet.operation"),
    Place("searchSetUps", "/v1/set-ups/search", "plan.search.operation"),
    Place("tabulateSetUp", "/v1/set-ups/table", "set_up.table.operation"),
    Place("chartApertures", "/v1/charts/aperture", "chart.aperture_chart.operation"),
    Place("chartMagnifications", "/v1/charts/magnification", "chart.magnification_chart.operation"),
    Place("chartFocusStack", "/v1/charts/stack", "chart.stack_chart.operation"),
    Place("chartCalibration", "/v1/charts/calibration", "chart.calibration_chart.operation"),
    Place("listSensors", "/v1/catalogue/sensors", "refer.catalogue.operation"),
    Place("listMounts", "/v1/catalogue/mounts", "refer.catalogue.operation"),
    Place("listThreads", "/v1/catalogue/threads", "refer.catalogue.operation"),
    Place("listLensClasses", "/v1/catalogue/lens-classes", "refer.catalogue.lens_classes"),
    Place("listCautions", "/v1/cautions", "refer.cautions.operation"),
    Place("listKit", "/v1/kit", "refer.kit.operation"),
)

_BY_ID = {place.operation_id: place for place in PLACES}
_BY_PATH = {place.path: place for place in PLACES}


@cache
def operation_named(operation_id: str) -> Operation:
    """Return the operation of an id; KeyError where there is none."""
    return _loaded(_BY_ID[operation_id])


@cache
def operation_at(path: str) -> Operation:
    """Return the operation at a path; KeyError where there is none."""
    return _loaded(_BY_PATH[path])


@cache
def operations() -> tuple[Operation, ...]:
    """Load and return all of them."""
    return tuple(map(_loaded, PLACES))


@cache
def command_name(path: str) -> str:
    """Last part of a path, of a chart with that word; below the path of another operation, in two words with that one's."""
    above, _, last = path.rpartition("/")
    if above == CHARTS:
        return f"{last}-chart"
    return f"{command_name(above)} {last}" if above in _BY_PATH else last


@cache
def _loaded(place: Place) -> Operation:
    with speaking(ENGLISH):
        module = import_module(f"{__package__}.{place.module}")
    found: tuple[Operation, ...] = getattr(module, "OPERATIONS", None) or (module.OPERATION,)
    return next(each for each in found if (each.operation_id, each.path) == (place.operation_id, place.path))
