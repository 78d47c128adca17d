"""What `shoot` can be asked with: keyword arguments of the client's methods, and what they hold.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from typing import Literal, Required, TypeAlias

from closeup_client.records.shared_requests import (
    EstimatedLensFields,
    MountingFields,
    SensorFields,
    StackFields,
    StepsFields,
    SurroundingsFields,
)

FlashShape: TypeAlias = Literal["exponential", "cut"]


class MotionBlurFields(SensorFields, MountingFields, SurroundingsFields, EstimatedLensFields, StepsFields, total=False):
    """At least one motion, how long light falls, and the blur that is allowed where the reverse is wanted.

    Members
    -------
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
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    magnification : number, needed
        Size on the sensor over size of the subject.
    sideways_speed_mm_s : number
        Speed of the subject across the axis, against the camera. [mm/s]
    axial_speed_mm_s : number
        Speed of the subject along the axis, against the camera. [mm/s]
    rotation_rad_s : number
        Speed at which the camera turns or tilts. [rad/s]
    rotation_distance_mm : number
        Entrance pupil to the point that the camera turns about, positive away from the subject. [mm]
    vibration_amplitude_um : number
        Amplitude across the axis, on the subject's side: half the stroke from end to end. [um]
    vibration_frequency_hz : number
        Frequency of the vibration. [Hz]
    focal_length_mm : number or None
        Focal length at the focus in use; counts for rotation only. [mm]
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    exposure_time_s : number
        How long the shutter is open. [s]
    flash_t01_s : number
        Time for which the flash is above a tenth of its peak. [s]
    flash_t05_s : number
        Time for which the flash is above half of its peak. [s]
    flash_shape : 'exponential' | 'cut'
        How the light of the flash dies: exponential, t0.1 = 3.32 t0.5; or cut short electronically, t0.1 = t0.5.
        Assumed exponential.
    ambient_share : number or None
        Share of the picture's light that falls through the whole exposure time, not from the flash.
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    depth_mm : number
        Depth of field in all that the movement is held against. [mm]
    allowed_blur_um : number or None
        Blur by movement that is allowed on the sensor. [um]
    allowed_blur_px : number
        Blur by movement that is allowed on the sensor, in pixels. [px]
    allowed_blur_pixels : number
        The same as allowed_blur_px, under its former name. [pixels]
    circle_of_confusion_mm : number or None
        Blur accepted on the sensor, as a diameter. [mm]
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

    magnification: Required[float]
    sideways_speed_mm_s: float
    axial_speed_mm_s: float
    rotation_rad_s: float
    rotation_distance_mm: float
    vibration_amplitude_um: float
    vibration_frequency_hz: float
    pupil_magnification: float | None
    exposure_time_s: float
    flash_t01_s: float
    flash_t05_s: float
    flash_shape: FlashShape
    ambient_share: float | None
    pixel_pitch_um: float
    depth_mm: float
    allowed_blur_um: float | None
    allowed_blur_px: float
    allowed_blur_pixels: float
    circle_of_confusion_mm: float | None


class FocusStackFields(StackFields, StepsFields, total=False):
    """One lens at a marked f-number and a magnification, what counts as sharp, and how deep the subject is.

    Members
    -------
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
