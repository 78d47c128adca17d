"""Where each public name is defined; a test holds it against the modules."""

from collections.abc import Mapping
from importlib import import_module
from types import ModuleType

from closeup_client.member_lists import describe

# fmt: off
MODULES: Mapping[str, tuple[str, ...]] = {
    "answer": (
        "Answer", "Caution", "Remark", "Step", "StepInput", "WorkedAnswer",
    ),
    "catalogue_results": (
        "CautionRecord", "MountRecord", "Record", "SensorRecord", "ThreadRecord",
    ),
    "chart_fields": (
        "ApertureChartFields", "CalibrationChartFields", "ChartFields", "MagnificationChartFields",
        "StackChartFields",
    ),
    "chart_results": (
        "ApertureChartAnswer", "ApertureChartRow", "CalibrationChartAnswer", "CalibrationChartLens",
        "CalibrationChartRow", "ChartAnswer", "MagnificationChartAnswer", "MagnificationChartRow",
        "StackChartAnswer", "StackChartRow",
    ),
    "client": (
        "Client",
    ),
    "drawing_fields": (
        "DrawingFields", "FrameDrawingFields", "SheetFields",
    ),
    "drawing_results": (
        "DrawingAnswer", "DrawnPart", "FrameDrawingAnswer", "PlacesAnswer", "SheetAnswer",
    ),
    "elements": (
        "CloseUpLens", "CloseUpLensFields", "Element", "KitPart", "KitPartFields", "Lens", "LensFields",
        "LensParameter", "LensUncertainty", "Objective", "ObjectiveFields", "Spacer", "SpacerFields",
        "Teleconverter", "TeleconverterFields", "close_up_lens", "kit_part", "lens", "objective", "spacer",
        "teleconverter",
    ),
    "errors": (
        "AnswerNotUnderstood", "CloseupError", "FieldFault", "ServiceRefused", "ServiceUnreachable",
    ),
    "exposure_fields": (
        "Ambient", "ExposureOfSetUpFields", "ExposureSettings", "Finder", "FlashScale", "Frame",
        "FrameLightKind", "FrameSettings", "PowerKind", "Setting",
    ),
    "exposure_results": (
        "AmbientLight", "Exposure", "ExposureAnswer", "ExposureRow", "FinderLight", "FlashPower",
        "FrameLight", "PlannedFrame", "PowerWay", "StopsBySetting",
    ),
    "fields": (
        "ApertureSeries", "Camera", "ClearOpeningFields", "DepthModel", "DepthOfFieldFields", "DetailFields",
        "DiffractionFields", "EffectiveFNumberFields", "ExposureFields", "FlashFields", "FlashShape",
        "FocusStackFields", "FormatEquivalenceFields", "FrameSetUp", "FramingBy", "Light", "LightFields",
        "LightSource", "MagnificationFields", "MarkedAperture", "MotionBlurFields", "OpeningOfSetUp",
        "OptimumApertureFields", "PrintFields", "RingMoves", "SetUpDocument", "SetUpFields",
        "SharpnessFields", "Solve", "StackFields", "StackMethod", "SubjectKind", "SurroundingsFields",
        "TableFields", "Target", "WholeSetUp", "WorkingDistanceFields", "camera", "solve",
    ),
    "gear_fields": (
        "Arrangement", "Gender", "Kit", "KitFields", "MountSide", "RingChainsFields", "SearchCamera",
        "SearchFields", "SearchModel",
    ),
    "gear_results": (
        "Criteria", "KitAnswer", "Purchase", "Relaxation", "RingChain", "RingChainsAnswer", "SearchAnswer",
        "SearchHit",
    ),
    "measuring_fields": (
        "CalibrationFrame", "ErrorModel", "ImageType", "Leg", "LensCalibrationFields", "MarksAre",
        "MeasuredFrames", "MeasuredLensFields", "ScaleBarFields", "ScaleBasis", "ScaleComparisonFields",
        "ScalePhotoFields", "ScaleReadingFields", "UsedSensorFields", "ZoomSetting",
    ),
    "measuring_results": (
        "AddedFrames", "ColourShift", "ComparedFrame", "ComparedZone", "Contribution", "FrameResidual",
        "LensCalibrationAnswer", "LensEstimate", "LensMembers", "MeasuredLens", "MeasuredUncertainty",
        "OtherLeg", "ScaleBarAnswer", "ScaleComparisonAnswer", "ScalePhotoAnswer", "ScaleReadingAnswer",
        "SettingLens", "ZoneSharpness",
    ),
    "photographs": (
        "Photograph",
    ),
    "results": (
        "ApertureContrast", "ClearOpening", "ClearOpeningAnswer", "DepthOfField", "DepthOfFieldAnswer",
        "DetailContrast", "Diffraction", "DiffractionAnswer", "EffectiveFNumberAnswer", "FlashAnswer",
        "FocusStackAnswer", "FormatEquivalenceAnswer", "MagnificationAnswer", "MotionBlurAnswer",
        "OptimumApertureAnswer", "WorkingDistanceAnswer",
    ),
    "set_up_results": (
        "SetUpAnswer", "SetUpResults", "SetUpUncertainty", "Solved", "TableAnswer",
    ),
    "shared_fields": (
        "Mounting", "MountingFields", "SensorFields", "StepsFields",
    ),
}
# fmt: on


def neighbours(name: str) -> dict[str, object]:
    """Load the module of a public name, and return its public names, records with their members described."""
    home, names = next((module, names) for module, names in MODULES.items() if name in names)
    loaded = module(home)
    described = {each: getattr(loaded, each) for each in names}
    describe(described.values())
    return described


def module(home: str) -> ModuleType:
    """Load a module."""
    return import_module(f"closeup_client.{home}")
