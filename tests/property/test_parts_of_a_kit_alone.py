"""Whatever a kit may say of a part: a kit that is taken holds none that the physics refuses by itself."""

from typing import Any

from hypothesis import event, example, given, settings
from hypothesis import strategies as st
from marshmallow import ValidationError

from closeup_service.gear.kit import Kit, Lens
from closeup_service.gear.kit_parts import expand
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.errors import OpticsError
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.schemas.kit import read_kit
from closeup_service.set_ups.elements import Builder
from closeup_service.set_ups.set_up import evaluate
from closeup_service.set_ups.uncertainty import PARAMETERS, propagate
from kits import LENS_SIDE, Members, sound
from thoroughness import up_to

FACES = {"front": {"mount": "bayonet-18.0", "side": "body"}, "rear": LENS_SIDE}


def within(name: str, least: float | None = None, most: float | None = None) -> st.SearchStrategy[float]:
    """Numbers of a quantity, usual ones and every one that its bounds allow."""
    low, high = VOCABULARY[name].minimum, VOCABULARY[name].maximum
    assert low is not None
    assert high is not None
    usual = st.floats(low if least is None else least, high if most is None else most)
    return st.one_of(usual, st.floats(low, high))


@st.composite
def some_of(draw: st.DrawFn, needed: Members, optional: Members) -> Members:
    """An object with its needed members and some of the others."""
    names = draw(st.sets(st.sampled_from(sorted(optional))))
    return {name: draw(each) for name, each in (needed | {name: optional[name] for name in names}).items()}


PLANES: Members = {
    "front_principal_plane_mm": within("front_principal_plane_mm", -50, 100),
    "principal_plane_separation_mm": within("principal_plane_separation_mm", -100, 100),
}


@st.composite
def lens_settings(draw: st.DrawFn, number: int) -> Members:
    optional = PLANES | {
        "register_mm": within("register_mm", 10, 80),
        "rear_principal_plane_mm": within("rear_principal_plane_mm", -150, 50),
        "pupil_magnification": within("pupil_magnification", 0.5, 2),
    }
    made = draw(some_of({"focal_length_mm": within("focal_length_mm", 20, 150)}, optional))
    if draw(st.booleans()):
        made["uncertainty"] = {
            "parameters": [draw(st.sampled_from(PARAMETERS))],
            "covariance": [[draw(st.floats(0, 1))]],
        }
    return {"id": f"setting-{number}", **made}


@st.composite
def lenses(draw: st.DrawFn) -> Members:
    rear = draw(st.sampled_from([{"mount": "M42x1"}, {"mount": "house-bayonet"}, {"rear_thread": "M39x26tpi"}]))
    made = {"id": "lens", "name": "Lens", **rear, "front_thread": "M49x0.75", "f_numbers": [2.8, 8]}
    return {**made, "settings": [draw(lens_settings(number)) for number in range(draw(st.integers(1, 2)))]}


@st.composite
def close_up_lenses(draw: st.DrawFn) -> Members:
    strength = draw(st.sampled_from(["power_dpt", "focal_length_mm"]))
    optional = {name: within(name) for name in ("front_principal_plane_mm", "rear_principal_plane_mm", "length_mm")}
    made = draw(some_of({strength: within(strength)}, optional))
    return {"id": "close-up", "name": "Close-up lens", "thread": "M49x0.75", **made}


@st.composite
def converters(draw: st.DrawFn) -> Members:
    members = {"added_length_mm": within("added_length_mm"), "focal_length_mm": st.floats(-5000, -0.5)}
    needed = draw(st.sampled_from(sorted(members)))
    made = draw(some_of({"factor": within("factor"), needed: members[needed]}, members))
    return {"id": "converter", "name": "Converter", "mount": "bayonet-18.0", **made}


@st.composite
def objectives(draw: st.DrawFn) -> Members:
    finite = draw(st.booleans())
    needed = "tube_length_mm" if finite else "tube_lens_focal_length_mm"
    optional = {
        "working_distance_mm": within("working_distance_mm", 0.1, 60),
        "parfocal_distance_mm": within("parfocal_distance_mm", 10, 100),
    } | ({"focal_length_mm": within("focal_length_mm")} if finite else {})
    names = ("magnification", "numerical_aperture", needed)
    made = draw(some_of({name: within(name) for name in names}, optional))
    return {"id": "objective", "name": "Objective", "thread": "RMS", **made}


PARTS = {
    "lenses": lenses(),
    "close_up_lenses": close_up_lenses(),
    "converters": converters(),
    "objectives": objectives(),
}


@st.composite
def kits(draw: st.DrawFn) -> Members:
    """A kit with one part that holds glass."""
    group = draw(st.sampled_from(sorted(PARTS)))
    made = {name: sound()[name] for name in ("name", "mounts", "cameras")}
    return {**made, group: [draw(PARTS[group])]}


def uses_of(kit: Kit) -> list[Members]:
    """Every way to use the kit's one part, alone before the camera."""
    (part,) = kit.parts()
    if not isinstance(part, Lens):
        return [{"element": "kit-part", "use": part.id}]
    ways = [(setting.id, turned) for setting in part.settings for turned in (False, True)]
    return [
        {"element": "kit-part", "use": part.id, "setting": setting, "reversed": turned, "f_number": 8.0}
        for setting, turned in ways
    ]


def a_lens(**members: Any) -> Members:
    kit = sound() | {"lenses": []}
    setting = {"id": "infinity", **members}
    kit["lenses"] = [{"id": "lens", "name": "Lens", "rear_thread": "M39x26tpi", "settings": [setting]}]
    return {name: kit[name] for name in ("name", "mounts", "cameras", "lenses")}


UNCERTAIN = {"parameters": ["rear_principal_plane_mm"], "covariance": [[0.01]]}


@given(kits())
@settings(max_examples=up_to(300), deadline=None)
@example(a_lens(focal_length_mm=50, front_principal_plane_mm=20, principal_plane_separation_mm=2, register_mm=0))
@example(a_lens(focal_length_mm=50, front_principal_plane_mm=20, uncertainty=UNCERTAIN))
def test_no_part_of_a_kit_that_is_taken_is_refused_by_itself(members: Members) -> None:
    try:
        kit = read_kit(members, "request")
    except ValidationError:
        event("refused")
        return
    event("taken")
    for use in uses_of(kit):
        sent: Any = {"camera": {"use": "body"}, "train": [use]}
        document = expand(sent, kit)
        Builder(document["camera"]["register_mm"], POINT, {}).part(document["train"][0], "/train/0")
        with_uncertainty(document)


def with_uncertainty(document: Any) -> None:
    """Evaluate; that alone before the camera it may show nothing real is no fault of the part."""
    tube = {"element": "spacer", "length_mm": 60.0}
    try:
        whole: Any = {**document, "train": [*document["train"], tube]}
        set_up = evaluate(whole)
        if "uncertainty" in document["train"][0]:
            propagate(whole, set_up)
    except OpticsError:
        event("impossible so")
