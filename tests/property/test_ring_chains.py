"""Chains of rings against networkx, over random kits."""

from collections.abc import Iterator, Sequence
from itertools import pairwise, product
from typing import Any

import networkx as nx
from hypothesis import assume, given
from hypothesis import strategies as st

from closeup_service.gear.catalogue import THREADS
from closeup_service.gear.kit import Face, Kit, Ring, thread_face
from closeup_service.gear.ring_chains import owned_chains
from closeup_service.schemas.kit import read_kit
from kits import Members, kits_of_rings, threads

MOST_PARTS = 12
Node = tuple[str, str]
Row = tuple[int, int, float, tuple[str, ...]]


def node(face: Face) -> Node:
    """An open face, by its own thread and gender."""
    assert face.thread is not None
    return face.thread, face.gender


def counterpart(face: Face) -> Node:
    """What an open face must be to take this one."""
    assert face.thread is not None
    return face.thread, "internal" if face.gender == "external" else "external"


def graph_of(rings: Sequence[Ring]) -> Any:
    """Directed multigraph: from each open face, by each ring that it takes, to the face then open."""
    graph = nx.MultiDiGraph()
    for ring in rings:
        graph.add_edge(counterpart(ring.front), node(ring.rear), key=(ring.id, 0), ring=ring)
        graph.add_edge(counterpart(ring.rear), node(ring.front), key=(ring.id, 1), ring=ring)
    return graph


def all_chains(rings: Sequence[Ring], start: Face, end: Face) -> Iterator[Row]:
    """Every chain, by networkx's own enumeration of simple paths, in no order."""
    if node(start) == counterpart(end):
        yield 0, 0, 0.0, ()
        return
    graph = graph_of(rings)
    if node(start) not in graph or counterpart(end) not in graph:
        return
    own = THREADS[str(start.thread)].diameter_mm
    for path in nx.all_simple_edge_paths(graph, node(start), counterpart(end), cutoff=MOST_PARTS):
        used = [graph.edges[edge]["ring"] for edge in path]
        ids = tuple(ring.id for ring in used)
        if len(set(ids)) == len(ids):
            below = sum(THREADS[to[0]].diameter_mm < own for _, to, _ in path)
            yield len(ids), below, round(sum(ring.length_mm for ring in used), 9), ids


def as_face(members: Members) -> Face:
    return thread_face(members["thread"], members["gender"])


def ours(kit: Kit, start: Face, end: Face, most: int) -> list[Row]:
    return [
        (len(chain.rings), chain.steps_below, chain.assumed_extension_mm, tuple(ring.id for ring in chain.rings))
        for chain in owned_chains(kit, start, end, most).chains
    ]


def theirs(kit: Kit, start: Face, end: Face) -> list[Row]:
    """Two ways round of a ring with two alike faces are one chain."""
    return sorted(set(all_chains(kit.rings, start, end)))


@given(kits_of_rings(), threads(), threads(), st.integers(1, 50))
def test_the_chains_are_the_best_of_all_that_there_are(
    members: Members, start: Members, end: Members, most: int
) -> None:
    kit = read_kit(members, "request")
    assert ours(kit, as_face(start), as_face(end), most) == theirs(kit, as_face(start), as_face(end))[:most]


def can_be_made(graph: Any, path: list[Node]) -> bool:
    """Whether every step of a path can have a ring of its own."""
    choices = [{key[0] for key in graph.get_edge_data(before, after)} for before, after in pairwise(path)]
    return any(len(set(ids)) == len(ids) for ids in product(*choices))


@given(kits_of_rings(), threads(), threads())
def test_the_best_chain_has_as_few_parts_as_the_first_shortest_simple_path(
    members: Members, start: Members, end: Members
) -> None:
    kit, first, last = read_kit(members, "request"), as_face(start), as_face(end)
    graph, target = graph_of(kit.rings), counterpart(last)
    found = owned_chains(kit, first, last, 1).chains
    if node(first) not in graph or target not in graph or not nx.has_path(graph, node(first), target):
        assert not found or not found[0].rings
        return
    paths = nx.shortest_simple_paths(nx.DiGraph(graph), node(first), target)
    fewest = next((len(path) - 1 for path in paths if can_be_made(graph, path)), None)
    assert fewest == (len(found[0].rings) if found else None)


@given(kits_of_rings(), threads(), threads())
def test_a_chain_joins_at_every_face(members: Members, start: Members, end: Members) -> None:
    kit, last = read_kit(members, "request"), as_face(end)
    for chain in owned_chains(kit, as_face(start), last, 10).chains:
        opening = as_face(start)
        for ring in chain.rings:
            ways = [left for taken, left in ((ring.front, ring.rear), (ring.rear, ring.front)) if opening.joins(taken)]
            assert ways
            opening = ways[-1] if len(ways) == 1 or not ways[0].joins(last) else ways[0]
        assert len({ring.id for ring in chain.rings}) == len(chain.rings)


@given(kits_of_rings(), threads(), threads())
def test_a_chain_turned_round_is_a_chain(members: Members, start: Members, end: Members) -> None:
    kit = read_kit(members, "request")
    there = {frozenset(row[3]) for row in ours(kit, as_face(start), as_face(end), 50)}
    back = {frozenset(row[3]) for row in ours(kit, as_face(end), as_face(start), 50)}
    assume(len(there) < 20 and len(back) < 20)
    assert there == back
