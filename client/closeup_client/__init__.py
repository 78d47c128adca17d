"""The sums of close-up photography, asked of the closeup-optics service.

>>> from closeup_client import Client, camera, lens, spacer
>>> with Client("http://127.0.0.1:8000") as client:
...     answer = client.evaluate(
...         camera=camera(register_mm=18.0, sensor="23.5x15.6"),
...         train=[lens(focal_length_mm=50, f_number=8, register_mm=45.46), spacer(length_mm=77.46)],
...     )
...     print(answer.magnification)
"""

TYPE_CHECKING = False
"""What type checkers take for true; the module `typing` is not needed for it."""

if TYPE_CHECKING:
    from closeup_client.answer import *
    from closeup_client.catalogue_results import *
    from closeup_client.chart_fields import *
    from closeup_client.chart_results import *
    from closeup_client.client import Client
    from closeup_client.drawing_fields import *
    from closeup_client.drawing_results import *
    from closeup_client.elements import *
    from closeup_client.errors import *
    from closeup_client.exposure_fields import *
    from closeup_client.exposure_results import *
    from closeup_client.fields import *
    from closeup_client.gear_fields import *
    from closeup_client.gear_results import *
    from closeup_client.measuring_fields import *
    from closeup_client.measuring_results import *
    from closeup_client.photographs import Photograph
    from closeup_client.results import *
    from closeup_client.set_up_results import *
    from closeup_client.shared_fields import *
else:  # which type checkers must not see, or no name would be misspelt

    def __getattr__(name: str) -> object:
        """Load the module of a public name, or a module with such names, when it is first asked for (PEP 562)."""
        from closeup_client.homes import MODULES, module, neighbours  # noqa: PLC0415  # for what is asked for alone

        if name in __all__:
            globals().update(neighbours(name))
            return globals()[name]
        if name in MODULES:
            return module(name)
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

    def __dir__() -> list[str]:
        """Return every public name, loaded or not."""
        return sorted({*globals(), *__all__})


# fmt: off
__all__ = [
    "AddedFrames", "Ambient", "AmbientLight", "Answer", "AnswerNotUnderstood", "ApertureChartAnswer",
    "ApertureChartFields", "ApertureChartRow", "ApertureContrast", "ApertureSeries", "Arrangement",
    "CalibrationChartAnswer", "CalibrationChartFields", "CalibrationChartLens", "CalibrationChartRow",
    "CalibrationFrame", "Camera", "Caution", "CautionRecord", "ChartAnswer", "ChartFields", "ClearOpening",
    "ClearOpeningAnswer", "ClearOpeningFields", "Client", "CloseUpLens", "CloseUpLensFields", "CloseupError",
    "ColourShift", "ComparedFrame", "ComparedZone", "Contribution", "Criteria", "DepthModel", "DepthOfField",
    "DepthOfFieldAnswer", "DepthOfFieldFields", "DetailContrast", "DetailFields", "Diffraction", "DiffractionAnswer",
    "DiffractionFields", "DrawingAnswer", "DrawingFields", "DrawnPart", "EffectiveFNumberAnswer",
    "EffectiveFNumberFields", "Element", "ErrorModel", "Exposure", "ExposureAnswer", "ExposureFields",
    "ExposureOfSetUpFields", "ExposureRow", "ExposureSettings", "FieldFault", "Finder", "FinderLight", "FlashAnswer",
    "FlashFields", "FlashPower", "FlashScale", "FlashShape", "FocusStackAnswer", "FocusStackFields",
    "FormatEquivalenceAnswer", "FormatEquivalenceFields", "Frame", "FrameDrawingAnswer", "FrameDrawingFields",
    "FrameLight", "FrameLightKind", "FrameResidual", "FrameSetUp", "FrameSettings", "FramingBy", "Gender", "ImageType",
    "Kit", "KitAnswer", "KitFields", "KitPart", "KitPartFields", "Leg", "Lens", "LensCalibrationAnswer",
    "LensCalibrationFields", "LensEstimate", "LensFields", "LensMembers", "LensParameter", "LensUncertainty", "Light",
    "LightFields", "LightSource", "MagnificationAnswer", "MagnificationChartAnswer", "MagnificationChartFields",
    "MagnificationChartRow", "MagnificationFields", "MarkedAperture", "MarksAre", "MeasuredFrames", "MeasuredLens",
    "MeasuredLensFields", "MeasuredUncertainty", "MotionBlurAnswer", "MotionBlurFields", "MountRecord", "MountSide",
    "Mounting", "MountingFields", "Objective", "ObjectiveFields", "OpeningOfSetUp", "OptimumApertureAnswer",
    "OptimumApertureFields", "OtherLeg", "Photograph", "PlacesAnswer", "PlannedFrame", "PowerKind", "PowerWay", "PrintFields",
    "Purchase", "Record", "Relaxation", "Remark", "RingChain", "RingChainsAnswer", "RingChainsFields", "RingMoves",
    "ScaleBarAnswer", "ScaleBarFields", "ScaleBasis", "ScaleComparisonAnswer", "ScaleComparisonFields",
    "ScalePhotoAnswer", "ScalePhotoFields", "ScaleReadingAnswer", "ScaleReadingFields", "SearchAnswer", "SearchCamera",
    "SearchFields", "SearchHit", "SearchModel", "SensorFields", "SensorRecord", "ServiceRefused", "ServiceUnreachable",
    "SetUpAnswer", "SetUpDocument", "SetUpFields", "SetUpResults", "SetUpUncertainty", "Setting", "SettingLens",
    "SharpnessFields", "SheetAnswer", "SheetFields", "Solve", "Solved", "Spacer", "SpacerFields", "StackChartAnswer",
    "StackChartFields", "StackChartRow", "StackFields", "StackMethod", "Step", "StepInput", "StepsFields",
    "StopsBySetting", "SubjectKind", "SurroundingsFields", "TableAnswer", "TableFields", "Target", "Teleconverter",
    "TeleconverterFields", "ThreadRecord", "UsedSensorFields", "WholeSetUp", "WorkedAnswer", "WorkingDistanceAnswer",
    "WorkingDistanceFields", "ZoneSharpness", "ZoomSetting", "camera", "close_up_lens", "kit_part", "lens", "objective",
    "solve", "spacer", "teleconverter",
]
# fmt: on
