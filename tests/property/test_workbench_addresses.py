"""What a bench can show, its address holds: a document leads to the same document, and an address to itself."""

import json
from collections.abc import Mapping
from typing import Any
from urllib.parse import parse_qs, urlencode, urlsplit

from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.gear.kit import Kit
from closeup_service.operations.refer.kit.operation import SMALL_KIT
from closeup_service.pages.elsewhere import plain_number
from closeup_service.pages.form import value
from closeup_service.pages.tasks.set_up import TASK
from closeup_service.pages.tasks.train_form import request
from closeup_service.pages.workbench.arranging import task_for, tidy_open_length
from closeup_service.pages.workbench.bench import read_bench, write_bench
from closeup_service.pages.workbench.documents import bench_of
from closeup_service.schemas.kit import read_kit

KIT: Kit = read_kit(SMALL_KIT, "file")
IDS = st.sampled_from(sorted(KIT.by_id)) | st.from_regex(r"[a-z][a-z0-9-]{0,12}", fullmatch=True)
LENGTHS = st.floats(0.001, 1000) | st.integers(0, 1000)
FLAGS = st.booleans()


def element(kind: str, needed: Mapping[str, Any], **optional: Any) -> st.SearchStrategy[dict[str, Any]]:
    """Elements of one kind, with some of what they may say besides."""
    return st.fixed_dictionaries({"element": st.just(kind), **needed}, optional=optional)


UNCERTAINTY = st.just({"parameters": ["focal_length_mm"], "covariance": [[1]]})
ELEMENTS = st.one_of(
    element(
        "lens",
        {"focal_length_mm": LENGTHS},
        f_number=st.floats(0.5, 256),
        reversed=FLAGS,
        register_mm=LENGTHS,
        lens_class=st.just("macro"),
        barrel_length_mm=LENGTHS,
        barrel_length_uncertainty_mm=LENGTHS,
        image_circle_mm=LENGTHS,
        uncertainty=UNCERTAINTY,
    ),
    element("spacer", {"length_mm": LENGTHS}, clear_diameter_mm=LENGTHS),
    element("close-up-lens", {"power_dpt": st.floats(-20, 20)}),
    element(
        "teleconverter", {"factor": st.floats(1.1, 3)}, added_length_mm=LENGTHS, focal_length_mm=st.floats(-99, -1)
    ),
    element("objective", {"magnification": st.floats(1, 50), "numerical_aperture": st.floats(0.05, 0.9)}),
    element("kit-part", {"use": IDS}, f_number=st.floats(1, 32), reversed=FLAGS, setting=IDS, length_mm=LENGTHS),
)
CAMERAS = st.one_of(
    st.fixed_dictionaries({"use": IDS}, optional={"circle_of_confusion_mm": st.floats(0.001, 1)}),
    st.fixed_dictionaries({"register_mm": LENGTHS}, optional={"sensor": st.sampled_from(["36x24", "23.5x15.6"])}),
)
DOCUMENTS = st.fixed_dictionaries(
    {"camera": CAMERAS, "train": st.lists(ELEMENTS, min_size=1, max_size=6)},
    optional={
        "subject_depth_mm": LENGTHS,
        "depth_of_field_model": st.sampled_from(["combined", "geometric", "nonsense"]),
        "wavelength_nm": st.integers(380, 780),
        "subject_kind": st.just("lichen"),
        "exposure": st.just({"unknown": "iso"}),
        "colour": st.none() | st.text(max_size=5),
    },
)


@st.composite
def with_open_length(draw: st.DrawFn, documents: st.SearchStrategy[dict[str, Any]] = DOCUMENTS) -> dict[str, Any]:
    """Documents, of which some leave a length open for a target."""
    document = draw(documents)
    places = [at for at, each in enumerate(document["train"]) if each["element"] == "spacer"]
    if not places or draw(st.booleans()):
        return document
    place = draw(st.sampled_from(places))
    train = list(document["train"])
    train[place] = {name: said for name, said in train[place].items() if name != "length_mm"}
    limits = {"minimum": draw(LENGTHS)} if draw(st.booleans()) else {}
    solve = {"unknown": f"/train/{place}/length_mm", "target": {"magnification": draw(st.floats(0.1, 10))}, **limits}
    return {**document, "train": train, "solve": solve}


def document_at(typed: dict[str, tuple[str, ...]]) -> Any:
    """Document that a bench with these texts asks for."""
    task = task_for(TASK, read_bench(typed), KIT)
    values: dict[str, object] = {}
    for each in task.inputs:
        if each.name in typed:
            text = typed[each.name][0]
            values[each.name] = json.loads(text) if each.is_document else value(text, each, None)  # type: ignore[arg-type]
    assert set(typed) == set(values)
    return request(values, {}, KIT).members


@given(with_open_length())
def test_a_document_comes_back_from_its_address(document: dict[str, Any]) -> None:
    bench = bench_of(document)
    assert bench is not None
    tidy_open_length(bench, KIT)
    address = urlencode(write_bench(bench), doseq=True)
    typed = {name: tuple(texts) for name, texts in parse_qs(address, keep_blank_values=True).items()}
    assert plain_number(document_at(typed)) == plain_number(document)


@given(with_open_length())
def test_an_address_that_the_page_leads_to_leads_nowhere_else(api: FlaskClient, document: dict[str, Any]) -> None:
    answer = api.get(f"/tasks/set-up?{urlencode({'document': json.dumps(document)})}")
    assert answer.status_code == 303
    link = urlsplit(answer.headers["Location"])
    assert api.get(f"{link.path}?{link.query}").status_code == 200
