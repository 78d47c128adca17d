"""The sums of close-up photography, asked of the closeup-optics service.

>>> from closeup_client import Client, camera, lens, spacer
>>> with Client("http://127.0.0.1:8000") as client:
...     answer = client.evaluate(
...         camera=camera(register_mm=18.0, sensor="23.5x15.6"),
...         train=[lens(focal_length_mm=50, f_number=8, register_mm=45.46), spacer(length_mm=77.46)],
...     )
...     print(answer.magnification)
"""

from closeup_client.client import Client
from closeup_client.errors import *
from closeup_client.parts import *
from closeup_client.photographs import Photograph
from closeup_client.records.chart_answers import *
from closeup_client.records.chart_requests import *
from closeup_client.records.light_answers import *
from closeup_client.records.light_requests import *
from closeup_client.records.measure_answers import *
from closeup_client.records.measure_requests import *
from closeup_client.records.plan_answers import *
from closeup_client.records.plan_requests import *
from closeup_client.records.refer_answers import *
from closeup_client.records.refer_requests import *
from closeup_client.records.set_up_answers import *
from closeup_client.records.set_up_requests import *
from closeup_client.records.shared_answers import *
from closeup_client.records.shared_requests import *
from closeup_client.records.shoot_answers import *
from closeup_client.records.shoot_requests import *

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
