"""Static pages: plain HTML without scripts, with relative addresses alone."""

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any, TypeAlias

from closeup_client.command_line.export.charts import Chart
from closeup_client.command_line.export.lenses import Lens
from closeup_client.command_line.export.tables import NOT_POSSIBLE, Grid
from closeup_client.command_line.figures import with_signs

STYLE = """\
:root { color-scheme: light dark; --ink: #1d2420; --paper: #fbfaf6; --rule: #78836f; --tint: #eef1e8; --accent: #2c5c3b; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #e6eae3; --paper: #171b18; --rule: #7d8a80; --tint: #212822; --accent: #9fd0ac; }
}
body { margin: 0 auto; max-width: 60rem; padding: 1rem; font: 1rem/1.45 system-ui, sans-serif; color: var(--ink);
  background: var(--paper); }
a { color: var(--accent); }
h1, h2, h3 { line-height: 1.25; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; margin-block: .5rem 1.5rem; font-variant-numeric: tabular-nums; }
caption { text-align: start; padding-block: .25rem; }
th, td { padding: .25rem .6rem; border: 1px solid var(--rule); text-align: end; white-space: nowrap; }
th { background: var(--tint); }
.chart { display: flex; flex-wrap: wrap; gap: 0 1.5rem; align-items: start; }
.chart img { max-width: 100%; height: auto; margin-block: .5rem; }
.chart .wide { flex: 1 1 18rem; min-width: 0; }
.chart caption { max-width: min(26rem, 100vw - 2rem); }
.chart th { white-space: normal; }
@media (max-width: 24rem) { .chart img { margin-inline: -1rem; max-width: calc(100% + 2rem); } }
@media print {
  :root { color-scheme: light; --ink: #000; --paper: #fff; --rule: #777; --tint: #eee; --accent: #000; }
  body { max-width: none; padding: 0; font-size: 9pt; }
  table, li, .chart img { break-inside: avoid; }
  h2, h3 { break-after: avoid; }
  .chart img { max-width: 80mm; }
  th, td { padding-inline: .3rem; }
  .chart caption { max-width: 20rem; }
  nav { display: none; }
}
"""
LIMITS = (
    "The sums are those of Gaussian optics: they know nothing of aberrations, of corners that clip, or of lenses that change "
    "their focal length as they are focused. Check with a test frame."
)

Shown: TypeAlias = Grid | Chart | str
"""A table, a chart, or a sentence on why there is none."""


def page(title: str, *body: str) -> str:
    """Whole page."""
    return "\n".join(
        [
            "<!DOCTYPE html>",
            '<html lang="en">',
            "<head>",
            '<meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{escape(title)}</title>",
            '<link rel="stylesheet" href="page.css">',
            "</head>",
            "<body>",
            "<main>",
            f"<h1>{escape(title)}</h1>",
            *body,
            "</main>",
            "</body>",
            "</html>",
            "",
        ]
    )


def index(name: str, remarks: Sequence[str], lenses: Sequence[Lens], assumed: str, cautions: str) -> str:
    """First page: which lenses there are, what holds for all tables, and the cautions."""
    links = [f'<li><a href="{escape(each.slug)}.html">{escape(each.name)}</a></li>' for each in lenses]
    return page(
        f"Close-up tables: {name}",
        *[f"<p>{escape(with_signs(text))}</p>" for text in remarks],
        "<h2>Lenses</h2>",
        "<ul>",
        *links,
        "</ul>",
        assumed,
        cautions,
    )


def lens_page(lens: Lens, by_mounting: Mapping[str, Sequence[Shown]], assumed: str, cautions: str) -> str:
    """Page of one lens."""
    data = ", ".join(f"{words(name)} {value:g}" for name, value in lens.data.items())
    sections = [
        text
        for mounting, each_shown in by_mounting.items()
        for text in (f"<h2>Mounted {mounting}</h2>", *(section(each, mounting) for each in each_shown))
    ]
    return page(
        lens.name,
        '<nav><a href="index.html">All lenses</a></nav>',
        f"<p>{escape(data)}; {escape(lens.basis)}.</p>",
        f"<p>Rows are marked f-numbers, columns magnifications. {NOT_POSSIBLE} stands where there is no such aperture.</p>",
        *sections,
        assumed,
        cautions,
    )


def section(shown: Shown, mounting: str) -> str:
    """A table, a chart with its rows beside it, or why there is none."""
    if isinstance(shown, str):
        return f"<p>{escape(shown)}</p>"
    if isinstance(shown, Grid):
        return "\n".join([f"<h3>{escape(shown.title)}</h3>", table(shown, mounting)])
    picture = f'<img src="{escape(shown.file)}" alt="{escape(with_signs(shown.finding))}">'
    parts = [
        f"<h3>{escape(shown.grid.title)}</h3>",
        '<div class="chart">',
        picture,
        table(shown.grid, mounting),
        "</div>",
    ]
    return "\n".join(parts)


def table(grid: Grid, mounting: str) -> str:
    """One table, which scrolls by itself on a narrow screen."""
    heads = "".join(f'<th scope="col">{escape(each)}</th>' for each in grid.columns)
    rows = [
        f'<tr><th scope="row">{escape(mark)}</th>{"".join(f"<td>{escape(cell)}</td>" for cell in cells)}</tr>'
        for mark, cells in grid.rows
    ]
    return "\n".join(
        [
            f'<section class="wide" tabindex="0" aria-label="{escape(f"{grid.title}, mounted {mounting}")}"><table>',
            f"<caption>{escape(grid.note)}</caption>",
            f'<thead><tr><th scope="col">{escape(grid.head)}</th>{heads}</tr></thead>',
            "<tbody>",
            *rows,
            "</tbody>",
            "</table></section>",
        ]
    )


def assumptions(assumed: Sequence[str]) -> str:
    """What was assumed, and where the sums end."""
    items = [f"<li>{escape(with_signs(each))}</li>" for each in assumed]
    return "\n".join(["<h2>Assumed</h2>", "<ul>", *items, f"<li>{LIMITS}</li>", "</ul>"])


def caution_list(cautions: Sequence[Mapping[str, Any]]) -> str:
    """Every caution; paper has no more to show on demand."""
    items = [
        f"<li><strong>{escape(each['concerns'].capitalize())}:</strong> {escape(with_signs(each['text']))}</li>"
        for each in cautions
    ]
    return "\n".join(["<h2>Cautions</h2>", "<ul>", *items, "</ul>"])


def words(name: str) -> str:
    """Name of a datum in words."""
    return name.removesuffix("_mm").replace("_", " ") + (" [mm]" if name.endswith("_mm") else "")
