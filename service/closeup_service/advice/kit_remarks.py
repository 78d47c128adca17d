"""Remarks on the kit and on chains of rings."""

from collections.abc import Sequence

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import Remark, remark
from closeup_service.language import tr, tr_each

DEMO = "demo"


def demo_kit(origin: str) -> list[Remark]:
    """Say that the parts are invented, where this studio has named no kit of its own."""
    if origin != DEMO:
        return []
    return [
        remark(
            "demo-kit",
            tr(
                "This is the invented demo kit: nobody owns these parts. A studio names its own kit file in "
                "CLOSEUP_KIT, or sends its kit with the request.",
            ),
        )
    ]


def parts_not_at_hand(ids: Sequence[str]) -> list[Remark]:
    """Say which of the parts used are not owned, or lent."""
    if not ids:
        return []
    return [
        remark("not-at-hand", tr("By the kit these parts are not owned, or not at hand: {ids}.", ids=", ".join(ids)))
    ]


def rows_beyond_part(pointer: str, text: str) -> Remark:
    """Say which value of some rows a part does not have."""
    return remark(
        "beyond-part",
        tr("{pointer}: {text} Rows with another value are refused, the others not.", pointer=pointer, text=text),
    )


def refused_rows(code: str, text: str) -> Remark:
    """Say why the rows of some settings are refused, and the others not."""
    return remark("refused-rows", tr("Rows with the problem {code}: {text}", code=code, text=text))


def missing_chain(most_purchases: int, first: str, second: str) -> Remark:
    """Say that nothing joins the two ends, and which ring to have made: one with these two faces."""
    return remark(
        "no-chain",
        tr(
            "Neither the rings at hand nor up to {most_purchases} more of standard sizes join these two ends: no "
            "standard ring is known that does. Have one turned, with {first} on one face and {second} on the "
            "other; a cap or an adapter that has one of them already, bored and threaded for the other, is the "
            "least work. Its thickness counts as extension.",
            most_purchases=most_purchases,
            first=first,
            second=second,
        ),
    )


def other_gender(ends: Sequence[str]) -> list[Remark]:
    """Say that an end of the other gender, or the other side of a mount, could be joined."""
    if not ends:
        return []
    text = tr(
        "Check first which it is: with {ends} in its place there are rings that join the two.",
        ends=tr(" or ").join(ends),
    )
    return [remark("other-gender", text)]


def rings_to_buy() -> Remark:
    """Say that the chains hold rings that are not owned."""
    return remark(
        "must-buy",
        tr(
            "The rings at hand do not join these two ends. Each chain names what must be bought, none more than "
            "it takes.",
        ),
    )


def cut_search() -> list[Remark]:
    """Say that the search was not through."""
    text = tr(
        "This kit allows so many chains that the search ended before all were seen: others may exist.",
    )
    return [remark("search-cut", text)]


def needless_ring() -> Remark:
    """Say that no ring is needed."""
    return remark("joined-already", tr("These two ends join without a ring."))


def other_pitch(first: str, second: str) -> Remark:
    """Say that two threads of about one diameter are two threads."""
    return remark(
        "other-pitch",
        tr(
            "{first} and {second} are two threads: they start, then bind, and force spoils both. No ring is left "
            "out for that likeness.",
            first=first,
            second=second,
        ),
    )


def assumed_thickness(length_known: bool) -> list[Remark]:
    """Say that the thickness of a bought ring is the usual one."""
    if length_known:
        return []
    return [
        remark(
            "thickness-assumed",
            tr(
                "The thickness of a ring of standard size is not known before it is bought; the usual one is "
                "assumed. Measure the ring: its thickness is extension.",
            ),
        )
    ]


def infinity(wanted: float, kept: Sequence[int], too_long: Sequence[int], too_short: Sequence[int]) -> Remark:
    """Say which chains between two mounts keep infinity focus; chains are counted from 1."""
    if wanted < 0:
        text = tr(
            "The lens's register is {wanted} mm shorter than the camera's: no chain without glass keeps infinity "
            "focus; all of it is extension.",
            wanted=decimal(-wanted, 4),
        )
        return remark("infinity-focus", text)
    said = [
        tr(
            "Infinity focus takes {wanted} mm between the mounts, lens register less camera register.",
            wanted=decimal(wanted, 4),
        )
    ]
    for chains, what in (
        (kept, tr("Kept")),
        (too_long, tr("Longer, so that it is given up and the rest is extension")),
        (too_short, tr("Shorter, so that the lens focuses past infinity and its distance scale is off")),
    ):
        if chains:
            said.append(f"{what}: {chain_numbers(chains)}.")
    return remark("infinity-focus", " ".join(said))


def chain_numbers(chains: Sequence[int]) -> str:
    """Chains by their numbers, in words."""
    return tr_each("chain {chains}", "chains {chains}", len(chains), chains=", ".join(map(str, chains)))


def narrow_chains(narrow: Sequence[tuple[int, float]], front: float) -> list[Remark]:
    """Say which chains are narrower than the lens's front; chains are counted from 1."""
    if not narrow:
        return []
    listed = ", ".join(
        tr("chain {number}: {width} mm", number=number, width=decimal(width, 4)) for number, width in narrow
    )
    return [
        remark(
            "narrower-than-front",
            tr(
                "Narrower than the lens's front of {front} mm ({listed}): the corners may darken, most of all at "
                "small magnification with the lens wide open. Stopping down and more magnification help; a wider "
                "ring cures it.",
                front=decimal(front, 4),
                listed=listed,
            ),
        )
    ]


def steps_below(chains: Sequence[int]) -> list[Remark]:
    """Say which chains step down below the lens's own thread on the way; chains are counted from 1."""
    if not chains:
        return []
    text = tr("Below the lens's own thread on the way, where it may vignette: {chains}.", chains=chain_numbers(chains))
    return [remark("steps-below-thread", text)]
