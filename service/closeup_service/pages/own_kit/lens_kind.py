"""The form of a lens: with its own data, or with those of each zoom setting."""

from __future__ import annotations

from msgspec.structs import replace

from closeup_service.language import later, mark
from closeup_service.pages.own_kit import joints
from closeup_service.pages.own_kit.part_fields import Kind, notes, pick
from closeup_service.pages.task import Group, Input
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.kit_lens import KitLensSchema, SettingSchema

LENS, SETTING = declared_fields(KitLensSchema), declared_fields(SettingSchema)
MOUNT, JOINT = "mount", "joint"
"""Field that stands for the mount of a lens, or for its rear thread."""
RING = ("least_f_number", "greatest_f_number", "aperture_series")
KNOWN = (
    *("lens_class", "zoom_from_mm", "zoom_to_mm", "barrel_length_mm", "entrance_pupil_depth_mm"),
    *("entrance_pupil_diameter_mm", "exit_pupil_diameter_mm"),
)
PLANES = (
    *("pupil_magnification", "front_principal_plane_mm", "rear_principal_plane_mm", "principal_plane_separation_mm"),
    "register_mm",
)
BARREL = ("front_diameter_mm", "front_protrusion_mm", "image_circle_mm", "focusing_travel_mm", "sharp_from_f_number")
OF_ONE_SETTING = ("focal_length_mm", *KNOWN, *PLANES)
"""What a lens that lists settings leaves to each of them."""
OF_A_SETTING = (
    *("focal_length_mm", *PLANES[:-1], *RING[:2], "front_protrusion_mm", "sharp_from_f_number"),
    *("barrel_length_mm", "entrance_pupil_depth_mm", "entrance_pupil_diameter_mm", "exit_pupil_diameter_mm"),
)
JOINT_FIELD = Input(
    JOINT,
    "mount",
    LENS[MOUNT],
    mark("mount"),
    mark("By its register. A lens without a mount, such as an enlarging lens, has a thread: choose that."),
    joints.lens_joint_choices,
)
SETTING_NAME = {"own_label": mark("name of the setting"), "own_hint": mark("Such as 35 mm.")}
SETTING_TITLE = mark("Setting {number}")
TAKE_AWAY = mark("Leave all of it blank to take the setting away.")
KNOWN_GROUP = Group(
    mark("If the planes of the lens are not known: engravings, and what a ruler tells"),
    pick(LENS, *KNOWN),
    aside=True,
    lead=mark("The missing data are then estimated. Each of these figures makes the ranges of the results narrower."),
)
PLANES_GROUP = Group(mark("If the lens was measured: its planes and pupils"), pick(LENS, *PLANES), aside=True)


def lens_kind(settings: int) -> Kind:
    """Form of a lens with so many settings; with none it states its data itself."""
    focal = () if settings else ("focal_length_mm",)
    own = Group(mark("Lens"), (*pick(LENS, "name"), JOINT_FIELD, *pick(LENS, *focal, *RING, "front_thread")))
    data = tuple(map(setting_group, range(settings))) or (KNOWN_GROUP, PLANES_GROUP)
    barrel = Group(mark("Barrel, ring and image circle"), pick(LENS, *BARREL, "mass_g"), aside=True)
    needed = ("name", JOINT, *focal, *(setting_field(place, "focal_length_mm") for place in range(settings)))
    return Kind((own, *data, barrel, notes(LENS)), needed)


def setting_field(place: int, name: str) -> str:
    """Name of the field for a datum of a setting."""
    return f"settings/{place}/{name}"


def setting_group(place: int) -> Group:
    """Fields of one zoom setting."""
    picked = pick(SETTING, "id", *OF_A_SETTING, id=SETTING_NAME)
    own = tuple(replace(each, name=setting_field(place, each.name)) for each in picked)
    return Group(later(SETTING_TITLE, number=place + 1), own, lead=TAKE_AWAY if place else "")
