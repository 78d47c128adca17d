"""What a form asks of a lens that is known only in part, and what requests say of it where its data are estimated."""

from collections.abc import Mapping

from msgspec.structs import replace

from closeup_service.estimates.families import FAMILIES
from closeup_service.estimates.lens_members import ESTIMABLE
from closeup_service.gear.kit import Kit, Lens
from closeup_service.pages.task import Choice, Fields, Group, Input, Members, Request, inputs
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN, KnownLensFields, MeasuredMagnification, estimate_flag

LENS = declared_fields(KnownLensFields)
FRAME = declared_fields(MeasuredMagnification)
ESTIMATE = "estimate"
MEASURED = "measured"
KNOWN = (
    *("lens_class", "widest_f_number", "zoom_from_mm", "zoom_to_mm", "barrel_length_mm", "entrance_pupil_depth_mm"),
    *("entrance_pupil_diameter_mm", "exit_pupil_diameter_mm"),
)
OF_A_KIT_LENS = ("focal_length_mm", *ESTIMABLE, "rear_principal_plane_mm", "uncertainty", *KNOWN, MEASURED)
"""Members of a lens that a kit and a request have in common."""
FRAME_FIELDS: Mapping[str, str] = {
    "mounting": "measured_mounting",
    "extension_mm": "measured_extension_mm",
    "magnification": "measured_magnification",
}
"""Members of a photograph of a ruler, and the field of the form for each."""
CLASSES = tuple(Choice(family.name, family.words) for family in FAMILIES)
CLASS_HINT = "If not given, it follows from the register, and from whether the lens is a zoom."
ESTIMATE_FIELD = Input(
    ESTIMATE,
    ESTIMATE_UNKNOWN,
    estimate_flag(),
    own_label="estimate what is not known of the lens",
    own_hint="From published designs of such lenses; results are then ranges.",
    own_choices=(Choice("no", "no"),),
    own_usual="yes",
)
CAMERA_REGISTER = Input(
    "camera_register_mm",
    "camera_register_mm",
    FRAME["camera_register_mm"],
    "ruler: camera's register",
    "Of the camera that the ruler was photographed with.",
    optional=True,
    own_missing="Enter the register of the camera that the ruler was photographed with.",
)
"""Asked for where the form asks nowhere else for the camera."""
RULER_FIELDS = (
    Input(
        FRAME_FIELDS["mounting"],
        "mounting",
        FRAME["mounting"],
        "ruler: lens mounted",
        "Which way round the lens was. If you choose nothing: the same way as now.",
    ),
    Input(
        FRAME_FIELDS["extension_mm"],
        "extension_mm",
        FRAME["extension_mm"],
        "ruler: rings and tubes",
        "All that stood between lens and camera; 0 for nothing.",
        own_missing="Enter the length of the rings and tubes between lens and camera, or 0.",
    ),
    Input(
        FRAME_FIELDS["magnification"],
        "magnification",
        FRAME["magnification"],
        "ruler: magnification",
        "Of a photograph at infinity focus. Where 24.5 mm of a ruler fill a frame 36 mm wide, write 36:24.5.",
        own_missing="Enter the magnification that the photograph of the ruler shows.",
    ),
)


WORDS: Mapping[str, Mapping[str, object]] = {
    "lens_class": {"own_choices": CLASSES, "own_hint": CLASS_HINT},
    "barrel_length_mm": {"own_label": "length of the barrel"},
    "entrance_pupil_depth_mm": {"own_label": "depth of the iris"},
    "entrance_pupil_diameter_mm": {"own_label": "pupil from the front"},
    "exit_pupil_diameter_mm": {"own_label": "pupil from the rear"},
}


def known_lens_group(engraved: tuple[Input, ...] = (), register: tuple[Input, ...] = ()) -> Group:
    """Fields for a lens that is known only in part; `register` is that of the camera, where the form has none."""
    return Group(
        "What is engraved on the lens, and what you measured",
        (*engraved, *known_fields(*KNOWN), *RULER_FIELDS, *register, ESTIMATE_FIELD),
        aside=True,
        lead="For a lens without a data sheet. Each entry makes the ranges of the result narrower.",
    )


def known_fields(*names: str) -> tuple[Input, ...]:
    """Fields of these names, for what stands on the barrel and what a rule tells."""
    return inputs(LENS, *names, **{name: WORDS[name] for name in names if name in WORDS})


def is_estimated(values: Members) -> bool:
    """Whether data that are not known are estimated: unless that is switched off."""
    return values.get(ESTIMATE) is not False


def known_lens(values: Members, mounting: object, register: object, register_field: str) -> Request:
    """What the form says of the lens, and the field behind each member; nothing where nothing is estimated."""
    if not is_estimated(values):
        return Request({})
    members = {name: values[name] for name in KNOWN if name in values}
    places = {f"/{name}": name for name in KNOWN}
    frame = {member: values[name] for member, name in FRAME_FIELDS.items() if name in values}
    if not frame:
        return Request(members, places)
    usual = {"mounting": mounting, "camera_register_mm": register}
    read = {name: value for name, value in {**usual, **frame}.items() if value is not None}
    places |= {f"/{MEASURED}/0/{member}": name for member, name in FRAME_FIELDS.items()}
    places |= {f"/{MEASURED}/0/camera_register_mm": register_field, f"/{MEASURED}": FRAME_FIELDS["magnification"]}
    return Request({**members, MEASURED: [read]}, places)


def members_for_kit(known: Members) -> dict[str, object]:
    """What a kit states of a lens, out of what a request says of it."""
    return {name: known[name] for name in OF_A_KIT_LENS if name in known}


def lacks_data(members: Members, taken: Fields, kit: Kit) -> bool:
    """Whether a request leaves out data of a lens that can be estimated: that of a quantity, or of a train."""
    train = members.get("train")
    if isinstance(train, list | tuple):
        return any(isinstance(each, Mapping) and lens_lacks_data(each, kit) for each in train)
    wanted = (*ESTIMABLE, *(("lens_register_mm",) if members.get("mounting") == "reversed" else ()))
    return "reference" in members or any(name in taken and name not in members for name in wanted)


def lens_lacks_data(element: Members, kit: Kit) -> bool:
    """Whether an element of a train is a lens, stated or of the kit, of which data are missing."""
    if element.get("element") == "lens":
        return any(name not in element for name in ESTIMABLE)
    part = kit.by_id.get(str(element.get("use")))
    setting = part.setting(str(element.get("setting"))) or part.settings[0] if isinstance(part, Lens) else None
    return setting is not None and any(getattr(setting, name) is None for name in ESTIMABLE)


def with_estimates(built: Request, values: Members, taken: Fields, kit: Kit) -> Request:
    """Request that asks for estimates where data are missing, unless that is switched off; `taken` names what it may say."""
    if ESTIMATE_UNKNOWN not in taken or not is_estimated(values) or not lacks_data(built.members, taken, kit):
        return built
    asked = {**built.members, ESTIMATE_UNKNOWN: built.members.get(ESTIMATE_UNKNOWN, True)}
    if MEASURED not in taken:
        return replace(built, members=asked)
    register = values.get("camera_register_mm")
    mounting = built.members.get("mounting", values.get("mounting", "normal"))
    known = known_lens(values, mounting, register, "camera_register_mm")
    return replace(built, members={**asked, **known.members}, places={**built.places, **known.places})
