"""What is answered of `refer`, as frozen records; None where the request does not determine it.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from closeup_client.raw import Raw
from closeup_client.records.shared_answers import Answer, Caution


@dataclass(frozen=True, kw_only=True)
class Record(Raw):
    """What every record of the catalogue says of itself.

    Attributes
    ----------
    id : text
        Name to use in requests.
    names : tuple of text
        Names in the trade.
    source : text
        Where the values come from.
    source_status : text
        Whether the source was read, cited from memory, or is common practice. One of: published, from-memory, common-
        practice.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    id: str
    names: tuple[str, ...]
    source: str
    source_status: str


@dataclass(frozen=True, kw_only=True)
class SensorRecord(Record):
    """Sensor or film format.

    Attributes
    ----------
    id : text
        Name to use in requests.
    names : tuple of text
        Names in the trade.
    source : text
        Where the values come from.
    source_status : text
        Whether the source was read, cited from memory, or is common practice. One of: published, from-memory, common-
        practice.
    width_mm : number
        Width of the picture area. [mm]
    height_mm : number
        Height of the picture area. [mm]
    diagonal_mm : number
        Diagonal of the picture area. [mm]
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    width_mm: float
    height_mm: float
    diagonal_mm: float


@dataclass(frozen=True, kw_only=True)
class MountRecord(Record):
    """Lens mount.

    Attributes
    ----------
    id : text
        Name to use in requests.
    names : tuple of text
        Names in the trade.
    source : text
        Where the values come from.
    source_status : text
        Whether the source was read, cited from memory, or is common practice. One of: published, from-memory, common-
        practice.
    register_mm : number
        Register (flange focal distance). [mm]
    kind : text
        How it joins. One of: thread, bayonet.
    throat_mm : number or None
        Inner diameter of the mount, where known. [mm]
    thread : text or None
        Its thread in the catalogue, if it has one.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    register_mm: float
    kind: str
    throat_mm: float | None
    thread: str | None


@dataclass(frozen=True, kw_only=True)
class ThreadRecord(Record):
    """Thread of a filter, mount or objective.

    Attributes
    ----------
    id : text
        Name to use in requests.
    names : tuple of text
        Names in the trade.
    source : text
        Where the values come from.
    source_status : text
        Whether the source was read, cited from memory, or is common practice. One of: published, from-memory, common-
        practice.
    diameter_mm : number
        Major diameter. [mm]
    pitch_mm : number
        Pitch. [mm]
    use : text
        What it is used for. One of: filter, mount, objective.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    diameter_mm: float
    pitch_mm: float
    use: str


@dataclass(frozen=True, kw_only=True)
class BlendedClass:
    """A class of statistics within a family, and over which focal lengths it blends with its neighbours.

    Attributes
    ----------
    id : text
        Name of the class.
    records : whole number
        Records: designs, of zooms one at each setting.
    patents : whole number
        Patents that the records come from.
    blends_in_from_mm : number or None
        Focal length at which it begins to count; None where from the start. [mm]
    blends_in_to_mm : number or None
        Focal length from which it counts in full; None where from the start. [mm]
    blends_out_from_mm : number or None
        Focal length to which it counts in full; None where to the end. [mm]
    blends_out_to_mm : number or None
        Focal length from which it counts no more; None where to the end. [mm]
    """

    id: str
    records: int
    patents: int
    blends_in_from_mm: float | None
    blends_in_to_mm: float | None
    blends_out_from_mm: float | None
    blends_out_to_mm: float | None


@dataclass(frozen=True, kw_only=True)
class StatisticsOrigin:
    """Where the statistics of all classes come from.

    Attributes
    ----------
    what : text
        What they are.
    method : text
        How they were calculated.
    date : text
        When.
    records : whole number
        Records of all classes together.
    patents : whole number
        Patents of all classes together.
    records_held_back : whole number
        Further records that were kept back for checking the ranges.
    patents_held_back : whole number
        Patents that those come from.
    limits : text
        What the statistics cannot tell.
    """

    what: str
    method: str
    date: str
    records: int
    patents: int
    records_held_back: int
    patents_held_back: int
    limits: str


@dataclass(frozen=True, kw_only=True)
class LensClassRecord(Record):
    """Family of lenses whose unknown data can be estimated; its id is the value of lens_class.

    Attributes
    ----------
    id : text
        Name to use in requests.
    names : tuple of text
        Names in the trade.
    source : text
        Where the values come from.
    source_status : text
        Whether the source was read, cited from memory, or is common practice. One of: published, from-memory, common-
        practice.
    register_mm : number
        Register that is assumed where none is given; 0 for lenses without a mount. [mm]
    focal_length_from_mm : number
        Shortest focal length of which there are statistics. [mm]
    focal_length_to_mm : number
        Longest focal length of which there are statistics. [mm]
    usual_f_number : number
        Widest f-number that is assumed where none is given.
    taken_from_register_mm : number or None
        Where no lens_class is named, lenses with this register or a longer one are taken to be of this family; None
        where the family has to be named. [mm]
    taken_below_register_mm : number or None
        End of those registers, itself not of the family; None where there is none, or the family has to be named. [mm]
    zoom : True or False or None
        Whether the lenses taken to be of this family are those that state zoom_from_mm and zoom_to_mm; None where both
        kinds are, or the family has to be named.
    classes : tuple of BlendedClass
        Its classes, by rising focal length.
    statistics : StatisticsOrigin
        Where the statistics of all classes come from.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    register_mm: float
    focal_length_from_mm: float
    focal_length_to_mm: float
    usual_f_number: float
    taken_from_register_mm: float | None
    taken_below_register_mm: float | None
    zoom: bool | None
    classes: tuple[BlendedClass, ...]
    statistics: StatisticsOrigin


@dataclass(frozen=True, kw_only=True)
class CautionRecord(Caution, Raw):
    """A caution in general words, and when it applies.

    Attributes
    ----------
    code : text
        Stable name of the remark.
    text : text
        The remark in plain words.
    concerns : text
        Whom it concerns. One of: people, animals, gear.
    applies_to : text
        What it applies to.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    applies_to: str


@dataclass(frozen=True, kw_only=True)
class IncompleteLens:
    """A lens at a setting that lacks data, and what that costs at one set-up.

    Attributes
    ----------
    id : text
        Id of the lens.
    setting : text
        Id of its setting.
    missing : tuple of text
        Data of the element lens that are not known. One of: front_principal_plane_mm, principal_plane_separation_mm,
        pupil_magnification.
    lens_class : text
        Class by which it is estimated, stated or assumed.
    magnification : number or None
        Magnification in the set-up asked about, the median of such lenses; None where they differ too much to tell, or
        cannot be used so.
    low : number or None
        Lower end of its range, which holds 95 of 100 such lenses.
    high : number or None
        Upper end of its range.
    next_measurement : text
        What to measure first, and what that leaves of the range, in a sentence.
    """

    id: str
    setting: str
    missing: tuple[str, ...]
    lens_class: str
    magnification: float | None
    low: float | None
    high: float | None
    next_measurement: str


@dataclass(frozen=True, kw_only=True, repr=False)
class KitAnswer(Answer):
    """A kit as it was read, its defaults filled in, and its revision.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    revision : text
        Revision of the kit that was used: a hash that changes with what the kit says.
    origin : text
        Where it is from: the invented demo kit, this studio's file, or the request. One of: demo, file, request.
    parts : whole number
        How many parts it has, cameras among them.
    kit : Mapping
        A kit as it was read, its defaults filled in.
    whole_kit : Mapping or None
        The same kit with what kit leaves out for clients of 1.0.0: degrees_of_freedom and scatter_covariance of lenses,
        what counts where lens data are estimated, ids of newer sensors. Present where there are any. Send this one as a
        kit.
    incomplete_lenses : tuple of IncompleteLens
        Lenses that lack planes or pupils, each setting by itself, and what that costs in the set-up asked about.
        Present where there are any.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    revision: str
    origin: str
    parts: int
    kit: Mapping[str, Any] = field(hash=False)
    whole_kit: Mapping[str, Any] | None = field(default=None, hash=False)
    incomplete_lenses: tuple[IncompleteLens, ...] = ()
