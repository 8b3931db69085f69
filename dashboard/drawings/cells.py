"""The four states of a ball as a cell: never met is an empty dashed field, and the map fills up.

Too few is filled from below, by balls of those needed; covered is full; not lately is hatched. All four are told apart
in black and white.
"""

from collections.abc import Iterable, Mapping

from dashboard.drawings.balls import COACH_WORDS, STATES, State, StateWords
from dashboard.drawings.markup import Markup, element, joined
from dashboard.drawings.signs import SIGN, shown
from dashboard.drawings.skins import SCREEN, Skin
from dashboard.drawings.svg import number, path, rect, stroke

Box = tuple[float, float, float, float]
"""Left, top, width, height."""

LEAST_FILL, MOST_FILL = 0.22, 0.88
"""One ball is seen, and one ball to go is seen."""


def cell(box: Box, state: State, share: float = 0.5, *, skin: Skin = SCREEN, radius: float = 4) -> Markup:
    """One cell of a map."""
    match state:
        case "empty":
            return _framed(box, skin.card, skin.edge, radius, dashes="1.6 2" if box[2] > 10 else None)
        case "touched":
            filled = path(_filled_from_below(box, share, radius), fill=skin.met)
            return joined(_plain(box, skin.few, radius), filled, _framed(box, "none", skin.met, radius))
        case "stale":
            hatch = path(_hatch(box), stroke=skin.stale, stroke_width=".9")
            return joined(_plain(box, skin.stalesoft, radius), hatch, _framed(box, "none", skin.stale, radius))
    return _plain(box, skin.met, radius)


def small_cells(boxes: Mapping[State, list[tuple[Box, float]]], *, skin: Skin = SCREEN) -> Markup:
    """Many small cells, all of one state in one path, so that 24 maps on a page stay light. Each box with its share."""
    parts: list[Markup] = []
    for state, placed in boxes.items():
        outline = "".join(_small_outline(box) for box, _ in placed)
        if state == "empty":
            parts.append(path(outline, fill=skin.card, stroke=skin.edge, stroke_width=".7"))
        elif state == "covered":
            parts.append(path(outline, fill=skin.met))
        elif state == "touched":
            fills = "".join(_filled_from_below(box, share, 1) for box, share in placed)
            parts += [path(outline, fill=skin.few, stroke=skin.met, stroke_width=".8"), path(fills, fill=skin.met)]
        else:
            hatches = "".join(_hatch(box) for box, _ in placed)
            parts += [
                path(outline, fill=skin.stalesoft, stroke=skin.stale, stroke_width=".8"),
                path(hatches, stroke=skin.stale, stroke_width=".8"),
            ]
    return joined(*parts)


def state_sign(state: State, *, skin: Skin = SCREEN, size: float = SIGN) -> Markup:
    """A state beside its word; what is covered carries a tick."""
    drawn = cell((0.7, 0.7, 14.6, 14.6), state, skin=skin, radius=3)
    tick = path("M4.6 8.3L7.1 10.9L11.6 5.4", **(stroke(1.8) | {"stroke": skin.onmet}))
    return shown(joined(drawn, tick) if state == "covered" else drawn, size, skin=skin)


def legend(words: StateWords = COACH_WORDS, states: Iterable[State] = STATES) -> Markup:
    """The states and their words, in one line of a page."""
    entries = (element("span", state_sign(state), words[state], role="listitem") for state in states)
    return element("div", *entries, class_="hl-legend", role="list")


def _plain(box: Box, fill: str, radius: float) -> Markup:
    return rect(*box, radius=radius, fill=fill)


def _framed(box: Box, fill: str, line: str, radius: float, *, dashes: str | None = None) -> Markup:
    return rect(
        *_within(box, 0.5), radius=radius - 0.5, fill=fill, stroke=line, stroke_width="1", stroke_dasharray=dashes
    )


def _within(box: Box, edge: float) -> Box:
    x, y, width, height = box
    return x + edge, y + edge, width - 2 * edge, height - 2 * edge


def _small_outline(box: Box) -> str:
    least = min(box[2], box[3])
    return _outline(_within(box, min(0.4, 0.1 * least)), min(1.2, 0.2 * least))


def _outline(box: Box, radius: float) -> str:
    x, y, width, height = box
    r = number(radius)
    across, down = number(width - 2 * radius), number(height - 2 * radius)
    return (
        f"M{number(x + radius)} {number(y)}h{across}q{r} 0 {r} {r}v{down}q0 {r} -{r} {r}"
        f"h-{across}q-{r} 0 -{r} -{r}v-{down}q0 -{r} {r} -{r}z"
    )


def _filled_from_below(box: Box, share: float, radius: float) -> str:
    x, y, width, height = box
    tall = height * max(LEAST_FILL, min(MOST_FILL, share))
    r = min(radius, tall)
    return (
        f"M{number(x)} {number(y + height - tall)}h{number(width)}v{number(tall - r)}q0 {number(r)} -{number(r)} "
        f"{number(r)}h-{number(width - 2 * r)}q-{number(r)} 0 -{number(r)} -{number(r)}z"
    )


def _hatch(box: Box) -> str:
    """Lines that rise to the right, within the box."""
    x, y, width, height = box
    step = max(4.0, min(7.0, width / 4))
    lines, start = [], step / 2 - height
    while start < width:
        left, right = max(start, 0.0), min(start + height, width)
        if right - left > 1.2:
            low, high = y + height - (left - start), y + height - (right - start)
            lines.append(
                f"M{number(x + left + 0.5)} {number(low - 0.5)}L{number(x + right - 0.5)} {number(high + 0.5)}"
            )
        start += step
    return "".join(lines)
