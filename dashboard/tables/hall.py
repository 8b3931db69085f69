"""A plan of the hall as its drawing takes it: tables, slots, boxes, with one child followed."""

from dashboard.drawings.hall_axis import AxisBox, AxisSlot, AxisTable
from dashboard.rows.halls import HallSession
from dashboard.words.hall import ROLES
from dashboard.words.plan import setup_called
from models.hall.told import TableSlot

SHOWN_SIGNS = ("spin", "spin_family", "length", "tempo_band")
"""In this order the first two words of a turn become signs; the place is the table's."""

Axis = tuple[tuple[AxisTable, ...], tuple[AxisSlot, ...], tuple[AxisBox, ...]]


def axis_of(session: HallSession, followed: str | None) -> Axis:
    """What the drawing needs; `followed` is the code of a player."""
    tables = tuple(AxisTable(station.name, ROLES[station.feeding]) for station in session.plan.stations)
    slots = tuple(
        AxisSlot(
            f"{session.at(slot.begin):%H:%M}",
            slot.begin,
            slot.minutes,
            tuple(session.names[player] for player in slot.resting),
        )
        for slot in session.plan.slots
    )
    boxes = tuple(
        _box(session, followed, at, number, table)
        for number, slot in enumerate(session.plan.slots)
        for at, table in enumerate(slot.tables)
    )
    return tables, slots, boxes


def short_name(name: str) -> str:
    """`Tilde A.` for Tilde Ansgrim."""
    first, *others = name.split() or [name]
    return f"{first} {others[-1][0]}." if others else first


def _box(session: HallSession, followed: str | None, at: int, number: int, table: TableSlot) -> AxisBox:
    own = [turn for turn in table.turns if turn.player == followed] or list(table.turns)
    said = own[0].drill.gap.words if own else {}
    signs = tuple((word, value) for word in SHOWN_SIGNS if (value := said.get(word)) is not None)
    names = tuple(short_name(session.names[player]) for player in table.players)
    slot = session.plan.slots[number]
    moved = ", its feeder moved there first" if table.is_moved else ""
    where = (
        f"{session.at(slot.begin):%H:%M}, {table.station.name} at {setup_called(table.setup, session.setups)}{moved}"
    )
    told = f"{where}: {', '.join(session.names[player] for player in table.players) or 'nobody'}."
    return AxisBox(at, number, names, signs, table.is_moved, followed in table.players, told)
