"""Writing SVG: elements with everything escaped, and the picture around them.

Drawings carry presentation attributes alone, so that they show under any content security policy; their classes let a page
recolour those that stand within it.
"""

from xml.sax.saxutils import escape, quoteattr

Value = str | float


def element(name: str, *children: str, text: str = "", **attributes: Value) -> str:
    """Return an element; `class_` and the like lose the underscore at the end, others become hyphens."""
    written = "".join(f" {attribute(key)}={quoteattr(figure(value))}" for key, value in attributes.items())
    within = escape(text) + "".join(children)
    return f"<{name}{written}>{within}</{name}>" if within else f"<{name}{written}/>"


def attribute(key: str) -> str:
    """Name of an attribute as SVG writes it."""
    return "viewBox" if key == "view_box" else key.rstrip("_").replace("_", "-")


def figure(value: Value) -> str:
    """Length on the paper to a hundredth of a unit; text as it is."""
    return value if isinstance(value, str) else f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def picture(width: float, height: float, title: str, description: str, *children: str) -> str:
    """Return a whole picture, with its title and description for those who do not see it."""
    return element(
        "svg",
        element("title", text=title),
        element("desc", text=description),
        *children,
        xmlns="http://www.w3.org/2000/svg",
        width=width,
        height=height,
        view_box=f"0 0 {figure(width)} {figure(height)}",
        role="img",
        aria_label=title,
        font_family="sans-serif",
    )
