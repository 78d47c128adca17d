"""Writing SVG: whatever goes in comes out of a standard XML reader."""

from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from closeup_service.drawing.svg import element, picture

WORDS = st.text(st.characters(exclude_categories=("Cs", "Cc"), exclude_characters="￾￿"))
SVG = "{http://www.w3.org/2000/svg}"


@given(title=WORDS, description=WORDS, label=WORDS, x=st.floats(-1e5, 1e5))
def test_texts_and_lengths_come_back(title: str, description: str, label: str, x: float) -> None:
    written = picture(100, 50, title, description, element("text", text=label, x=x, class_="ink", stroke_width=1))
    read = ElementTree.fromstring(written)
    drawn = read.find(f"{SVG}text")
    assert drawn is not None
    assert (read.findtext(f"{SVG}title"), read.findtext(f"{SVG}desc"), drawn.text or "") == (title, description, label)
    assert read.get("viewBox") == "0 0 100 50"
    assert abs(float(drawn.get("x", "nan")) - x) <= 0.005 + 1e-9
    assert (drawn.get("class"), drawn.get("stroke-width")) == ("ink", "1")
    assert drawn.get("x") != "-0"
