"""What is wrong with a kit as a whole: ids, references, and statements that cannot all be true.

The kit comes as it was read, before its members have been checked one by one, so that every fault is found at once: what
has not the right type is left to those checks.
"""

import difflib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TypeAlias

from closeup_service.gear.catalogue import MOUNTS, THREADS
from closeup_service.language import tr
from closeup_service.set_ups.elements import AGREEMENT_MM, OTHER_REGISTER_MM

MOST_PARTS = 5000
PART_GROUPS = (
    "cameras",
    "lenses",
    "tubes",
    "bellows",
    "reversing_rings",
    "step_rings",
    "mount_adapters",
    "close_up_lenses",
    "converters",
    "objectives",
)
SPACERS = ("tubes", "bellows", "reversing_rings", "step_rings", "mount_adapters")

Path: TypeAlias = tuple[str | int, ...]
Fault: TypeAlias = tuple[Path, str]
Members: TypeAlias = Mapping[str, object]


def faults_of(kit: Members) -> Iterator[Fault]:
    """Every fault that one member alone does not show, with the path to it."""
    parts = parts_of(kit)
    yield from own_mount_faults(kit)
    yield from repeated_id_faults(((group, index, "id"), part.get("id")) for group, index, part in parts)
    mounts = all_registers(kit)
    for group, index, part in parts:
        for path, text in part_faults(group, part, mounts):
            yield (group, index, *path), text


def parts_of(kit: Members) -> list[tuple[str, int, Members]]:
    """Every part that is an object, with its group and its place there."""
    return [(group, index, part) for group in PART_GROUPS for index, part in rows(kit, group)]


def part_faults(group: str, part: Members, mounts: Mapping[str, float | None]) -> Iterator[Fault]:
    """Faults within one part."""
    yield from unknown_references(part, mounts)
    if group in SPACERS:
        yield from spacer_faults(group, part, mounts)
    if group == "lenses":
        yield from lens_faults(part, mounts)
    if group == "bellows":
        yield from order_faults(
            part, "minimum_length_mm", "maximum_length_mm", tr("The least length is above the greatest.")
        )


def rows(kit: Members, group: str) -> Iterator[tuple[int, Members]]:
    """Rows of a group that are objects, with their places."""
    listed = kit.get(group)
    if isinstance(listed, list):
        yield from ((index, row) for index, row in enumerate(listed) if isinstance(row, Mapping))


def number_of(members: Members, name: str) -> float | None:
    """Return the member where it is a number."""
    value = members.get(name)
    return value if isinstance(value, int | float) and not isinstance(value, bool) else None


def word_of(members: Members, name: str) -> str | None:
    """Return the member where it is a string."""
    value = members.get(name)
    return value if isinstance(value, str) else None


def all_registers(kit: Members) -> dict[str, float | None]:
    """Register of every mount, the catalogue's and the kit's own [mm]; None where it is not a number."""
    return {mount.id: mount.register_mm for mount in MOUNTS.values()} | own_registers(kit)


def own_registers(kit: Members) -> dict[str, float | None]:
    """Register of every mount that the kit describes itself [mm]; None where it is not a number."""
    return {
        name: number_of(row, "register_mm")
        for _, row in rows(kit, "mounts")
        if (name := word_of(row, "id")) is not None
    }


def own_mount_faults(kit: Members) -> Iterator[Fault]:
    """A mount of the kit's own is none of the catalogue's, is described once, and has a thread that there is."""
    listed = list(rows(kit, "mounts"))
    yield from repeated_id_faults((("mounts", index, "id"), row.get("id")) for index, row in listed)
    for index, row in listed:
        if word_of(row, "id") in MOUNTS:
            yield ("mounts", index, "id"), tr("The catalogue holds a mount of this id: give yours a name of its own.")
        for path, text in unknown_references(row, {}):
            yield ("mounts", index, *path), text


def repeated_id_faults(ids: Iterable[tuple[Path, object]]) -> Iterator[Fault]:
    """Ids that stand twice, each with the place of the first."""
    first: dict[str, Path] = {}
    for path, name in ids:
        if not isinstance(name, str) or not name.isprintable():
            continue
        if name in first:
            where = "/".join(str(step) for step in first[name][:-1])
            yield path, tr("The id {name} is taken by /{where}.", name=name[:64], where=where)
        first.setdefault(name, path)


THREAD_MEMBERS = ("thread", "front_thread", "rear_thread")


def unknown_references(members: Members, mounts: Mapping[str, object]) -> Iterator[Fault]:
    """Threads and mounts that there are not, with the nearest that there is; what is no id at all is told elsewhere."""
    for name in THREAD_MEMBERS:
        thread = word_of(members, name)
        if thread is not None and thread not in THREADS and thread.isprintable():
            yield (name,), describe_unknown("thread", thread, THREADS, "/v1/catalogue/threads")
    mount = word_of(members, "mount")
    if mount is not None and mount not in mounts and mount.isprintable():
        yield (
            ("mount",),
            describe_unknown("mount", mount, mounts, tr("/v1/catalogue/mounts, or describe it under mounts")),
        )


def describe_unknown(what: str, name: str, known: Iterable[str], where: str) -> str:
    """Say that there is no such thing, and what is near to it, or what the name is instead."""
    if what == "mount" and name in THREADS:
        return tr(
            "{name} is a thread and no mount by itself: give it as a thread, with its gender where a face is "
            "asked for.",
            name=name,
        )
    if what == "thread" and name in MOUNTS:
        own = MOUNTS[name].thread
        if own:
            return tr("{name} is a mount: give it as one, or its thread {own}.", name=name, own=own)
        return tr("{name} is a mount: give it as one.", name=name)
    near = nearest_names(name, known)
    hint = tr("near to it: {near}.", near=", ".join(near)) if near else tr("see {where}.", where=where)
    return tr("There is no {what} {name}; {hint}", what=tr(what), name=name[:64], hint=hint)


def nearest_names(name: str, known: Iterable[str]) -> list[str]:
    """Names that begin like this one, or else are spelt like it: three at most."""
    names = list(known)
    begun = [each for each in names if name and each.lower().startswith(name.lower())]
    return begun[:3] or difflib.get_close_matches(name[:64], names, n=3)


def order_faults(members: Members, low: str, high: str, text: str) -> Iterator[Fault]:
    """A range whose ends are swapped."""
    least, greatest = number_of(members, low), number_of(members, high)
    if least is not None and greatest is not None and least > greatest:
        yield (low,), text


def spacer_faults(group: str, part: Members, mounts: Mapping[str, object]) -> Iterator[Fault]:
    """Faces that there are not or that the group does not have, and a hole wider than its thread."""
    faces = [(name, face) for name in ("front", "rear") if isinstance(face := part.get(name), Mapping)]
    for name, face in faces:
        for path, text in unknown_references(face, mounts):
            yield (name, *path), text
    yield from face_faults(group, [face for _, face in faces])
    clear = number_of(part, "clear_diameter_mm")
    for name, face in faces:
        thread = THREADS.get(word_of(face, "thread") or "")
        if thread is not None and clear is not None and clear > thread.diameter_mm:
            text = tr(
                "Wider than the thread {id} of its {name} face, through which the light must pass.",
                id=thread.id,
                name=tr(name),
            )
            yield ("clear_diameter_mm",), text


def face_faults(group: str, faces: Sequence[Members]) -> Iterator[Fault]:
    """A ring whose faces belong to another group."""
    if len(faces) != 2:
        return
    kinds = sorted("mount" if "mount" in face else "thread" for face in faces)
    if group == "step_rings" and kinds != ["thread", "thread"]:
        yield (
            ("_schema",),
            tr(
                "A step ring has a thread on both faces: list this one with the mount adapters or reversing rings.",
            ),
        )
    if group == "mount_adapters" and kinds != ["mount", "mount"]:
        yield (
            ("_schema",),
            tr(
                "A mount adapter has a mount on both faces: list this one with the step or reversing rings.",
            ),
        )
    if group == "reversing_rings":
        ends = sorted(str(face.get("side") or face.get("gender")) for face in faces)
        if kinds != ["mount", "thread"] or ends != ["external", "lens"]:
            yield (
                ("_schema",),
                tr(
                    "A reversing ring has an external thread on one face, for the lens's filter thread, and the lens's "
                    "side of a mount on the other.",
                ),
            )


def lens_faults(lens: Members, mounts: Mapping[str, float | None]) -> Iterator[Fault]:
    """How the lens joins, its apertures, and its settings against them."""
    if ("mount" in lens) == ("rear_thread" in lens):
        text = tr("Give the lens's mount, or the rear_thread of a lens without a mount of its own.")
        yield ("mount",), text
    yield from barrel_faults(lens, {})
    listed = rows(lens, "settings")
    yield from repeated_id_faults((("settings", index, "id"), setting.get("id")) for index, setting in listed)
    register = mounts.get(word_of(lens, "mount") or "")
    for path, setting in settings_of(lens):
        for rest, text in setting_faults(setting, lens, register):
            yield (*path, *rest), text


def settings_of(lens: Members) -> list[tuple[Path, Members]]:
    """Settings of a lens with the paths to them; a lens that lists none states its only one itself."""
    if "settings" not in lens:
        return [((), lens)]
    return [(("settings", index), setting) for index, setting in rows(lens, "settings")]


def setting_faults(setting: Members, lens: Members, register: float | None) -> Iterator[Fault]:
    """A setting against itself and against its lens.

    Parameters
    ----------
    register : float or None, flange to sensor, mm
    """
    if setting is not lens:
        yield from barrel_faults(setting, lens)
    yield from plane_faults(setting, register)
    if "mount" not in lens:
        yield from uncertain_plane_faults(setting)


def uncertain_plane_faults(setting: Members) -> Iterator[Fault]:
    """A rear plane that is uncertain, though neither it nor a register that places it is given."""
    stated = setting.get("uncertainty")
    names = stated.get("parameters") if isinstance(stated, Mapping) else None
    placed = "rear_principal_plane_mm" in setting or "register_mm" in setting
    if isinstance(names, list) and "rear_principal_plane_mm" in names and not placed:
        at = names.index("rear_principal_plane_mm")
        text = tr(
            "This lens gives no rear_principal_plane_mm, and no mount or register that places it: give one of "
            "them, or leave it out here with its row and column.",
        )
        yield ("uncertainty", "parameters", at), text


def is_measured(setting: Members, name: str) -> bool:
    """Whether a member of the setting has an uncertainty of its own."""
    uncertainty = setting.get("uncertainty")
    parameters = uncertainty.get("parameters") if isinstance(uncertainty, Mapping) else None
    return isinstance(parameters, Sequence) and name in parameters


def plane_faults(setting: Members, register: float | None) -> Iterator[Fault]:
    """Register and rear principal plane that cannot both be true.

    A plane that was measured stands where the infinity stop really puts it, within the play of such stops.

    Parameters
    ----------
    register : float or None, flange to sensor, mm
    """
    own, focal_length = number_of(setting, "register_mm"), number_of(setting, "focal_length_mm")
    plane = number_of(setting, "rear_principal_plane_mm")
    if own is not None and register is not None and abs(own - register) > AGREEMENT_MM:
        yield (
            ("register_mm",),
            tr(
                "The lens's mount has a register of {register:g} mm: leave this out, or correct one.", register=register
            ),
        )
    stated = register if own is None else own
    if stated is None or plane is None or focal_length is None:
        return
    allowed = OTHER_REGISTER_MM if own is None and is_measured(setting, "rear_principal_plane_mm") else AGREEMENT_MM
    if abs(plane - (stated - focal_length)) > allowed:
        yield (
            ("rear_principal_plane_mm",),
            tr(
                "The register of {stated:g} mm less the focal length puts this plane at {by_register:.6g} mm, not "
                "{plane:.6g} mm: one of them is wrong.",
                stated=stated,
                by_register=stated - focal_length,
                plane=plane,
            ),
        )


SERIES_MEMBERS = ("aperture_series", "least_f_number", "greatest_f_number")


def barrel_faults(members: Members, lens: Members) -> Iterator[Fault]:
    """The ring stated once and in order; what refers to it lies on it; a filter thread not wider than its lens."""
    series = [name for name in SERIES_MEMBERS if name in members]
    if series and "f_numbers" in members:
        text = tr("Give the ring as a list of f_numbers, or as a series between two ends, not both.")
        yield from (((name,), text) for name in ("f_numbers", *series))
    elif series and len({"least_f_number", "greatest_f_number"} & set(series)) < 2:
        yield (series[0],), tr("Give both ends of the ring: least_f_number and greatest_f_number.")
    swapped = tr("The widest aperture has the smaller f-number: these ends are swapped.")
    yield from order_faults(members, "least_f_number", "greatest_f_number", swapped)
    ends = ring_ends(members) or ring_ends(lens)
    yield from f_number_faults(members, "sharp_from_f_number", (), ends)
    if isinstance(edge := members.get("measured_edge_width"), Mapping):
        yield from f_number_faults(edge, "f_number", ("measured_edge_width",), ends)
    thread, front = THREADS.get(word_of(members, "front_thread") or ""), number_of(members, "front_diameter_mm")
    if thread is not None and front is not None and front < thread.diameter_mm:
        yield ("front_diameter_mm",), tr("Narrower than its own filter thread {id}.", id=thread.id)


def ring_ends(members: Members) -> tuple[float, float] | None:
    """Least and greatest f-number of the ring, where it is stated.

    Returns
    -------
    two floats or None, f-numbers
    """
    listed = members.get("f_numbers")
    if isinstance(listed, list):
        numbers = [value for value in listed if isinstance(value, int | float) and not isinstance(value, bool)]
        return (min(numbers), max(numbers)) if numbers else None
    least, greatest = number_of(members, "least_f_number"), number_of(members, "greatest_f_number")
    return None if least is None or greatest is None or least > greatest else (least, greatest)


def f_number_faults(members: Members, name: str, path: Path, ends: tuple[float, float] | None) -> Iterator[Fault]:
    """An f-number that the ring does not have."""
    value = number_of(members, name)
    if value is not None and ends is not None and not ends[0] <= value <= ends[1]:
        yield (*path, name), tr("The ring runs from f/{least:g} to f/{greatest:g}.", least=ends[0], greatest=ends[1])
