"""The table of rings on sale: threads that the catalogue has, genders that fit, a source or its lack on every record."""

import pytest

from closeup_service.gear.catalogue import MOUNTS, THREADS
from closeup_service.gear.kit import mount_face, thread_face
from closeup_service.gear.ring_chains import chains_to_buy
from closeup_service.gear.standard_rings import (
    mount_adapters,
    reversing_rings,
    standard_rings,
    table,
    thin_adapters,
    thread_rings,
)
from closeup_service.schemas.kit import demo_kit

KIT = demo_kit()


@pytest.mark.parametrize("group", table())
def test_every_record_names_its_source_or_says_that_it_has_none(group: str) -> None:
    record = table()[group]
    assert record["source_status"] in ("published", "from-memory", "common-practice")
    assert (record["source_status"] == "common-practice") == ("common practice, no source" in record["source"])


def test_every_thread_on_sale_is_one_of_the_catalogue() -> None:
    listed = {thread for record in table().values() for thread in record.get("threads", ())}
    listed |= {
        thread for group in ("bushings", "reducing_rings") for pair in table()[group]["pairs"] for thread in pair
    }
    assert listed <= set(THREADS)


def test_every_mount_on_sale_is_one_of_the_catalogue() -> None:
    listed = {*table()["mount_adapters"]["bridges"], *table()["not_made_for"]["mounts"]}
    listed |= {mount for pair in table()["thin_adapters"]["pairs"] for mount in pair}
    assert listed <= set(MOUNTS)


def test_a_thin_adapter_is_sold_just_where_no_adapter_that_keeps_infinity_is() -> None:
    for lens, camera in table()["thin_adapters"]["pairs"]:
        assert list(mount_adapters(MOUNTS[lens], MOUNTS[camera])) == []
        (thin,) = thin_adapters(MOUNTS[lens], MOUNTS[camera])
        assert not thin.length_known


def test_no_two_rings_on_sale_share_a_name_and_none_could_be_a_part_of_a_kit() -> None:
    start, end = thread_face("M49x0.75", "internal"), mount_face(MOUNTS["bayonet-18.0"], "body")
    names = [ring.id for ring in standard_rings(start, end, KIT)]
    assert len(set(names)) == len(names)
    assert all(" " in name for name in names)


def test_a_step_ring_has_one_thread_of_each_gender_and_a_coupling_ring_two_external_ones() -> None:
    for ring in thread_rings():
        genders = {ring.front.gender, ring.rear.gender}
        assert genders == ({"external"} if ring.name.startswith("coupling") else {"external", "internal"})


def test_a_reversing_ring_goes_into_a_filter_thread_and_onto_a_body() -> None:
    for ring in reversing_rings(MOUNTS["M42x1"]):
        assert ring.front.gender == "external"
        assert ring.rear.joins(mount_face(MOUNTS["M42x1"], "body"))


def test_an_adapter_on_sale_is_as_thick_as_the_registers_differ() -> None:
    (adapter,) = mount_adapters(MOUNTS["M42x1"], MOUNTS["bayonet-44.0"])
    assert adapter.length_mm == pytest.approx(45.46 - 44.0)
    assert list(mount_adapters(MOUNTS["bayonet-44.0"], MOUNTS["M42x1"])) == []
    assert list(mount_adapters(MOUNTS["M42x1"], MOUNTS["bayonet-45.46"])) == []


def test_a_purchase_is_never_more_than_three_rings() -> None:
    lens, body = thread_face("M37x0.75", "internal"), mount_face(MOUNTS["bayonet-46.5"], "body")
    found = chains_to_buy(KIT, lens, body, 5)
    assert found.chains
    assert all(1 <= len(chain.buy) <= 3 for chain in found.chains)
