"""Patterns of the club: kept without a player, laid out for another, taken out; and decisions that stay with a day."""

from datetime import date

import pytest

from dashboard.questions import Desk, owners_desk
from dashboard.services import plan_patterns, plans
from dashboard.services.plan_patterns import PatternProblem
from models.permits import NotPermitted, Reader, Role
from models.plan_pattern import Pattern
from models.planned import Plan
from sql.club.erasing import erase_words
from sql.club.file import club_file
from sql.folder import DataFolder
from sql.person import Person
from tests.dashboard.shown import opened
from tests.dashboard.test_next_session import NEXT_SESSION, TODAY, blocks, on_the_bench, press, said_by

DAY = date(2025, 3, 14)
A_NAME_OF_61 = "x" * 61


@pytest.fixture(autouse=True)
def that_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ingest.club_day.today", lambda: TODAY)


@pytest.fixture
def desk(small_club: DataFolder) -> Desk:
    return owners_desk(small_club)


def plan_of(desk: Desk, player: str) -> Plan:
    return plans.proposed(desk, player, 60, DAY).plan


def called(desk: Desk) -> dict[str, int]:
    return {pattern.name: len(pattern.blocks) for pattern in plan_patterns.patterns(desk)}


def test_a_pattern_holds_blocks_and_nobody(desk: Desk) -> None:
    assert plan_patterns.keep(desk, "  Short  game ", plan_of(desk, "ADA")) == "Short game"

    (found,) = plan_patterns.patterns(desk)
    assert (found.name, [block.balls for block in found.blocks]) == ("Short game", [30, 30, 30])
    with club_file(desk.folder) as connection:
        row = connection.execute("select * from plan_patterns").fetchone()
    assert "ADA" not in " ".join(map(str, row))
    assert {kind.why for block in found.blocks for kind in block.kinds} == {"pattern"}


def test_another_of_the_same_name_takes_its_place_and_one_is_taken_out(desk: Desk) -> None:
    plan = plan_of(desk, "ADA")
    for name, one in (("A", plan), ("A", Plan(plan.blocks[:1], 3.0)), ("B", plan)):
        plan_patterns.keep(desk, name, one)

    assert called(desk) == {"A": 1, "B": 3}
    plan_patterns.drop(desk, plan_patterns.patterns(desk)[0].number)
    assert called(desk) == {"B": 3}


def test_whom_a_pattern_names_can_be_forgotten_though_two_are_called_alike_then(desk: Desk) -> None:
    for name in ("For Ada", "For ADA", "For all"):
        plan_patterns.keep(desk, name, plan_of(desk, "ADA"))

    erase_words(desk.folder, Person("ADA", frozenset({"Ada"})))

    assert [pattern.name for pattern in plan_patterns.patterns(desk)] == ["For all", "For erased", "For erased"]


@pytest.mark.parametrize("name", ["", "   ", A_NAME_OF_61])
def test_a_pattern_has_a_name(desk: Desk, name: str) -> None:
    with pytest.raises(PatternProblem, match="expected 1 to 60"):
        plan_patterns.keep(desk, name, plan_of(desk, "ADA"))


def test_a_pattern_has_a_block(desk: Desk) -> None:
    with pytest.raises(PatternProblem, match="no block left"):
        plan_patterns.keep(desk, "A", Plan((), 0.0))


def test_patterns_are_for_those_who_train(desk: Desk) -> None:
    player = Desk(desk.folder, Reader("Ada", Role.PLAYER, players=frozenset({"ADA"})))
    proposal = plans.proposed(desk, "ADA", 60, DAY)
    for ask in (
        lambda: plan_patterns.patterns(player),
        lambda: plan_patterns.keep(player, "A", proposal.plan),
        lambda: plan_patterns.drop(player, 1),
        lambda: plan_patterns.laid_out_for(player, Pattern(1, "A", ()), proposal),
    ):
        with pytest.raises(NotPermitted):
            ask()


def test_a_pattern_is_kept_laid_out_and_taken_out_on_the_page(small_club: DataFolder) -> None:
    app = opened(small_club, NEXT_SESSION, "ADA")
    planned = blocks(app)
    press(app, "Keep as a pattern")
    assert "Saw a name of 0 letters" in app.error[0].value
    app.text_input(key="pattern-name").set_value("Short game").run()
    press(app, "Keep as a pattern")
    assert "The plan is kept as the pattern Short game" in app.success[0].value

    press(app, "Drop")
    assert blocks(app) == planned[:-1]
    press(app, "Use it for this player")
    assert blocks(app) == planned
    press(app, "Take it out")
    assert called(owners_desk(small_club)) == {}


def test_what_is_decided_stays_when_the_page_is_opened_anew_by_somebody_else(small_club: DataFolder) -> None:
    app = on_the_bench(small_club, "ADA")
    before = blocks(app)
    press(app, "Not today")

    anew = on_the_bench(small_club, "ADA")
    assert len(blocks(anew)) == len(before) - 1
    assert "not for today, as you decided" in said_by(anew)
