"""SVG from plain values: numbers, lines, dots, words, and the picture around them."""

from typing import Any

from dashboard.drawings.markup import Markup, element
from dashboard.drawings.skins import SCREEN, Skin

Sizes = str | int | None
"""What an attribute may be."""


def number(value: float) -> str:
    """A length as short as it can be told: two decimals, no noughts at the end."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"


def picture(
    *inside: str,
    width: float,
    height: float,
    alternative: str | None,
    box: str | None = None,
    skin: Skin = SCREEN,
    **attributes: Sizes,
) -> Markup:
    """A drawing with what it says in words; where the words stand beside it already, None hides it from readers."""
    words: dict[str, Sizes] = {"role": "img", "aria_label": alternative} if alternative else {"aria_hidden": "true"}
    size = {"width": number(width), "height": number(height)}
    return element(
        "svg",
        *inside,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=box or f"0 0 {number(width)} {number(height)}",
        **({"font_family": skin.family} | size | words | attributes),
    )


def path(steps: str, **attributes: Sizes) -> Markup:
    """A path; filled only where a fill is given."""
    return element("path", d=steps, **({"fill": "none"} | attributes))


def rect(x: float, y: float, width: float, height: float, *, radius: float = 0, **attributes: Sizes) -> Markup:
    """A rectangle, its corners rounded by the radius."""
    size = {"x": number(x), "y": number(y), "width": number(width), "height": number(height)}
    return element("rect", **size, rx=number(radius) if radius else None, **attributes)


def circle(x: float, y: float, radius: float, **attributes: Sizes) -> Markup:
    """A circle."""
    return element("circle", cx=number(x), cy=number(y), r=number(radius), **attributes)


def text(x: float, y: float, words: str, *, size: float = 12.5, fill: str, **attributes: Sizes) -> Markup:
    """Words; y is their base line. `anchor` is start, middle or end."""
    anchor = attributes.pop("anchor", None)
    place = {"x": number(x), "y": number(y), "font_size": number(size), "text_anchor": anchor}
    return element("text", words, fill=fill, **(place | attributes))


def group(
    *inside: str, at: tuple[float, float] | None = None, turn_deg: float = 0, scale: float = 1, **attributes: Sizes
) -> Markup:
    """Parts moved, turned and sized together."""
    steps = [
        f"translate({number(at[0])} {number(at[1])})" if at else "",
        f"rotate({number(turn_deg)})" if turn_deg else "",
        f"scale({number(scale)})" if scale != 1 else "",
    ]
    return element("g", *inside, transform=" ".join(step for step in steps if step) or None, **attributes)


def stroke(width: float) -> dict[str, Any]:
    """A line in the colour of the words around it, with round ends."""
    return {
        "fill": "none",
        "stroke": "currentColor",
        "stroke_width": number(width),
        "stroke_linecap": "round",
        "stroke_linejoin": "round",
    }
