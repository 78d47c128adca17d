"""What `light` can be asked with: keyword arguments of the client's methods, and what they hold.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Sequence
from typing import Required, TypedDict

from closeup_client.records.shared_requests import (
    Camera,
    DepthModel,
    Element,
    EstimatedLensFields,
    ExposureSettings,
    Frame,
    Kit,
    KnownLensFields,
    Light,
    MountingFields,
    SensorFields,
    Solve,
    StepsFields,
    SurroundingsFields,
)


class FrameSetUp(TypedDict, total=False):
    """A set-up that a frame is taken with.

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
    solve : Solve
        Solve one open length of the train, left out there, for a target.
    """

    print_width_mm: float
    viewing_distance_mm: float
    acuity_arcmin: float
    wavelength_nm: float
    light: Light
    pixel_fill: float
    sensor_detail_lp_per_mm: float | None
    subject_detail_lp_per_mm: float
    contrast: float
    camera: Required[Camera]
    train: Required[Sequence[Element]]
    depth_of_field_model: DepthModel
    subject_depth_mm: float
    solve: Solve


class ExposureFields(SurroundingsFields, ExposureSettings, EstimatedLensFields, StepsFields, total=False):
    """A frame that was right, what changes in the next, and which setting is to be found.

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
    planned : Frame
        What changes in the planned frame; the unknown is left out.
    reference_set_up : FrameSetUp
        A set-up that a frame is taken with.
    planned_set_up : FrameSetUp
        A set-up that a frame is taken with.
    kit : Mapping
        What a studio owns, or might buy: at most 5000 parts in all, every id once.
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

    planned: Frame
    reference_set_up: FrameSetUp
    planned_set_up: FrameSetUp
    kit: Kit


class FlashFields(SurroundingsFields, MountingFields, EstimatedLensFields, StepsFields, total=False):
    """The flash's guide number, and what is known of aperture, distance, power and number of flashes.

    Members
    -------
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
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
    guide_number_m : number
        Guide number of one flash head at full power: metres, at ISO 100. [m]
    guide_numbers_m : Sequence of number
        Guide number of one flash head at full power: metres, at ISO 100. Several values; in a query, separated by
        commas or each under the name again.
    heads : number
        Equal flash heads at equal distance; assumed 1.
    iso : number
        ISO speed set on the camera, or of the film; assumed 100.
    f_number : number or None
        f-number as marked and set on the lens.
    effective_f_number : number or None
        f-number that the sensor really sees, 1/(2 sin u').
    flash_distance_mm : number or None
        Flash, or its diffuser, to the subject. [mm]
    flash_distances_mm : Sequence of number
        Flash, or its diffuser, to the subject. Several values; in a query, separated by commas or each under the name
        again.
    flash_power_fraction : number
        Share of the flash's full energy; where aperture and distance are given and it is not, it is solved for, else
        assumed 1.
    pops : number
        Flashes fired while the shutter is open; where aperture, distance and power are given and it is not, it is
        solved for, else assumed 1.
    transmission : number
        Share of the light that filters and diffusers let through, all together; assumed 1.
    source_diameter_mm : number
        Diameter of the luminous disc: the flash's window, or its diffuser. [mm]
    magnification : number or None
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

    guide_number_m: float
    guide_numbers_m: Sequence[float]
    heads: float
    iso: float
    f_number: float | None
    effective_f_number: float | None
    flash_distance_mm: float | None
    flash_distances_mm: Sequence[float]
    flash_power_fraction: float
    pops: float
    transmission: float
    source_diameter_mm: float
    magnification: float | None
    pupil_magnification: float | None


class ClearOpeningFields(MountingFields, KnownLensFields, SensorFields, StepsFields, total=False):
    """One lens at a magnification, what the frame shows, and where the opening stands.

    Members
    -------
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
    focal_length_mm : number, needed
        Focal length at the focus setting in use. [mm]
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    focusing_extension_mm : number
        How far the focus ring has carried glass and rim out from the infinity stop. [mm]
    subject_diagonal_mm : number
        Diagonal of what the frame shows of the subject. [mm]
    distance_mm : number or None
        Front joining face of the set-up, towards the subject. [mm]
    distances_mm : Sequence of number
        Front joining face of the set-up, towards the subject. Several values; in a query, separated by commas or each
        under the name again.
    distance_from_subject_mm : number
        Subject plane, towards the lens. [mm]
    opening_diameter_mm : number
        Diameter of the round opening: hood, guard, ring light, hole of a diffuser. [mm]
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

    f_number: Required[float]
    magnification: Required[float]
    pupil_magnification: float | None
    focal_length_mm: Required[float]
    front_principal_plane_mm: float | None
    lens_register_mm: float
    focusing_extension_mm: float
    subject_diagonal_mm: float
    distance_mm: float | None
    distances_mm: Sequence[float]
    distance_from_subject_mm: float
    opening_diameter_mm: float
    estimate_unknown: bool
