"""The kit through the client: listed, used by its ids, sent with a request."""

import pytest

from closeup_client import Client, Kit, ServiceRefused, camera, kit_part, solve
from kits import sound


def test_the_kit_is_listed_with_its_revision(client: Client) -> None:
    answer = client.kit()
    assert answer.origin == "demo"
    assert answer.parts == sum(
        len(parts) for name, parts in answer.kit.items() if isinstance(parts, list) and name != "mounts"
    )
    assert len(answer.revision) == 32


def test_parts_of_the_kit_make_a_set_up(client: Client) -> None:
    answer = client.evaluate(
        camera=camera(use="field-camera"),
        train=[
            kit_part(use="wide-35", reversed=True, f_number=8),
            kit_part(use="step-up-49-52"),
            kit_part(use="reversing-52-house"),
            kit_part(use="table-bellows"),
        ],
        solve=solve(unknown="/train/3/length_mm", target={"magnification": 2}),
    )
    assert answer.magnification == pytest.approx(2)
    assert answer.kit_revision == client.kit().revision
    assert answer.solved is not None
    # f (1 + m) = register + rings + bellows + plane, the lens reversed: Newton's form of the lens equation
    assert answer.solved.value == pytest.approx(35 * 3 - 18 - 6.6 - 21)


def test_a_kit_of_ones_own_is_sent_along(client: Client) -> None:
    own: Kit = sound()
    train = [kit_part(use="fifty", setting="infinity", f_number=4), kit_part(use="adapter"), kit_part(use="tube")]
    answer = client.evaluate(camera=camera(use="body"), train=train, kit=own)
    checked = client.kit(kit=own)
    assert answer.kit_revision == checked.revision
    assert checked.origin == "request"
    assert client.kit(kit=checked.kit).revision == checked.revision


def test_a_part_that_there_is_not_is_refused_by_its_pointer(client: Client) -> None:
    with pytest.raises(ServiceRefused) as refusal:
        client.evaluate(camera=camera(use="field-camera"), train=[kit_part(use="wide-53")])
    (fault,) = refusal.value.fields
    assert fault.pointer == "/train/0/use"
    assert "wide-35" in fault.detail


def test_ring_chains_name_their_rings_and_their_extension(client: Client) -> None:
    answer = client.ring_chains(
        from_thread="M49x0.75", from_gender="internal", to_mount="house-bayonet", to_side="body", most=1
    )
    (chain,) = answer.chains
    assert chain.rings == ("step-up-49-52", "reversing-52-house")
    assert chain.extension_mm == pytest.approx(6.6)
    assert chain.buy == ()
    assert answer.kit_revision == client.kit().revision
