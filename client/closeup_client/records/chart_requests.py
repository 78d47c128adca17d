"""What `chart` can be asked with: keyword arguments of the client's methods, and what they hold.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Sequence
from typing import Required

from closeup_client.records.shared_requests import (
    ApertureSeries,
    ChartFields,
    Kit,
    MeasuredFrames,
    SetUpDocument,
    StackFields,
)


class ApertureChartFields(ChartFields, SetUpDocument, total=False):
    """A set-up, and the marks of the ring that is turned.

    Members
    -------
    aperture_series : 'full' | 'half' | 'third'
        Steps of the aperture ring; assumed third.
    least_f_number : number
        Widest aperture of the ring; assumed 2.8.
    greatest_f_number : number
        Smallest aperture of the ring; assumed 22.
    f_numbers : Sequence of number
        f-number as marked and set on the lens. Several values; in a query, separated by commas or each under the name
        again.
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
    along : text
        JSON pointer of the f_number that is turned through the ring; assumed that of the part whose stop governs.
    """

    aperture_series: ApertureSeries
    least_f_number: float
    greatest_f_number: float
    f_numbers: Sequence[float]
    kit: Kit
    along: str


class MagnificationChartFields(ChartFields, SetUpDocument, total=False):
    """A set-up, and the length that varies.

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
    along : text, needed
        JSON pointer of the length that varies: a spacer's length_mm, or a lens's focusing_extension_mm. It may be left
        out of the train.
    minimum : number
        Least length of the chart; assumed the part's, or 0. [mm]
    maximum : number
        Greatest length of the chart; assumed the part's, or twice the length given, or 100 mm, or of focusing the focal
        length. [mm]
    points : whole number
        How many values the curve is worked out for; assumed 25.
    """

    kit: Kit
    along: Required[str]
    minimum: float
    maximum: float
    points: int


class StackChartFields(StackFields, ChartFields, total=False):
    """A focus stack as /v1/focus-stack takes it.

    Members
    -------
    width_px : whole number
        Width of the drawing; text keeps its size. Assumed 360, which a telephone shows without loss. [px]
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
    subject_depth_mm : number, needed
        How far the subject stands out towards the lens. [mm]
    method : 'rail' | 'ring'
        What moves: a rail under camera and lens together (assumed), or the focus ring or a standard of the bellows.
    overlap : number or None
        Least share of the depth between two neighbouring frames that both are sharp over; assumed 0.2.
    ring_moves : 'lens' | 'rear-standard'
        What focusing moves, for method ring: the whole lens before a camera that stands still (assumed), by its focus
        ring or by the front standard of a bellows, which carries a reversed lens too; or the rear standard with the
        sensor behind a lens that stands still.
    rail_step_um : number
        Least step of the rail; moves are whole steps. [um]
    clearance_mm : number or None
        What is left between the subject's nearest point and what stands out in front, focused on that point. [mm]
    settle_s : number
        Wait after each move until nothing trembles. [s]
    exposure_time_s : number
        How long the shutter is open. [s]
    flash_recycle_s : number
        Wait until the flash is charged again. [s]
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


class CalibrationChartFields(MeasuredFrames, ChartFields, total=False):
    """Frames of one lens, or of a zoom, as /v1/lens-calibration takes them.

    Members
    -------
    width_px : whole number
        Width of the drawing; text keeps its size. Assumed 360, which a telephone shows without loss. [px]
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    frames : Sequence of CalibrationFrame
        Frames of a ruler at different extensions; three or more tell their own scatter.
    focal_length_mm : number or None
        Focal length, known beforehand; one frame alone needs it, more frames find it. [mm]
    focal_length_uncertainty_mm : number
        Standard uncertainty of the focal length; if not given, it is taken as exact. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    entrance_pupil_diameter_uncertainty_mm : number
        Standard uncertainty of the entrance pupil's diameter. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear. [mm]
    exit_pupil_diameter_uncertainty_mm : number
        Standard uncertainty of the exit pupil's diameter. [mm]
    reference_f_number : number
        An f-number of this lens that is known, to compare an unknown one with by its light at equal magnification.
    reference_light_loss_stops : number
        Stops by which the unknown f-number gives less light than the known one at equal magnification. [stops]
    reference_light_loss_uncertainty_stops : number
        Standard uncertainty of those stops. [stops]
    camera_register_mm : number
        Register of the camera: mount flange to sensor. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for; held against the frames, with the play of the infinity stop as
        its standard uncertainty. [mm]
    infinity_stop_play_mm : number
        Standard uncertainty of where the infinity stop puts the lens, against its register; assumed 0.2 mm. [mm]
    error_model : 'constant' | 'relative'
        Where no uncertainties are given: whether all magnifications err alike, or in proportion to their size. Assumed
        constant.
    least_extension_mm : number
        Least extension that further frames can have; assumed the least of the present ones. [mm]
    greatest_extension_mm : number
        Greatest extension that further frames can have; assumed the greatest of the present ones. [mm]
    settings : Sequence of ZoomSetting
        Settings of a zoom, instead of frames.
    interpolate_at : number
        Setting within those measured whose lens is wanted.
    """
