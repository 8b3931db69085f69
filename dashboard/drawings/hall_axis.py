"""A plan of the hall as a time axis: tables below each other, slots side by side, and one child's way through them."""

from dataclasses import dataclass
from itertools import pairwise

from dashboard.drawings.markup import Markup, element, joined
from dashboard.drawings.signs import at, sign
from dashboard.drawings.skins import SCREEN
from dashboard.drawings.svg import circle, path, picture, rect, text

LEFT, TOP, BELOW, ROW_GAP, LINE = 150.0, 26.0, 22.0, 10.0, 17.0
MOST_SIGNS = 2
LETTER_WIDTH = 7.2
"""As wide as a letter of a name is at the most, on average."""


@dataclass(frozen=True)
class AxisTable:
    """A table's row: its name, and what feeds there."""

    name: str
    feeds: str


@dataclass(frozen=True)
class AxisBox:
    """A table in a slot (both from 0): who is there, what is fed in signs, and whether its feeder is moved there first.

    `follows`: the child who is followed is there. `told` says all of it in words.
    """

    table: int
    slot: int
    names: tuple[str, ...]
    signs: tuple[tuple[str, str], ...]
    is_moved: bool
    follows: bool
    told: str


@dataclass(frozen=True)
class AxisSlot:
    """When a slot begins, on the clock, and its minutes from the begin of the session; and who rests then."""

    clock: str
    begin: float
    minutes: float
    resting: tuple[str, ...] = ()


def hall_axis(
    tables: tuple[AxisTable, ...], slots: tuple[AxisSlot, ...], boxes: tuple[AxisBox, ...], width: float
) -> Markup:
    """The whole session as one picture."""
    end = slots[-1].begin + slots[-1].minutes
    scale = (width - LEFT - 8) / end
    height_of_row = max([len(box.names) for box in boxes], default=1) * LINE + 14
    rows = [TOP + row * (height_of_row + ROW_GAP) for row in range(len(tables))]
    places = {box: (LEFT + slots[box.slot].begin * scale, rows[box.table]) for box in boxes}
    wide = slots[0].minutes * scale
    parts = [
        *(_slot_of_axis(LEFT + slot.begin * scale, slot, rows[-1] + height_of_row) for slot in slots),
        *(_table(table, rows[at_row], height_of_row) for at_row, table in enumerate(tables)),
        *_way([box for box in boxes if box.follows], places, wide, height_of_row),
        *(_box(box, places[box], wide, height_of_row) for box in boxes),
    ]
    return picture(*parts, width=width, height=rows[-1] + height_of_row + BELOW, alternative=_told(slots, boxes))


def _told(slots: tuple[AxisSlot, ...], boxes: tuple[AxisBox, ...]) -> str:
    """The whole session in words, with every name in full."""
    by_slot = (
        [
            *(box.told for box in sorted(boxes, key=lambda one: one.table) if box.slot == number),
            *([f"Rest: {', '.join(slot.resting)}."] if slot.resting else []),
        ]
        for number, slot in enumerate(slots)
    )
    return " ".join(["Time axis of the hall.", *(sentence for own in by_slot for sentence in own)])


def hall_list(tables: tuple[AxisTable, ...], slots: tuple[AxisSlot, ...], boxes: tuple[AxisBox, ...]) -> Markup:
    """The same for a narrow screen: slot by slot, its tables beside each other."""
    return element(
        "ol",
        *(_slot(slot, tables, [b for b in boxes if b.slot == n]) for n, slot in enumerate(slots)),
        class_="hl-hall",
    )


def _slot(slot: AxisSlot, tables: tuple[AxisTable, ...], boxes: list[AxisBox]) -> Markup:
    when = element("span", element("b", slot.clock), f" {slot.minutes:g} min", class_="hl-hall-when")
    cells = [
        element(
            "span",
            element("small", tables[box.table].name),
            ", ".join(box.names) or "nobody",
            element("small", "moved here first") if box.is_moved else "",
            class_="hl-hall-box hl-hall-own" if box.follows else "hl-hall-box",
        )
        for box in boxes
    ]
    rests = [element("small", f"Rest: {', '.join(slot.resting)}", class_="hl-hall-rest")] if slot.resting else []
    return element("li", when, element("span", *cells, *rests, class_="hl-hall-tables"))


def _slot_of_axis(x: float, slot: AxisSlot, bottom: float) -> Markup:
    """When it begins above its line, and how many rest below."""
    line = path(f"M{x:.1f} {TOP - 6:.0f}V{bottom:.0f}", stroke=SCREEN.line)
    rest = [text(x, bottom + 15, f"{len(slot.resting)} rest", size=12, fill=SCREEN.soft)] if slot.resting else []
    return joined(line, text(x, TOP - 10, slot.clock, size=12, fill=SCREEN.soft), *rest)


def _table(table: AxisTable, y: float, height: float) -> Markup:
    name = text(0, y + height / 2 - 2, table.name, size=14, fill=SCREEN.ink, font_weight="600")
    return joined(name, text(0, y + height / 2 + 15, table.feeds, size=12, fill=SCREEN.soft))


def _way(
    followed: list[AxisBox], places: dict[AxisBox, tuple[float, float]], wide: float, height: float
) -> list[Markup]:
    """From each box of the child to the next."""
    ways = []
    for before, after in pairwise(followed):
        (x, y), (to_x, to_y) = places[before], places[after]
        x, y, to_y = x + wide, y + height / 2, to_y + height / 2
        bend = (x + to_x) / 2
        steps = f"M{x:.1f} {y:.1f}C{bend:.1f} {y:.1f} {bend:.1f} {to_y:.1f} {to_x:.1f} {to_y:.1f}"
        ways.append(path(steps, stroke=SCREEN.nextmark, stroke_width="2.5"))
    return ways


def _box(box: AxisBox, place: tuple[float, float], wide: float, height: float) -> Markup:
    x, y = place
    ink = SCREEN.onmet if box.follows else SCREEN.ink
    fill = SCREEN.met if box.follows else SCREEN.card
    frame = rect(x, y, wide, height, radius=8, fill=fill, stroke=SCREEN.edge)
    names = [
        text(x + 8, y + 20 + line * LINE, _fitting(name, wide - 16), size=12.5, fill=ink)
        for line, name in enumerate(box.names)
    ]
    signs = [
        at(x + wide - 26 - 22 * (len(box.signs[:MOST_SIGNS]) - 1 - number), y + height - 24, sign(*one), 18, ink)
        for number, one in enumerate(box.signs[:MOST_SIGNS])
    ]
    moved = circle(x + 2, y + 2, 6, fill=SCREEN.stalesoft, stroke=SCREEN.stale, stroke_width="1.5")
    return joined(frame, *names, *signs, *([moved] if box.is_moved else []))


def _fitting(name: str, width: float) -> str:
    """As much of a name as has room; the alternative has all of it."""
    letters = max(int(width / LETTER_WIDTH), 2)
    return name if len(name) <= letters else f"{name[: letters - 1]}…"
