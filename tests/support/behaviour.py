"""The HTTP behaviour that the service promises, row by row, and which rows it leaves to the proxy before it.

RFC 9110 (HTTP semantics), RFC 9111 (caching), RFC 9112 (HTTP/1.1), RFC 9457 (problem details), RFC 8259 and RFC 7493
(JSON), RFC 9727 (API catalogue), the Fetch standard and the OWASP API security list of 2023; sections from memory.
"""

# fmt: off
MUST = frozenset(
    "D01 D03 D04 D05 D07 D08 S01 S02 S03 S04 S05 S06 S09 S12 S15 S16 S17 "  # noqa: SIM905
    "J01 J02 J03 J04 J05 J06 J07 J08 J09 J10 J12 J13 Q03 Q04 Q05 Q11 P01 P03 P04 P05 "
    "H01 H03 H04 H05 H08 H09 L01 L02 L03 L05 L08 O01 O06".split()
)
SHOULD = frozenset(
    "D02 D06 D09 D10 D11 S07 S08 S10 S11 S13 S14 J11 Q01 Q02 P02 "  # noqa: SIM905
    "H02 H06 H07 L04 L06 L07 L09 O02 O03 O04 O05 O07".split()
)
# fmt: on
LEFT_TO_THE_PROXY = {
    "H07": "a quota must hold over all workers and clients: the proxy counts, and the document names its headers and 429",
    "L07": "threaded workers starve under stalled uploads; the buffering proxy takes them",
}
