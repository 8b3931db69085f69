"""Plans of the hall: from who is here and which tables there are to who is where when.

Made by those who train, for players whom they may see. Raises NotPermitted for anybody else, and NothingPublished.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from time import monotonic

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.feeding import HallSetupRow
from dashboard.rows.halls import HallOrder, HallSession
from dashboard.services.plans import locks_on
from models.hall.asked import Child, Feeding, HallAsk, Station
from models.hall.planning import HallDraft, first_draft
from models.locks import NO_LOCKS, Locks
from models.nearest import nearest
from models.permits import require_planner
from models.planned import Stand
from models.refusal import Refused
from models.settings import Settings
from models.stance import Place
from models.words import FEEDING

Decided = tuple[tuple[str, Locks], ...]
"""What is decided of the balls of players who are here."""

MOST_STATIONS, MOST_PLAYERS = 12, 60

SMALL_HALL, SECONDS_OF_SMALL, SECONDS = 24, 2.0, 7.0
"""Settings: how long a better plan is looked for, and up to how many players times tables that is short."""


class NoHallPlan(Refused):
    """Something that was asked of the hall cannot be; the text says what, and what to do."""


def draft(desk: Desk, order: HallOrder) -> HallDraft:
    """The plain plan, at once. Raises NoHallPlan, NobodyHasAPlace, NoTurnFits."""
    require_planner(desk.reader)
    return questions.kept(desk, _draft, order, _decided(desk, order))


def bettered(desk: Desk, order: HallOrder) -> HallDraft:
    """The better plan, looked for once and then there for whoever orders the same. Raises what `draft` does."""
    require_planner(desk.reader)
    return questions.kept(desk, _bettered, order, _decided(desk, order))


def _decided(desk: Desk, order: HallOrder) -> Decided:
    locks = locks_on(desk, order.on)
    return tuple((player, locks[player]) for player in order.players if player in locks)


def _draft(desk: Desk, order: HallOrder, decided: Decided) -> HallDraft:
    return first_draft(_ask(desk, order, dict(decided)))


def _bettered(desk: Desk, order: HallOrder, decided: Decided) -> HallDraft:
    return _draft(desk, order, decided).bettered(search_seconds(order), monotonic)


def search_seconds(order: HallOrder) -> float:
    """How long a better plan is looked for: somebody stands there and waits."""
    return SECONDS_OF_SMALL if len(order.players) * len(order.stations) <= SMALL_HALL else SECONDS


def session(desk: Desk, order: HallOrder, made: HallDraft) -> HallSession:
    """The plan with the names that it is told by."""
    names = {player.player_id: player.name for player in questions.players(desk)}
    setups = {setup.setup_id: setup.name for setup in questions.hall_setups(desk)}
    return HallSession(order.on, order.begins_at, made.plan, names, setups)


def _ask(desk: Desk, order: HallOrder, locks: Mapping[str, Locks]) -> HallAsk:
    settings, setups = questions.settings(desk), questions.hall_setups(desk)
    _require_sound(order, settings)
    stations = stations_called(order.stations, setups)
    return HallAsk(
        _children(desk, order, setups, settings, locks),
        stations,
        order.minutes,
        settings,
        breaks=order.breaks,
        longest_wait_minutes=settings.hall_wait_minutes,
        most_balls=settings.hall_balls,
        must=frozenset((code, ball) for code in order.players for ball in locks.get(code, NO_LOCKS).must),
    )


def _require_sound(order: HallOrder, settings: Settings) -> None:
    if order.minutes > settings.hall_minutes:
        raise NoHallPlan(
            f"The club has the hall for {settings.hall_minutes:g} minutes (hall_minutes in club.toml), and "
            f"{order.minutes:g} were asked for. Give fewer."
        )
    if not order.players:
        raise NoHallPlan("Nobody is here to plan for. Touch the names of those who came.")
    if len(order.players) > MOST_PLAYERS or len(order.stations) > MOST_STATIONS:
        raise NoHallPlan(
            f"Saw {len(order.players)} players at {len(order.stations)} tables, expected {MOST_PLAYERS} at "
            f"{MOST_STATIONS} at most. Plan them as two halls."
        )
    for player, times in Counter(order.players).items():
        if times > 1:
            raise NoHallPlan(f"{player} is named {times} times: in two groups, or by name too. Name each player once.")


def stations_called(words: Sequence[str], setups: Sequence[HallSetupRow]) -> tuple[Station, ...]:
    """The tables that words mean: `robot`, `multiball`, `partner`, or the code of a feeder or of a setup.

    A kind of feeding may be named several times, for as many tables. Raises NoHallPlan.
    """
    if not words:
        raise NoHallPlan(
            f"There is no feeder to plan with. Name each table by what feeds there ({', '.join(FEEDING.names)}), or by "
            "the code of a feeder or of a setup."
        )
    doubled = [word for word, times in Counter(words).items() if times > 1 and word not in FEEDING.names]
    if doubled:
        raise NoHallPlan(f"{doubled[0]} is one feeder, and cannot stand at two tables. Name it once.")
    return tuple(_station(number, word, setups) for number, word in enumerate(words, start=1))


def _station(number: int, word: str, setups: Sequence[HallSetupRow]) -> Station:
    here = [setup for setup in setups if word in (setup.setup_id, setup.feeder_id, setup.feeding)]
    if not here and word not in FEEDING.names:
        known = [one for s in setups for one in (s.setup_id, s.feeder_id) if one]
        near = nearest(word, [*FEEDING.names, *known])
        hint = f" Did you mean {near}?" if near else ""
        raise NoHallPlan(
            f"Table {number}: no feeder and no setup {word!r} has a place: where it stands is not loaded, or no longer "
            f"holds.{hint} Load the setups with x_cm and y_cm, or name another."
        )
    if not here:
        raise NoHallPlan(
            f"Table {number}: no setup for {word} has a place. Load one with x_cm and y_cm, or name another."
        )
    feeding: Feeding = next((said for s in here if (said := _feeding(s)) is not None), "robot")
    name = f"Table {number}, {word}"
    return Station(name, feeding, tuple(sorted({setup.setup_id for setup in here})))


def _feeding(setup: HallSetupRow) -> Feeding | None:
    kinds: tuple[Feeding, ...] = ("robot", "multiball", "partner")
    return next((kind for kind in kinds if kind == setup.feeding), None)


def _children(
    desk: Desk,
    order: HallOrder,
    setups: Sequence[HallSetupRow],
    settings: Settings,
    locks: Mapping[str, Locks],
) -> tuple[Child, ...]:
    """Everybody who is here, with what is wanted of them. Raises NoHallPlan for somebody who is not known."""
    players = {player.player_id: player for player in questions.players(desk)}
    wanted = questions.wanted_by_player(desk, order.on)
    for code in order.players:
        if code not in players:
            raise NoHallPlan(f"No active player {code!r} is known whom you may plan for.")
    stands = {hand: _stands(setup for setup in setups if setup.handedness == hand) for hand in ("right", "left")}
    return tuple(
        Child.on_a_day(
            code,
            wanted.get(code, ()),
            stands[players[code].handedness],
            settings,
            but=locks.get(code, NO_LOCKS).not_today,
        )
        for code in order.players
    )


def _stands(setups: Iterable[HallSetupRow]) -> dict[str, Stand]:
    return {s.setup_id: Stand(s.setup_id, s.depth, s.side, Place(s.x_cm, s.y_cm)) for s in setups}
