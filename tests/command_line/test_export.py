"""Static pages for a site without a server: what they hold is what the service answers, and they load nothing."""

import json
from collections.abc import Callable
from html.parser import HTMLParser
from itertools import product
from pathlib import Path
from xml.etree import ElementTree

import pytest

from closeup_client import Camera, Client, EffectiveFNumberFields, Element, KitPart, Spacer

Run = Callable[..., tuple[int, str, str]]
LENS = "60mm f/2.8 p=1.1"
FEW = ("--magnification", "1:2", "2:1")
VOID = {"meta", "link", "br", "img", "input"}


class Read(HTMLParser):
    """Elements that stay open or close out of turn, addresses, and the cells of each table."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.faults: list[str] = []
        self.addresses: list[str] = []
        self.names: set[str] = set()
        self.images: dict[str, str] = {}
        self.tables: dict[str, list[list[str]]] = {}
        self.cells: list[list[str]] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.names |= {tag, *(name for name in given if name.startswith("on") or name == "style")}
        self.addresses += [str(value) for name, value in attrs if name in ("href", "src")]
        if tag == "img":
            self.images[str(given["src"])] = str(given["alt"])
        if tag not in VOID:
            self.open.append(tag)
        if tag == "section":
            self.cells = self.tables.setdefault(str(given["aria-label"]), [])
        if tag == "tr":
            self.cells.append([])
        if tag in ("td", "th"):
            self.cells[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.faults.append(tag)

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] in ("td", "th"):
            self.cells[-1][-1] += data


@pytest.fixture
def site(closeup: Run, tmp_path: Path) -> Path:
    code, out, err = closeup("export", str(tmp_path / "site"), "--lens", LENS, *FEW)
    assert (code, err) == (0, "")
    assert "8 lenses" in out
    return tmp_path / "site"


def test_every_page_is_whole_and_loads_nothing_from_elsewhere(site: Path) -> None:
    pages = sorted(site.glob("*.html"))
    assert len(pages) == 9
    for path in pages:
        text = path.read_text(encoding="utf-8")
        read = Read(text)
        assert (read.faults, read.open) == ([], [])
        assert not read.names & {"script", "style", "iframe", "object"}
        assert not any(name.startswith("on") for name in read.names)
        assert all("/" not in each and (site / each).is_file() for each in read.addresses)
    assert "url(" not in (site / "page.css").read_text()


def test_the_first_page_leads_to_every_lens_and_says_the_kit_is_invented(site: Path) -> None:
    text = (site / "index.html").read_text()
    assert {path.name for path in site.glob("*.html")} - {"index.html"} <= set(Read(text).addresses)
    assert "invented demo kit" in text
    assert "People:" in text


def test_the_tables_hold_what_the_service_answers(site: Path) -> None:
    tables = Read((site / "wide-35.html").read_text()).tables
    with Client.in_process() as studio:
        known = EffectiveFNumberFields(mounting="reversed", f_number=8, magnification=2, pupil_magnification=1.3)
        aperture = studio.effective_f_number(**known)
        flash = studio.flash(guide_number_m=28, **known)
        depth = studio.depth_of_field(
            sensor="23.5x15.6", circle_of_confusion_mm=0.019, **known | {"focal_length_mm": 35}
        )
    by_mark = {title: rows for title, rows in tables.items() if rows[0][0] == "marked"}
    cells = {title: next(row for row in rows if row[0] == "f/8")[2] for title, rows in by_mark.items()}
    assert cells["Effective f-number, mounted reversed"] == f"f/{aperture.effective_f_number:.3g}"
    assert cells["Light lost, mounted reversed"].startswith(f"{aperture.light_loss_stops:.1f} ")
    assert cells["Flash distance, mounted reversed"] == f"{flash.flash_distance_mm:.0f}"[:3] + "0"
    title = "Depth of field: Field camera, 23.5 x 15.6 mm, mounted reversed"
    assert cells[title] == f"{depth.total_mm:.3g}"
    assert tables["Effective f-number, mounted normal"][0] == ["marked", "1:2", "2:1"]


CHARTED = ("normal", "reversed"), ("aperture", "magnification")
DESCRIPTION = "{http://www.w3.org/2000/svg}desc"


def test_every_lens_of_the_kit_has_its_charts_with_their_findings_as_alternatives(site: Path) -> None:
    lenses = [path for path in site.glob("*.html") if not path.name.startswith(("index", "named"))]
    assert len(lenses) == 7
    for path in lenses:
        images = Read(path.read_text(encoding="utf-8")).images
        assert list(images) == [f"{path.stem}-{mounting}-{kind}.svg" for mounting, kind in product(*CHARTED)]
        for name, alternative in images.items():
            drawing = ElementTree.parse(site / name).getroot()
            assert alternative == drawing.findtext(DESCRIPTION)
            assert len(alternative) > 40
            assert not any(each.tag.endswith(("script", "image")) for each in drawing.iter())
            assert not any("url(" in (each.text or "") for each in drawing.iter() if each.tag.endswith("style"))
    shown = {name for path in lenses for name in Read(path.read_text(encoding="utf-8")).images}
    assert shown == {path.name for path in site.glob("*.svg")}


def test_the_rows_beside_the_charts_are_what_the_service_answers(site: Path) -> None:
    tables = Read((site / "wide-35.html").read_text(encoding="utf-8")).tables
    camera = Camera(use="field-camera")
    lens = KitPart(element="kit-part", use="wide-35", reversed=True)
    with Client.in_process() as studio:
        # reversed on 18 mm of register, plane 21 mm behind the rim: 35 x (0.5 + 1) - 18 - 21 is 13.5 mm at 1:2
        at_half: list[Element] = [lens, Spacer(element="spacer", length_mm=13.5)]
        told = studio.aperture_chart(
            camera=camera, train=at_half, subject_depth_mm=1, sensor_detail_lp_per_mm=30, f_numbers=[8]
        )
    (row,) = told.rows
    expected = [f"{row.middle_contrast:.2f}", f"{row.end_contrast:.2f}", f"{row.total_mm:.3g}"]
    found = {cells[0]: cells[1:] for cells in tables["Sharpness by aperture, mounted reversed"]}
    assert found["f/8"][:3] == expected
    lengths = tables["Magnification by extension, mounted reversed"]
    # 35 x (2 + 1) - 18 - 21 is 66 mm at 2:1
    assert [lengths[1][:2], lengths[-1][:2]] == [["13.5", "1:2"], ["66", "2:1"]]


def test_what_is_asked_of_the_charts_is_said_on_the_page(closeup: Run, tmp_path: Path) -> None:
    asked = ("--subject-depth-mm", "0.4", "--sensor-detail-lp-per-mm", "55")
    assert closeup("export", str(tmp_path), "--magnification", "3:1", *asked)[0] == 0
    text = (tmp_path / "wide-35.html").read_text(encoding="utf-8")
    assert "At 3:1 on the Field camera, 23.5 x 15.6 mm: contrast of 55 line pairs per mm" in text
    assert "at the ends of a subject 0.4 mm deep" in text
    assert "depth of 0.4 mm" in Read(text).images["wide-35-reversed-aperture.svg"]


def test_charts_that_cannot_be_drawn_are_left_out_and_the_page_says_why(closeup: Run, tmp_path: Path) -> None:
    few = ("--magnification", "1:100")
    assert closeup("export", str(tmp_path), "--lens", LENS, "--lens", "60mm plane=20", *few)[0] == 0
    unknown = (tmp_path / "named-60mm-f-2-8-p-1-1.html").read_text(encoding="utf-8")
    assert "No charts: they need the register of this lens, which is not known." in unknown
    assert "No charts: they need the front principal plane of this lens, which is not known." in unknown
    assert Read(unknown).images == {}
    half = (tmp_path / "named-60mm-plane-20.html").read_text(encoding="utf-8")
    assert "need the register" in half
    wide = (tmp_path / "wide-35.html").read_text(encoding="utf-8")
    assert "No charts: no extension on the Field camera, 23.5 x 15.6 mm gives any of these magnifications." in wide
    assert "wide-35-reversed-aperture.svg" not in wide


def test_a_lens_that_is_named_has_its_page(site: Path) -> None:
    text = (site / "named-60mm-f-2-8-p-1-1.html").read_text()
    assert "as named" in text
    assert "pupil magnification 1.1" in text


def test_each_page_states_what_it_assumes_and_the_cautions_people_first(site: Path) -> None:
    text = (site / "wide-35.html").read_text()
    assert text.index("<h2>Assumed</h2>") < text.index("wavelength: 550 nm") < text.index("<h2>Cautions</h2>")
    whom = [part.split(":")[0] for part in text.split("<li><strong>")[1:]]
    assert whom == sorted(whom, key=["People", "Animals", "Gear"].index)
    assert whom


def test_names_are_written_as_text(closeup: Run, tmp_path: Path, service_url: str) -> None:
    lens = {
        "id": "odd",
        "name": '<b>"odd" & old</b>',
        "mount": "M42x1",
        "settings": [{"id": "only", "focal_length_mm": 50}],
    }
    kit = tmp_path / "kit.json"
    kit.write_text(json.dumps({"name": "<i>Group</i>", "lenses": [lens]}))
    code, _, err = closeup("export", str(tmp_path / "site"), "--kit", str(kit), *FEW, "--server", service_url)
    assert (code, err) == (0, "")
    for page in ("index.html", "odd.html"):
        text = (tmp_path / "site" / page).read_text()
        assert not Read(text).names & {"b", "i"}
        assert "&lt;b&gt;" in text
    assert "No charts: the kit names no camera that is there" in text
    assert "pupil magnification: 1" in (tmp_path / "site" / "odd.html").read_text()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--lens", "a bus"), "--lens"),
        (("--lens", "tube 31"), "--lens: tube 31 is no lens."),
        (("--subject-depth-mm", "deep"), "not a number"),
        (("--magnification", "often"), "not a number"),
        (("--kit", "nowhere.json"), "nowhere.json cannot be read"),
        (("--lense", "60mm"), "did you mean --lens"),
    ],
)
def test_mistakes_are_told(closeup: Run, tmp_path: Path, words: tuple[str, ...], told: str) -> None:
    code, _, err = closeup("export", str(tmp_path / "site"), *words)
    assert code == 2
    assert told in err


def test_a_silent_service_is_told(closeup: Run, tmp_path: Path) -> None:
    code, _, err = closeup("export", str(tmp_path / "site"), "--server", "http://127.0.0.1:9")
    assert code == 4
    assert err.startswith("closeup export: ")
