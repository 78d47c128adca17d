"""Whatever kit is opened on its page is downloaded unchanged, and every part is saved by its form as it was."""

import json
from functools import cache

from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as st

from closeup_service.http.app import create_app
from closeup_service.pages.own_kit import kit_text
from closeup_service.pages.own_kit.groups import GROUPS
from kit_pages import opened
from small_kits import kit as small_kit
from thoroughness import up_to

TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["C"]), min_size=1, max_size=40)
PRICES = st.floats(0, 1e6, allow_subnormal=False)


@cache
def service() -> FlaskClient:
    return create_app().test_client()


@settings(max_examples=up_to(60), deadline=None)
@given(seed=st.integers(0, 10**6), name=TEXTS, lens=TEXTS, price=PRICES)
def test_a_kit_that_is_downloaded_and_opened_again_is_the_same(seed: int, name: str, lens: str, price: float) -> None:
    kit = {**small_kit(seed), "name": name}
    kit["lenses"][0] |= {"name": lens, "price": price}
    page = opened(service(), kit)
    assert page.kit == kit
    file = page.answer("export").text
    assert json.loads(file) == kit
    assert opened(service(), file).kit == kit


@settings(max_examples=up_to(30), deadline=None)
@given(seed=st.integers(0, 10**6), length=st.floats(0.1, 300))
def test_a_part_that_is_saved_unchanged_is_the_same(seed: int, length: float) -> None:
    kit = small_kit(seed)
    for tube in kit["tubes"]:
        tube["length_mm"] = length
    page = opened(service(), kit)
    for group in GROUPS:
        for part in kit.get(group, [])[:1]:
            assert page.press(f"change:{part['id']}").press(f"save:{group}").kit == kit


@settings(max_examples=up_to(100), deadline=None)
@given(
    text=st.text(max_size=200)
    | st.recursive(st.none() | st.floats() | st.text(), st.lists, max_leaves=20).map(json.dumps)
)
def test_whatever_is_no_kit_is_refused_in_words(text: str) -> None:
    found = kit_text.read_text(text)
    assert isinstance(found, list)
    assert all(found)
