"""Random numbers, lenses and set-up documents that have a real subject, for property tests."""

from typing import Any

from hypothesis import strategies as st

Document = Any


def lengths(low: float, high: float) -> st.SearchStrategy[float]:
    """Lengths in mm without denormals or signed zeros."""
    return st.floats(low, high, allow_nan=False, allow_infinity=False).map(lambda value: round(value, 6))


@st.composite
def lenses(draw: st.DrawFn, *, reversed_: bool | None = None) -> Any:
    """Lens with every datum known, like those on sale: the rim lies before the flange."""
    focal_length = draw(lengths(10, 200))
    register = draw(lengths(15, 75))
    front_plane = draw(lengths(-20, 60))
    length = draw(lengths(20, 150))
    return {
        "element": "lens",
        "reversed": draw(st.booleans()) if reversed_ is None else reversed_,
        "focal_length_mm": focal_length,
        "f_number": draw(lengths(1.4, 32)),
        "pupil_magnification": draw(lengths(0.3, 4)),
        "front_principal_plane_mm": front_plane,
        "register_mm": register,
        "principal_plane_separation_mm": round(length - front_plane + register - focal_length, 6),
    }


@st.composite
def one_lens_set_ups(draw: st.DrawFn, *, reversed_: bool | None = None) -> tuple[Document, float]:
    """One lens before a spacer that gives the drawn magnification exactly; the document and the magnification."""
    lens = draw(lenses(reversed_=reversed_))
    m = draw(lengths(0.05, 10))
    camera_register = draw(lengths(10, 50))
    focal_length = lens["focal_length_mm"]
    if lens["reversed"]:
        spacer = focal_length * (1 + m) - camera_register - lens["front_principal_plane_mm"]
    else:
        spacer = focal_length * m - camera_register + lens["register_mm"]
    document = {
        "camera": {"register_mm": camera_register, "sensor_width_mm": 36.0, "sensor_height_mm": 24.0},
        "train": [lens, {"element": "spacer", "length_mm": spacer}],
    }
    return document, m


def scaled(document: Document, factor: float) -> Document:
    """Return the document with every length (and no ratio) multiplied."""

    def scale(members: Any) -> Any:
        return {name: value * factor if name.endswith("_mm") else value for name, value in members.items()}

    return {"camera": scale(document["camera"]), "train": [scale(element) for element in document["train"]]}
