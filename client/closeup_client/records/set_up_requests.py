"""What `set up` can be asked with: keyword arguments of the client's methods, and what they hold.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping, Sequence
from typing import Literal, Required, TypeAlias, TypedDict

from closeup_client.blocks import DataFrame
from closeup_client.records.shared_requests import (
    ApertureSeries,
    ChartFields,
    DetailFields,
    EstimatedLensFields,
    ExposureSettings,
    FrameSettings,
    Kit,
    KnownLensFields,
    LightFields,
    MarkedAperture,
    Mounting,
    MountingFields,
    PrintFields,
    SearchModel,
    SensorFields,
    SetUpDocument,
    SharpnessFields,
    Solve,
    StepsFields,
    SurroundingsFields,
)

FramingBy: TypeAlias = Literal["width", "height", "diagonal"]


class WorkingDistanceFields(MountingFields, KnownLensFields, StepsFields, total=False):
    """One lens at a magnification.

    Members
    -------
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    focal_length_mm : number, needed
        Focal length at the focus setting in use. [mm]
    magnification : number, needed
        Size on the sensor over size of the subject.
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    focusing_extension_mm : number
        How far the focus ring has carried glass and rim out from the infinity stop. [mm]
    principal_plane_separation_mm : number or None
        Front to rear principal plane, signed; negative when they are crossed. For total lengths only. [mm]
    show_steps : True or False
        Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false.
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

    focal_length_mm: Required[float]
    magnification: Required[float]
    front_principal_plane_mm: float | None
    lens_register_mm: float
    focusing_extension_mm: float
    principal_plane_separation_mm: float | None
    estimate_unknown: bool


class EffectiveFNumberFields(MarkedAperture, StepsFields, total=False):
    """One lens at a marked f-number and a magnification.

    Members
    -------
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    f_number : number, needed
        f-number as marked and set on the lens.
    magnification : number, needed
        Size on the sensor over size of the subject.
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    show_steps : True or False
        Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false.
    focal_length_mm : number or None
        Focal length; as engraved, where lens data are estimated. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """


class DepthOfFieldFields(SharpnessFields, StepsFields, total=False):
    """One lens at a marked f-number and a magnification, with what its model of sharpness is measured by.

    Members
    -------
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast asked of the detail, 1 being that of the subject.
    circle_of_confusion_mm : number or None
        Blur accepted on the sensor, as a diameter. [mm]
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    model : 'combined' | 'geometric' | 'wave' | 'contrast'
        Model of the depth of field: geometric blur, a quarter wave of defocus, both added (combined, assumed), or the
        depth over which a detail keeps a contrast.
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    f_number : number, needed
        f-number as marked and set on the lens.
    magnification : number, needed
        Size on the sensor over size of the subject.
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    show_steps : True or False
        Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false.
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """


class DiffractionFields(MarkedAperture, LightFields, PrintFields, SensorFields, StepsFields, total=False):
    """One lens at a marked f-number and a magnification, and what is known of the sensor.

    Members
    -------
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    f_number : number, needed
        f-number as marked and set on the lens.
    magnification : number, needed
        Size on the sensor over size of the subject.
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    circle_of_confusion_mm : number or None
        Blur accepted on the sensor, as a diameter. [mm]
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    sensor_details_lp_per_mm : Sequence of number
        Fineness of the detail, in line pairs per mm on the sensor. Several values; in a query, separated by commas or
        each under the name again.
    subject_details_lp_per_mm : Sequence of number
        Fineness of the detail, in line pairs per mm on the subject. Several values; in a query, separated by commas or
        each under the name again.
    show_steps : True or False
        Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false.
    focal_length_mm : number or None
        Focal length; as engraved, where lens data are estimated. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

    circle_of_confusion_mm: float | None
    pixel_pitch_um: float
    sensor_details_lp_per_mm: Sequence[float]
    subject_details_lp_per_mm: Sequence[float]


class OptimumApertureFields(
    MountingFields, DetailFields, PrintFields, SensorFields, EstimatedLensFields, StepsFields, total=False
):
    """A subject's depth at a magnification, the detail and the blur that count, and the ring's own apertures.

    Members
    -------
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    circle_of_confusion_mm : number or None
        Blur accepted on the sensor, as a diameter. [mm]
    model : 'combined' | 'geometric' | 'wave'
        Model of the depth of field for covering_f_number; assumed combined.
    aperture_series : 'full' | 'half' | 'third'
        Steps of the aperture ring; assumed third.
    least_f_number : number
        Widest aperture of the ring; assumed 2.8.
    greatest_f_number : number
        Smallest aperture of the ring; assumed 22.
    f_numbers : Sequence of number
        f-number as marked and set on the lens. Several values; in a query, separated by commas or each under the name
        again.
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast asked of the detail, 1 being that of the subject.
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    subject_depth_mm : number, needed
        How far the subject stands out towards the lens. [mm]
    magnification : number, needed
        Size on the sensor over size of the subject.
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    show_steps : True or False
        Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false.
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

    circle_of_confusion_mm: float | None
    model: SearchModel
    aperture_series: ApertureSeries
    least_f_number: float
    greatest_f_number: float
    f_numbers: Sequence[float]
    subject_depth_mm: Required[float]
    magnification: Required[float]
    pupil_magnification: float | None
    pixel_pitch_um: float


class FormatEquivalenceFields(MarkedAperture, SensorFields, StepsFields, total=False):
    """One lens on this sensor at a marked f-number and a magnification, the other sensor, and what is known of the lenses.

    Members
    -------
    other_mounting : 'normal' | 'reversed'
        Which way round the lens stands on the other camera; assumed as on this one.
    other_pupil_magnification : number
        Pupil magnification of another lens on the other camera, mounted normally; assumed the same.
    other_focal_length_mm : number
        Focal length of another lens on the other camera; assumed the same lens. [mm]
    other_lens_register_mm : number
        Register of the mount that another lens on the other camera was made for. [mm]
    other_front_principal_plane_mm : number
        Front joining face to front principal plane of another lens on the other camera, positive inwards. [mm]
    other_focusing_extension_mm : number
        How far the focus ring is carried out from the infinity stop on the other camera; assumed not at all. [mm]
    other_camera_register_mm : number
        Register of the other camera: mount flange to sensor. [mm]
    other_sensor : text
        The other sensor's format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a
        measure may be left out or added.
    other_sensor_width_mm : number
        Used width of the other sensor. [mm]
    other_sensor_height_mm : number
        Used height of the other sensor. [mm]
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    f_number : number, needed
        f-number as marked and set on the lens.
    magnification : number, needed
        Size on the sensor over size of the subject.
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    framing_by : 'width' | 'height' | 'diagonal'
        What of the frame shows as much of the subject on both sensors; assumed width.
    circle_of_confusion_mm : number or None
        Blur accepted on this sensor, as a diameter. [mm]
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    show_steps : True or False
        Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false.
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

    other_mounting: Mounting
    other_pupil_magnification: float
    other_focal_length_mm: float
    other_lens_register_mm: float
    other_front_principal_plane_mm: float
    other_focusing_extension_mm: float
    other_camera_register_mm: float
    other_sensor: str
    other_sensor_width_mm: float
    other_sensor_height_mm: float
    framing_by: FramingBy
    circle_of_confusion_mm: float | None
    front_principal_plane_mm: float | None


class ExposureOfSetUpFields(ExposureSettings, total=False):
    """An exposure whose planned frame is taken with the set-up of the document.

    Members
    -------
    reference : Frame, needed
        The frame that was right: its settings, and its aperture unless a set-up gives it.
    unknown : 'exposure_time_s' | 'iso' | 'flash_power' | 'flash_distance_mm' | 'f_number', needed
        Setting of the planned frame to solve.
    light : 'continuous' | 'flash'
        Light that exposes the frames: flash (assumed where anything of a flash is given), or continuous.
    flash_scale : FlashScale
        The scale of the head's power setting, and its range; a dial needs all but the step.
    sync_time_s : number
        Shortest exposure time in which the whole frame is open to the flash, as the camera's maker states it. [s]
    ambient : Ambient
        Ambient light: a meter's exposure value, or a test frame without flash, at the planned settings unless it says
        else.
    finder : Finder
        The lens's widest mark, and the mark at which one looks and focuses.
    magnifications : Sequence of number
        Size on the sensor over size of the subject. Several values; in a query, separated by commas or each under the
        name again.
    planned : FrameSettings
        What changes in the planned frame beside the set-up; the unknown is left out.
    """

    planned: FrameSettings


class OpeningOfSetUp(TypedDict, total=False):
    """Where an opening stands before the front of the set-up, and how wide it is.

    Members
    -------
    distance_mm : number, needed
        Front joining face of the set-up, towards the subject. [mm]
    opening_diameter_mm : number
        Diameter of the round opening: hood, guard, ring light, hole of a diffuser. [mm]
    """

    distance_mm: Required[float]
    opening_diameter_mm: float


class WholeSetUp(SurroundingsFields, SetUpDocument, total=False):
    """An optical train, from the subject to the camera.

    Members
    -------
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast asked of the detail, 1 being that of the subject.
    subject_kind : 'still' | 'living' | 'person' | 'wet-specimen' | 'fluid-specimen'
        What the subject is, for the cautions: still and dry, living, a person, a wet specimen, or one in preserving
        fluid.
    light_source : 'sun' | 'lamp' | 'ultraviolet-lamp' | 'laser'
        What lights the subject beside any flash, for the cautions.
    mains_powered : True or False
        Whether a lamp or flash runs on mains power, for the cautions.
    modelling_lamp_distance_mm : number
        Modelling lamp, or another hot lamp, to the nearest thing that it lights, for the cautions. [mm]
    least_lamp_distance_mm : number
        Least distance that the lamp's maker allows, for the cautions. [mm]
    duty_limit_pops : number
        Flashes one after the other that the flash head's maker allows, for the cautions.
    old_flash : True or False
        Whether the flash is an old unit whose trigger voltage is not known, for the cautions.
    trigger_voltage_v : number
        Voltage on the contacts that join the flash to the camera, for the cautions. [V]
    trigger_limit_v : number
        Highest trigger voltage that the camera's maker allows, for the cautions. [V]
    camera : Camera, needed
        The camera: one of the kit's, or its register and what is known of its sensor.
    train : Sequence of Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart, needed
        What light passes, subject first.
    depth_of_field_model : 'combined' | 'geometric' | 'wave' | 'contrast'
        Model of the depth of field: geometric blur, a quarter wave of defocus, both added (combined, assumed), or the
        depth over which a detail keeps a contrast.
    subject_depth_mm : number
        How far the subject stands out towards the lens. [mm]
    solve : Solve
        Solve one open length of the train, left out there, for a target.
    exposure : ExposureOfSetUpFields
        An exposure whose planned frame is taken with the set-up of the document.
    clear_opening : OpeningOfSetUp
        Where an opening stands before the front of the set-up, and how wide it is.
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    kit : Mapping
        What a studio owns, or might buy: at most 5000 parts in all, every id once.
    """

    solve: Solve
    exposure: ExposureOfSetUpFields
    clear_opening: OpeningOfSetUp
    kit: Kit


class SetUpFields(WholeSetUp, StepsFields, total=False):
    """An optical train, from the subject to the camera.

    Members
    -------
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast asked of the detail, 1 being that of the subject.
    subject_kind : 'still' | 'living' | 'person' | 'wet-specimen' | 'fluid-specimen'
        What the subject is, for the cautions: still and dry, living, a person, a wet specimen, or one in preserving
        fluid.
    light_source : 'sun' | 'lamp' | 'ultraviolet-lamp' | 'laser'
        What lights the subject beside any flash, for the cautions.
    mains_powered : True or False
        Whether a lamp or flash runs on mains power, for the cautions.
    modelling_lamp_distance_mm : number
        Modelling lamp, or another hot lamp, to the nearest thing that it lights, for the cautions. [mm]
    least_lamp_distance_mm : number
        Least distance that the lamp's maker allows, for the cautions. [mm]
    duty_limit_pops : number
        Flashes one after the other that the flash head's maker allows, for the cautions.
    old_flash : True or False
        Whether the flash is an old unit whose trigger voltage is not known, for the cautions.
    trigger_voltage_v : number
        Voltage on the contacts that join the flash to the camera, for the cautions. [V]
    trigger_limit_v : number
        Highest trigger voltage that the camera's maker allows, for the cautions. [V]
    camera : Camera, needed
        The camera: one of the kit's, or its register and what is known of its sensor.
    train : Sequence of Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart, needed
        What light passes, subject first.
    depth_of_field_model : 'combined' | 'geometric' | 'wave' | 'contrast'
        Model of the depth of field: geometric blur, a quarter wave of defocus, both added (combined, assumed), or the
        depth over which a detail keeps a contrast.
    subject_depth_mm : number
        How far the subject stands out towards the lens. [mm]
    solve : Solve
        Solve one open length of the train, left out there, for a target.
    exposure : ExposureOfSetUpFields
        An exposure whose planned frame is taken with the set-up of the document.
    clear_opening : OpeningOfSetUp
        Where an opening stands before the front of the set-up, and how wide it is.
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    kit : Mapping
        What a studio owns, or might buy: at most 5000 parts in all, every id once.
    show_steps : True or False
        Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false.
    """


class DrawingFields(WholeSetUp, ChartFields, total=False):
    """The set-up document of /v1/set-ups/evaluate, and how wide it is to be drawn.

    Members
    -------
    width_px : whole number
        Width of the drawing; text keeps its size. Assumed 360, which a telephone shows without loss. [px]
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast asked of the detail, 1 being that of the subject.
    subject_kind : 'still' | 'living' | 'person' | 'wet-specimen' | 'fluid-specimen'
        What the subject is, for the cautions: still and dry, living, a person, a wet specimen, or one in preserving
        fluid.
    light_source : 'sun' | 'lamp' | 'ultraviolet-lamp' | 'laser'
        What lights the subject beside any flash, for the cautions.
    mains_powered : True or False
        Whether a lamp or flash runs on mains power, for the cautions.
    modelling_lamp_distance_mm : number
        Modelling lamp, or another hot lamp, to the nearest thing that it lights, for the cautions. [mm]
    least_lamp_distance_mm : number
        Least distance that the lamp's maker allows, for the cautions. [mm]
    duty_limit_pops : number
        Flashes one after the other that the flash head's maker allows, for the cautions.
    old_flash : True or False
        Whether the flash is an old unit whose trigger voltage is not known, for the cautions.
    trigger_voltage_v : number
        Voltage on the contacts that join the flash to the camera, for the cautions. [V]
    trigger_limit_v : number
        Highest trigger voltage that the camera's maker allows, for the cautions. [V]
    camera : Camera, needed
        The camera: one of the kit's, or its register and what is known of its sensor.
    train : Sequence of Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart, needed
        What light passes, subject first.
    depth_of_field_model : 'combined' | 'geometric' | 'wave' | 'contrast'
        Model of the depth of field: geometric blur, a quarter wave of defocus, both added (combined, assumed), or the
        depth over which a detail keeps a contrast.
    subject_depth_mm : number
        How far the subject stands out towards the lens. [mm]
    solve : Solve
        Solve one open length of the train, left out there, for a target.
    exposure : ExposureOfSetUpFields
        An exposure whose planned frame is taken with the set-up of the document.
    clear_opening : OpeningOfSetUp
        Where an opening stands before the front of the set-up, and how wide it is.
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    kit : Mapping
        What a studio owns, or might buy: at most 5000 parts in all, every id once.
    """


class FrameDrawingFields(WholeSetUp, ChartFields, total=False):
    """The set-up document of /v1/set-ups/evaluate, the subject's measures, and how wide it is to be drawn.

    Members
    -------
    width_px : whole number
        Width of the drawing; text keeps its size. Assumed 360, which a telephone shows without loss. [px]
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast asked of the detail, 1 being that of the subject.
    subject_kind : 'still' | 'living' | 'person' | 'wet-specimen' | 'fluid-specimen'
        What the subject is, for the cautions: still and dry, living, a person, a wet specimen, or one in preserving
        fluid.
    light_source : 'sun' | 'lamp' | 'ultraviolet-lamp' | 'laser'
        What lights the subject beside any flash, for the cautions.
    mains_powered : True or False
        Whether a lamp or flash runs on mains power, for the cautions.
    modelling_lamp_distance_mm : number
        Modelling lamp, or another hot lamp, to the nearest thing that it lights, for the cautions. [mm]
    least_lamp_distance_mm : number
        Least distance that the lamp's maker allows, for the cautions. [mm]
    duty_limit_pops : number
        Flashes one after the other that the flash head's maker allows, for the cautions.
    old_flash : True or False
        Whether the flash is an old unit whose trigger voltage is not known, for the cautions.
    trigger_voltage_v : number
        Voltage on the contacts that join the flash to the camera, for the cautions. [V]
    trigger_limit_v : number
        Highest trigger voltage that the camera's maker allows, for the cautions. [V]
    camera : Camera, needed
        The camera: one of the kit's, or its register and what is known of its sensor.
    train : Sequence of Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart, needed
        What light passes, subject first.
    depth_of_field_model : 'combined' | 'geometric' | 'wave' | 'contrast'
        Model of the depth of field: geometric blur, a quarter wave of defocus, both added (combined, assumed), or the
        depth over which a detail keeps a contrast.
    subject_depth_mm : number
        How far the subject stands out towards the lens. [mm]
    solve : Solve
        Solve one open length of the train, left out there, for a target.
    exposure : ExposureOfSetUpFields
        An exposure whose planned frame is taken with the set-up of the document.
    clear_opening : OpeningOfSetUp
        Where an opening stands before the front of the set-up, and how wide it is.
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    kit : Mapping
        What a studio owns, or might buy: at most 5000 parts in all, every id once.
    subject_width_mm : number, needed
        Width of the subject itself. [mm]
    subject_height_mm : number or None
        Height of the subject itself; assumed its width. [mm]
    """

    subject_width_mm: Required[float]
    subject_height_mm: float | None


class SheetFields(WholeSetUp, total=False):
    """The set-up document of /v1/set-ups/evaluate, and what stands above the sheet.

    Members
    -------
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast asked of the detail, 1 being that of the subject.
    subject_kind : 'still' | 'living' | 'person' | 'wet-specimen' | 'fluid-specimen'
        What the subject is, for the cautions: still and dry, living, a person, a wet specimen, or one in preserving
        fluid.
    light_source : 'sun' | 'lamp' | 'ultraviolet-lamp' | 'laser'
        What lights the subject beside any flash, for the cautions.
    mains_powered : True or False
        Whether a lamp or flash runs on mains power, for the cautions.
    modelling_lamp_distance_mm : number
        Modelling lamp, or another hot lamp, to the nearest thing that it lights, for the cautions. [mm]
    least_lamp_distance_mm : number
        Least distance that the lamp's maker allows, for the cautions. [mm]
    duty_limit_pops : number
        Flashes one after the other that the flash head's maker allows, for the cautions.
    old_flash : True or False
        Whether the flash is an old unit whose trigger voltage is not known, for the cautions.
    trigger_voltage_v : number
        Voltage on the contacts that join the flash to the camera, for the cautions. [V]
    trigger_limit_v : number
        Highest trigger voltage that the camera's maker allows, for the cautions. [V]
    camera : Camera, needed
        The camera: one of the kit's, or its register and what is known of its sensor.
    train : Sequence of Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart, needed
        What light passes, subject first.
    depth_of_field_model : 'combined' | 'geometric' | 'wave' | 'contrast'
        Model of the depth of field: geometric blur, a quarter wave of defocus, both added (combined, assumed), or the
        depth over which a detail keeps a contrast.
    subject_depth_mm : number
        How far the subject stands out towards the lens. [mm]
    solve : Solve
        Solve one open length of the train, left out there, for a target.
    exposure : ExposureOfSetUpFields
        An exposure whose planned frame is taken with the set-up of the document.
    clear_opening : OpeningOfSetUp
        Where an opening stands before the front of the set-up, and how wide it is.
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    kit : Mapping
        What a studio owns, or might buy: at most 5000 parts in all, every id once.
    heading : text
        What stands above the sheet; assumed the set-up in a few words.
    """

    heading: str


class TableFields(SetUpDocument, total=False):
    """A set-up, the columns of its members that vary, and what is asked of every row.

    Members
    -------
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast asked of the detail, 1 being that of the subject.
    camera : Camera, needed
        The camera: one of the kit's, or its register and what is known of its sensor.
    train : Sequence of Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart, needed
        What light passes, subject first.
    depth_of_field_model : 'combined' | 'geometric' | 'wave' | 'contrast'
        Model of the depth of field: geometric blur, a quarter wave of defocus, both added (combined, assumed), or the
        depth over which a detail keeps a contrast.
    subject_depth_mm : number
        How far the subject stands out towards the lens. [mm]
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    kit : Mapping
        What a studio owns, or might buy: at most 5000 parts in all, every id once.
    columns : JSON pointers with their columns, needed
        Values of members of the set-up, row by row, by JSON pointer; which members there are the whole request knows.
    fields : Sequence of text, needed
        What is asked of every row, by the names of /v1/set-ups/evaluate's answer, dotted.
    """

    kit: Kit
    columns: Required[Mapping[str, Sequence[float] | Sequence[str]] | DataFrame]
    fields: Required[Sequence[str]]
