"""Hall plan: the page on which a coach says who is here, and gets a plan that is kept for the table and printed."""

from datetime import date, time

import pytest
from streamlit.testing.v1 import AppTest

from dashboard import questions
from dashboard.at_table.in_turn import in_turn
from dashboard.at_table.offers import offers
from dashboard.paper.making import hall_plan_made
from dashboard.paper.sheets import NotOnPaper
from dashboard.questions import Desk, owners_desk
from dashboard.rows.halls import HallOrder
from dashboard.services import halls, halls_kept, plans
from dashboard.services.halls import NoHallPlan
from ingest.loading import load
from models.permits import NotPermitted, Reader, Role
from sql.folder import DataFolder
from tests.dashboard.conftest import incoming
from tests.dashboard.shown import opened, words

HALL = "views/hall.py"
TODAY = date(2025, 3, 14)


@pytest.fixture(autouse=True)
def _small_clubs_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ingest.club_day.today", lambda: TODAY)


def pressed(app: AppTest, key: str) -> AppTest:
    return next(button for button in app.button if button.key == key).click().run()


A_HALL = HallOrder(("ADA", "BEN"), ("robot",), 30, TODAY, time(18))


def kept_by(desk: Desk, players: tuple[str, ...], begins_at: time = time(18)) -> None:
    order = HallOrder(players, ("robot",), 30, TODAY, begins_at)
    halls_kept.keep(desk, halls.session(desk, order, halls.draft(desk, order)), TODAY)


def test_two_touches_keep_a_plan_of_everybody_who_is_here(
    small_club: DataFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The group and one table stand there already; one touch keeps the plan, and the page offers it on paper."""
    monkeypatch.setattr(halls, "SECONDS_OF_SMALL", 60.0)  # It is proven in a part of one, on a machine that is free.
    app = opened(small_club, HALL)
    said = words(app)
    app = pressed(app, "hall-keep")

    assert "2 players at 1 table" in said
    assert "Time axis of the hall." in "".join(one.value for one in app.markdown)
    assert "Proven: no other plan of this hall brings more." in said
    assert [one.value for one in app.success] == [
        "The plan is kept. The table offers each child's turns, in their order."
    ]
    assert "/paper/hall/2025-03-14/1800.pdf" in "".join(one.value for one in app.html)


def test_who_is_touched_is_not_here_and_that_is_kept_as_attendance(small_club: DataFolder) -> None:
    app = opened(small_club, HALL)
    pills = next(one for one in app.button_group if one.label.startswith("Who is here"))
    app = pills.set_value(["BEN"]).run()

    assert halls_kept.who_is_here(owners_desk(small_club), TODAY) == {"BEN"}
    assert "1 player at 1 table" in words(app)
    assert "1 player at 1 table" in words(opened(small_club, HALL)), "who opens the page again finds it so"


def test_what_is_not_for_today_is_kept_and_neither_the_hall_nor_the_own_plan_feeds_it(small_club: DataFolder) -> None:
    desk = owners_desk(small_club)
    app = opened(small_club, HALL)
    app = next(one for one in app.selectbox if one.key == "hall-lock-player").set_value("ADA").run()
    asked = next(one for one in app.multiselect if one.label == "Not today")
    first = halls.draft(desk, A_HALL).plan.plan_of("ADA").drills[0].gap.cell
    asked.set_value([first]).run()

    assert plans.locks_of(desk, "ADA", TODAY).not_today == {first}
    for plan in (halls.draft(desk, A_HALL).plan.plan_of("ADA"), plans.proposed(desk, "ADA", 60, TODAY).plan):
        assert first not in {drill.gap.cell for drill in plan.drills}


def test_the_table_offers_each_turn_and_the_child_s_own_plan(small_club: DataFolder) -> None:
    desk = owners_desk(small_club)
    kept_by(desk, ("ADA", "BEN"))
    (table,) = in_turn(desk, TODAY)

    assert table["name"] == "Table 1, robot"
    assert [turn["at"] for turn in table["turns"]] == sorted(turn["at"] for turn in table["turns"])
    assert {turn["name"] for turn in table["turns"]} == {"Ada Lind", "Ben Orr"}
    planned = [offer for offer in offers(desk, "ADA", TODAY) if offer["text"].startswith("Planned")]
    assert [offer["feeds"] for offer in planned] == [t["feeds"] for t in table["turns"] if t["player"] == "ADA"]


def test_a_child_is_in_one_hall_a_day(small_club: DataFolder) -> None:
    desk = owners_desk(small_club)
    kept_by(desk, ("ADA", "BEN"))

    with pytest.raises(NoHallPlan, match=r"Ben Orr is in the hall plan of 18:00 on the same day already"):
        kept_by(desk, ("BEN", "CLEO"), time(19, 30))


def test_a_plan_that_is_taken_back_is_neither_at_the_table_nor_on_paper(small_club: DataFolder) -> None:
    desk = owners_desk(small_club)
    kept_by(desk, ("ADA", "BEN"))
    assert hall_plan_made(desk, "2025-03-14/1800").pdf.startswith(b"%PDF")

    halls_kept.drop(desk, halls_kept.halls_of(desk, TODAY)[0])

    assert in_turn(desk, TODAY) == []
    assert not [offer for offer in offers(desk, "ADA", TODAY) if offer["text"].startswith("Planned")]
    with pytest.raises(NotOnPaper, match="No plan of the hall is kept for 2025-03-14 at 18:00"):
        hall_plan_made(desk, "2025-03-14/1800")


def test_a_player_makes_no_plan_of_the_hall_and_sees_the_own_turns_only(small_club: DataFolder) -> None:
    kept_by(owners_desk(small_club), ("ADA", "BEN"))
    own = Desk(small_club, Reader("Ada", Role.PLAYER, players=frozenset({"ADA"})))

    assert {turn["player"] for table in in_turn(own, TODAY) for turn in table["turns"]} == {"ADA"}
    with pytest.raises(NotPermitted):
        halls.draft(own, HallOrder(("ADA",), ("robot",), 30, TODAY, time(18)))
    with pytest.raises(NotPermitted):
        halls.bettered(own, HallOrder(("ADA",), ("robot",), 30, TODAY, time(18)))
    with pytest.raises(NotPermitted):
        halls_kept.note_here(own, TODAY, ["ADA"], ["ADA"])


def test_a_better_plan_and_a_proposal_are_looked_for_once_by_all_who_ask_the_same(small_club: DataFolder) -> None:
    coaches = [Desk(small_club, Reader(name, Role.COACH, groups=frozenset({"*"}))) for name in ("M. Roe", "A. Moe")]
    orders = [HallOrder(("ADA", "BEN"), ("robot",), 30, TODAY, time(18)) for _ in coaches]

    one, other = map(halls.bettered, coaches, orders)
    mine, theirs = (plans.proposed(coach, "ADA", 30, TODAY) for coach in coaches)

    assert one is other
    assert mine is theirs


def test_a_block_that_comes_by_file_is_matched_with_the_plan_and_its_gap_is_gone(small_club: DataFolder) -> None:
    """Ada's first planned ball, fed on the day of the plan: her turn is done, and the ball is lacking no more."""
    desk = owners_desk(small_club)
    kept_by(desk, ("ADA", "BEN"))
    first = next(turn for turn in halls_kept.halls_of(desk, TODAY)[0].turns if turn.player == "ADA")
    (kind,) = first.block.kinds
    lacking = [gap.words for gap in questions.feed_next(desk, "ADA", TODAY, 400)]
    line = f"2025-03-14,ADA,1,{kind.feed['setup']},{kind.feed['spin']},long,30,20"
    text = f"session_date,player,block,setup,spin,length,balls,good\n{line}\n"
    load(small_club, incoming({"today.csv": text}), "test", today=TODAY)

    (kept,) = halls_kept.halls_of(desk, TODAY)
    own = plans.next_kept(desk, "ADA", TODAY)

    assert [turn.player for turn in kept.turns if turn.block.is_done] == ["ADA"]
    assert kept.balls_by_player["ADA"][0] == 30
    assert own is not None
    assert own.done == 1
    assert len(questions.feed_next(desk, "ADA", TODAY, 400)) == len(lacking) - 1


def test_the_day_after_both_pages_hold_the_plan_against_what_was_done_and_the_rest_comes_back(
    small_club: DataFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk, later = owners_desk(small_club), date(2025, 3, 15)
    kept_by(desk, ("ADA", "BEN"))
    done, *undone = plans.next_kept(desk, "ADA", TODAY).blocks
    (kind,) = done.kinds
    line = f"2025-03-14,ADA,1,{kind.feed['setup']},{kind.feed['spin']},long,30,20"
    text = f"session_date,player,block,setup,spin,length,balls,good\n{line}\n"
    load(small_club, incoming({"today.csv": text}), "test", today=TODAY)
    for module in ("ingest.club_day", "dashboard.views.plan_kept"):
        monkeypatch.setattr(f"{module}.today", lambda: later)

    hall, next_session = words(opened(small_club, HALL)), words(opened(small_club, "views/next_session.py", "ADA"))

    fed = f"{30} of {30 * (1 + len(undone))}"
    assert f"Ada Lind {fed}" in hall
    assert f"1 of {1 + len(undone)} blocks done, {fed} balls" in next_session.replace("\\", "")
    lacking = {gap.words["spin_family"] for gap in questions.feed_next(desk, "ADA", later, 400)}
    assert {one.wanted["spin_family"] for block in undone for one in block.kinds} <= lacking
