"""Who may read whom."""

import pytest

from models.permits import (
    EVERY_GROUP,
    NotPermitted,
    Reader,
    Reads,
    Role,
    owner,
    require_keeper,
    require_planner,
)

OWNER = owner("keyboard")
COORDINATOR = Reader("Nora", Role.COORDINATOR, 1)
COACH = Reader("Roe", Role.COACH, 2, groups=frozenset({"Juniors"}))
HEAD_COACH = Reader("Ruiz", Role.COACH, 3, groups=frozenset({EVERY_GROUP}))
PLAYER = Reader("Ada", Role.PLAYER, 4, players=frozenset({"ADA"}))
GUARDIAN = Reader("Otto", Role.GUARDIAN, 5, players=frozenset({"BEN", "EVA"}))

PEOPLE = {"ADA": "Juniors", "BEN": "Juniors", "CLEO": "Seniors", "NEW": None}


@pytest.mark.parametrize(
    ("reader", "readable"),
    [
        (OWNER, {"ADA", "BEN", "CLEO", "NEW"}),
        (COORDINATOR, {"ADA", "BEN", "CLEO", "NEW"}),
        (HEAD_COACH, {"ADA", "BEN", "CLEO", "NEW"}),
        (COACH, {"ADA", "BEN"}),
        (PLAYER, {"ADA"}),
        (GUARDIAN, {"BEN"}),
    ],
    ids=lambda one: one.name if isinstance(one, Reader) else "",
)
def test_each_reads_the_players_that_are_theirs_and_no_others(reader: Reader, readable: set[str]) -> None:
    assert {player for player, group in PEOPLE.items() if reader.may_read(player, group)} == readable


@pytest.mark.parametrize(
    ("reader", "closed"),
    [
        (OWNER, set()),
        (COORDINATOR, set()),
        (HEAD_COACH, {Reads.LOG}),
        (COACH, {Reads.LOG}),
        (PLAYER, {Reads.LOG, Reads.CLUB}),
        (GUARDIAN, {Reads.LOG, Reads.CLUB}),
    ],
    ids=lambda one: one.name if isinstance(one, Reader) else "",
)
def test_the_log_is_the_coordinators_and_the_clubs_figures_are_not_the_players(
    reader: Reader, closed: set[Reads]
) -> None:
    assert {reads for reads in Reads if not reader.may_ask(reads)} == closed


@pytest.mark.parametrize("reader", [COACH, HEAD_COACH, PLAYER, GUARDIAN], ids=lambda one: one.name)
def test_nobody_but_a_coordinator_looks_after_accounts(reader: Reader) -> None:
    with pytest.raises(NotPermitted, match="coordinators only"):
        require_keeper(reader)


@pytest.mark.parametrize("reader", [OWNER, COORDINATOR, COACH, HEAD_COACH], ids=lambda one: one.name)
def test_who_trains_or_looks_after_the_club_plans(reader: Reader) -> None:
    require_planner(reader)

    assert reader.makes_plans


@pytest.mark.parametrize("reader", [PLAYER, GUARDIAN], ids=lambda one: one.name)
def test_players_and_guardians_read_plans_and_make_none(reader: Reader) -> None:
    with pytest.raises(NotPermitted, match="Ask your coach"):
        require_planner(reader)
