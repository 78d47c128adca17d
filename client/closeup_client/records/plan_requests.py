"""What `plan` can be asked with: keyword arguments of the client's methods, and what they hold.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Sequence
from typing import Literal, Required, TypeAlias, TypedDict

from closeup_client.records.shared_requests import (
    EstimatedLensFields,
    Kit,
    MountingFields,
    SearchModel,
    SensorFields,
    StepsFields,
)

Gender: TypeAlias = Literal["external", "internal"]
MountSide: TypeAlias = Literal["lens", "body"]
Arrangement: TypeAlias = Literal[
    "normal", "reversed", "tubes", "bellows", "close-up-lens", "converter", "coupled", "objective"
]


class MagnificationFields(SensorFields, MountingFields, EstimatedLensFields, StepsFields, total=False):
    """Exactly one of the four routes, with what that route needs.

    Members
    -------
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    subject_width_mm : number or None
        Width of the subject that fills the sensor. [mm]
    subject_height_mm : number or None
        Height of the subject that fills the sensor. [mm]
    extension_mm : number or None
        Rings, tubes and bellows between the parts; not the lens's own focusing. [mm]
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    focusing_extension_mm : number
        How far the focus ring has carried glass and rim out from the infinity stop. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    camera_register_mm : number
        Register of the camera: mount flange to sensor. [mm]
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

    subject_width_mm: float | None
    subject_height_mm: float | None
    extension_mm: float | None
    working_distance_mm: float | None
    focusing_extension_mm: float
    camera_register_mm: float
    front_principal_plane_mm: float | None


class RingChainsFields(TypedDict, total=False):
    """The two ends: each a thread with its gender, or a mount with its side.

    Members
    -------
    from_thread : text
        Thread at the start, by its id in /v1/catalogue/threads.
    from_gender : 'external' | 'internal'
        Gender of that thread: a lens's filter thread is internal.
    from_mount : text
        Mount at the start, by its id in /v1/catalogue/mounts or among the kit's own.
    from_side : 'lens' | 'body'
        Side of that mount: as on a lens, or as on a camera body.
    to_thread : text
        Thread at the end, by its id in /v1/catalogue/threads.
    to_gender : 'external' | 'internal'
        Gender of that thread.
    to_mount : text
        Mount at the end, by its id in /v1/catalogue/mounts or among the kit's own.
    to_side : 'lens' | 'body'
        Side of that mount: as on a lens, or as on a camera body.
    front_diameter_mm : number
        Outer diameter of the lens's front. [mm]
    most : whole number
        How many chains to list at most; assumed 5.
    kit : Mapping
        What a studio owns, or might buy: at most 5000 parts in all, every id once.
    """

    from_thread: str
    from_gender: Gender
    from_mount: str
    from_side: MountSide
    to_thread: str
    to_gender: Gender
    to_mount: str
    to_side: MountSide
    front_diameter_mm: float
    most: int
    kit: Kit


class SearchCamera(SensorFields, total=False):
    """The camera: one of the kit's, or its mount and its sensor.

    Members
    -------
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    use : text
        Id of a camera in the kit; beside it only circle_of_confusion_mm may be given.
    mount : text
        Mount by its id in /v1/catalogue/mounts or among the kit's own; required, unless use names a camera.
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    circle_of_confusion_mm : number or None
        Blur accepted on the sensor, as a diameter. [mm]
    """

    use: str
    mount: str
    pixel_pitch_um: float
    circle_of_confusion_mm: float | None


class SearchFields(TypedDict, total=False):
    """The subject, the camera, what is wished for, and what may be used.

    Members
    -------
    subject_width_mm : number or None
        Width of the subject, along the sensor's width. [mm]
    subject_height_mm : number or None
        Height of the subject, along the sensor's height. [mm]
    magnification : number or None
        Magnification wanted, in place of the subject's width and height.
    subject_depth_mm : number
        How far the subject stands out towards the lens. [mm]
    camera : SearchCamera, needed
        The camera: one of the kit's, or its mount and its sensor.
    least_working_distance_mm : number
        Least distance from the front joining face to the subject that will do. [mm]
    least_clearance_mm : number or None
        Least clearance before what stands out in front that will do; assumed 0 where the clearance is known. [mm]
    largest_subject_resolution_um : number
        Largest distance resolved on the subject, by Rayleigh's criterion, that will do. [um]
    most_stack_frames : whole number
        Most frames of a stack over the subject's depth that will do; 1 asks for a single frame, absent any number will
        do.
    largest_light_loss_stops : number
        Largest light loss against the marked f-number that will do. [stops]
    longest_rig_mm : number
        Longest rig, from the front joining face to the sensor, that will do. [mm]
    arrangements : Sequence of Arrangement
        How parts may stand; assumed all. One of: normal, reversed, tubes, bellows, close-up-lens, converter, coupled,
        objective.
    tolerance : number
        Share by which the frame may be wider or narrower than the subject; assumed 0.05.
    best : whole number
        How many hits to list at most; assumed 10.
    apertures_per_set_up : whole number
        How many apertures of one set-up to list among the hits at most; assumed 2.
    budget : number
        What one part may cost that is bought, in the currency of the kit.
    depth_of_field_model : 'combined' | 'geometric' | 'wave'
        Model of the depth of field; combined is assumed. Contrast is for one set-up.
    wavelength_nm : number
        Wavelength of the light. [nm]
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    kit : Mapping
        What a studio owns, or might buy: at most 5000 parts in all, every id once.
    """

    subject_width_mm: float | None
    subject_height_mm: float | None
    magnification: float | None
    subject_depth_mm: float
    camera: Required[SearchCamera]
    least_working_distance_mm: float
    least_clearance_mm: float | None
    largest_subject_resolution_um: float
    most_stack_frames: int
    largest_light_loss_stops: float
    longest_rig_mm: float
    arrangements: Sequence[Arrangement]
    tolerance: float
    best: int
    apertures_per_set_up: int
    budget: float
    depth_of_field_model: SearchModel
    wavelength_nm: float
    estimate_unknown: bool
    kit: Kit
