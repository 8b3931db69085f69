"""Plans of the next session, asked for and made as every kind of person for every player."""

import inspect
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from dashboard.questions import Desk, owners_desk
from dashboard.services import plans
from dashboard.services.plans import NothingToPlan
from models import planning
from models.locks import NO_LOCKS, Locks
from models.permits import NotPermitted
from models.planned import Gap, Stand
from models.settings import Settings
from models.stance import Place
from models.worth import Shortfall, Wanted
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.door.test_questions_asked_by_everybody import NAMES, READABLE, must_be_refused, reader_of
from tests.people import PEOPLE

Ask = Callable[[Desk, str], Any]

DAY, DAY_AFTER = date(2025, 3, 14), date(2025, 3, 15)
ACTIVE = ("ADA", "BEN", "CLEO")
PLANNERS = {"Nora Quill": {"ADA", "BEN", "CLEO"}, "M. Roe": {"ADA", "BEN"}}
"""Written by hand, and not asked of the permits: whose sessions each may plan."""


A_PLAN = planning.plan(
    [Gap(1, {"depth": "back"}, 10, "never_met")],
    Shortfall.on_a_day([Wanted({"depth": "back"}, 1, 0, None)], Settings()),
    [Stand("BC", "back", "centre", Place(-20, 0))],
    60,
    Settings(),
)


A_BALL = (("depth", "back"), ("spin_family", "topspin"))


def keep(desk: Desk, player: str, day: date = DAY) -> None:
    plans.keep(desk, player, A_PLAN, day, day)


READING: dict[str, Ask] = {
    "next_kept": lambda desk, player: plans.next_kept(desk, player, DAY),
    "past": lambda desk, player: plans.past(desk, player, DAY_AFTER),
}
"""Open to everybody for whom the player is theirs."""

MAKING: dict[str, Ask] = {
    "proposed": lambda desk, player: plans.proposed(desk, player, 60, DAY),
    "keep": keep,
    "drop": lambda desk, player: plans.drop(desk, player, DAY),
    "locks_of": lambda desk, player: plans.locks_of(desk, player, DAY),
    "decide": lambda desk, player: plans.decide(desk, player, DAY, A_BALL, "not_today", DAY),
}
"""Open to those who train the player."""

OF_WHAT_ONE_HAS = {"dials_of", "locks_on"}
"""Asks nothing of one player: the calibration of a feeder; what is decided for those whom one may see."""


@pytest.fixture(params=[name for name, *_ in PEOPLE])
def desk(request: pytest.FixtureRequest, club: DataFolder) -> Desk:
    """The desk of each person in turn."""
    return Desk(club, reader_of(club, request.param))


def kept(folder: DataFolder) -> list[tuple[str, str]]:
    with club_file(folder) as connection:
        rows = connection.execute("select player, meant_for from plans order by 1, 2").fetchall()
    return [(row["player"], row["meant_for"]) for row in rows]


def test_whatever_is_done_with_plans_has_its_place_in_one_of_the_tables() -> None:
    """A new way in fails here until it is said to whom it is open."""
    asked = {
        name
        for name, thing in vars(plans).items()
        if inspect.isfunction(thing)
        and thing.__module__ == "dashboard.services.plans"
        and not name.startswith("_")
        and next(iter(inspect.signature(thing).parameters), "") == "desk"
    }

    assert asked == set().union(READING, MAKING, OF_WHAT_ONE_HAS)


def test_a_kept_plan_is_open_to_whoever_may_see_the_player(desk: Desk) -> None:
    for player in ACTIVE:
        keep(owners_desk(desk.folder), player)

    for player in NAMES:
        if player in READABLE[desk.reader.name]:
            assert (plans.next_kept(desk, player, DAY) is None) == (player == "DAN")
            assert (plans.past(desk, player, DAY_AFTER) == ()) == (player == "DAN")
        else:
            for ask in READING.values():
                must_be_refused(desk, ask, player)


@pytest.mark.parametrize("what", MAKING)
def test_plans_are_made_and_taken_back_by_those_who_train_the_player(desk: Desk, what: str) -> None:
    for player in ACTIVE:
        if player in PLANNERS.get(desk.reader.name, set()):
            MAKING[what](desk, player)
        else:
            with pytest.raises(NotPermitted):
                MAKING[what](desk, player)

    allowed = PLANNERS.get(desk.reader.name, set()) if what == "keep" else set()
    assert {player for player, _ in kept(desk.folder)} == allowed


def test_a_player_has_one_plan_for_a_day_and_past_ones_stay_for_half_a_year(club: DataFolder) -> None:
    desk = owners_desk(club)
    long_ago, in_time = DAY_AFTER - timedelta(weeks=26, days=1), DAY_AFTER - timedelta(weeks=26)

    for player, day in (
        ("ADA", long_ago),
        ("ADA", in_time),
        ("ADA", DAY),
        ("ADA", DAY),
        ("BEN", DAY),
        ("ADA", DAY_AFTER),
    ):
        keep(desk, player, day)

    assert kept(club) == [*(("ADA", f"{day}") for day in (in_time, DAY, DAY_AFTER)), ("BEN", f"{DAY}")]
    assert [plan.meant_for for plan in plans.past(desk, "ADA", DAY_AFTER)] == [DAY, in_time]


def test_the_plan_for_today_comes_before_that_for_another_day_and_tells_who_made_it(club: DataFolder) -> None:
    roe = Desk(club, reader_of(club, "M. Roe"))
    plans.keep(roe, "ADA", A_PLAN, DAY_AFTER, DAY)
    plans.keep(owners_desk(club), "ADA", A_PLAN, DAY, DAY)

    today, later = (plans.next_kept(roe, "ADA", day) for day in (DAY, DAY_AFTER))

    assert (today.meant_for, today.maker) == (DAY, None)
    assert (later.meant_for, later.maker) == (DAY_AFTER, "M. Roe")
    assert plans.next_kept(roe, "ADA", date(2025, 3, 16)) is None


def test_a_kept_plan_is_what_was_planned(club: DataFolder) -> None:
    desk = owners_desk(club)
    plan = plans.proposed(desk, "ADA", 60, DAY).plan
    plans.keep(desk, "ADA", plan, DAY, DAY)

    found = plans.next_kept(desk, "ADA", DAY)

    assert (found.balls, found.minutes) == (plan.balls, pytest.approx(plan.minutes))
    assert [(block.order, block.balls) for block in found.blocks] == [(b.order, b.balls) for b in plan.blocks]
    kinds = [kind for block in found.blocks for kind in block.kinds]
    assert [(kind.feed, kind.wanted, kind.why) for kind in kinds] == [
        (drill.feed, drill.gap.words, drill.gap.why) for drill in plan.drills
    ]


def test_a_plan_without_a_block_is_not_kept(club: DataFolder) -> None:
    desk = owners_desk(club)
    proposal = plans.proposed(desk, "ADA", 60, DAY)
    none = replace(proposal.plan, blocks=())

    with pytest.raises(NothingToPlan, match="no block left"):
        plans.keep(desk, "ADA", none, DAY, DAY)
    assert kept(club) == []


def test_a_session_too_short_for_a_block_is_told(club: DataFolder) -> None:
    """A block takes the pause, which is a setting, and its balls."""
    assert Settings().block_pause_minutes > 1
    with pytest.raises(NothingToPlan, match="Not one block fits into 1 minute"):
        plans.proposed(owners_desk(club), "ADA", 1, DAY)


def test_what_is_decided_of_a_ball_stands_for_that_day_until_it_is_taken_back(club: DataFolder) -> None:
    desk, other = owners_desk(club), (("depth", "middle"),)
    for ball, decided in ((A_BALL, "not_today"), (other, "must"), (A_BALL, "must"), (other, None)):
        plans.decide(desk, "ADA", DAY, ball, decided, DAY)

    assert plans.locks_of(desk, "ADA", DAY) == Locks(must=frozenset({A_BALL}))
    assert plans.locks_of(desk, "ADA", DAY_AFTER) == plans.locks_of(desk, "BEN", DAY) == NO_LOCKS


def test_decisions_for_past_days_go_with_the_next(club: DataFolder) -> None:
    desk = owners_desk(club)
    plans.decide(desk, "ADA", DAY, A_BALL, "must", DAY)
    plans.decide(desk, "BEN", DAY, A_BALL, "must", DAY)
    plans.decide(desk, "ADA", DAY_AFTER, A_BALL, "not_today", DAY_AFTER)

    assert [plans.locks_of(desk, player, DAY) == NO_LOCKS for player in ("ADA", "BEN")] == [True, False]
