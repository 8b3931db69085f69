"""Every question of the screens, asked as every kind of person about every player: what is not theirs is refused."""

import inspect
from collections.abc import Callable
from datetime import date
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

import polars as pl
import pytest

from dashboard import questions
from dashboard.questions import Desk, owners_desk
from dashboard.questions.clubs import NoFederation, federation
from models.permits import NotPermitted, Reader, owner
from sql.club import accounts, audit_trail
from sql.club.audit_trail import Event
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.people import PEOPLE

Ask = Callable[[Desk, str], Any]


WEEK = date(2025, 3, 10)
DAY = date(2025, 3, 4)

NAMES = {"ADA": "Ada Lind", "BEN": "Ben Orr", "CLEO": "Cléo Marsh", "DAN": "Dan Voss"}

READABLE = {
    "Nora Quill": {"ADA", "BEN", "CLEO", "DAN"},
    "M. Roe": {"ADA", "BEN"},
    "Ada Lind": {"ADA"},
    "Otto Orr": {"BEN"},
}
"""Written by hand, and not asked of the permits: whom each may read."""

NO_PERSON: dict[str, Ask] = {
    "this_build": lambda desk, _: questions.this_build(desk),
    "has_logs": lambda desk, _: questions.has_logs(desk),
    "last_day": lambda desk, _: questions.last_day(desk),
    "settings": lambda desk, _: questions.settings(desk),
    "weeks": lambda desk, _: questions.weeks(desk),
    "about": lambda desk, _: questions.about(desk, "report.variety"),
    "meaning": lambda desk, _: questions.meaning(desk, "report.variety"),
    "setup_names": lambda desk, _: questions.setup_names(desk),
    "setups_now": lambda desk, _: questions.setups_now(desk),
    "hall_setups": lambda desk, _: questions.hall_setups(desk),
    "feeders": lambda desk, _: questions.feeders(desk),
    "dial_calibrations": lambda desk, _: questions.dial_calibrations(desk),
    "dial_lines": lambda desk, _: questions.dial_lines(desk, "R1", "speed"),
    "feeds_from_setup": lambda desk, _: questions.feeds_from_setup(desk, "BC", "right"),
    "next_landing": lambda desk, _: questions.next_landing(desk, "R1", DAY),
    "listed_feeders": lambda desk, _: questions.listed_feeders(desk),
    "listed_setups": lambda desk, _: questions.listed_setups(desk),
}
"""Open to everybody: no person is in the answer."""

THE_CLUB: dict[str, Ask] = {
    "club_weeks": lambda desk, _: questions.club_weeks(desk),
    "block_likeness": lambda desk, _: questions.block_likeness(desk),
    "wanted_of_all": lambda desk, _: questions.wanted_of_all(desk, "*"),
    "saved_lately": lambda desk, _: questions.saved_lately(desk, "targets"),
}
"""Open to coordinators and coaches."""

THE_LOG: dict[str, Ask] = {
    "batches": lambda desk, _: questions.batches(desk),
    "without_log": lambda desk, _: questions.without_log(desk, WEEK),
    "group_days": lambda desk, _: questions.group_days(desk, WEEK),
    "group_coaches": lambda desk, _: questions.group_coaches(desk, WEEK),
    "player_days": lambda desk, _: questions.player_days(desk, WEEK),
    "refused_in_week": lambda desk, _: questions.refused_in_week(desk, WEEK),
    "refused_in_batch": lambda desk, _: questions.refused_in_batch(desk, 5),
    "stored_players": lambda desk, _: questions.stored_players(desk),
    "without_consent": lambda desk, _: questions.without_consent(desk),
    "due_to_be_forgotten": lambda desk, _: questions.due_to_be_forgotten(desk, WEEK),
}
"""Open to coordinators."""

SEVERAL: dict[str, Ask] = {
    "players": lambda desk, _: questions.players(desk),
    "listed_players": lambda desk, _: questions.listed_players(desk),
    "covered_now": lambda desk, _: questions.covered_now(desk),
    "board": lambda desk, _: questions.board(desk, WEEK),
    "needs": lambda desk, _: questions.needs(desk),
    "coverage": lambda desk, _: questions.coverage(desk, WEEK),
    "coverage_by_value": lambda desk, _: questions.coverage_by_value(desk, WEEK),
    "standard_success": lambda desk, _: questions.standard_success(desk, WEEK),
}
"""Each person gets the rows of those whom they may read."""

USUALLY: dict[str, Any] = {
    "week": WEEK,
    "on": DAY,
    "day": DAY,
    "first": DAY,
    "last": WEEK,
    "session": "1",
    "cut": "spin",
    "measure": "angle",
    "limit": 5,
    "blocks": 5,
}
"""What a question about one player is asked with beside the player, by the name of its parameter."""


def every_question() -> dict[str, Callable[..., Any]]:
    """The functions of all modules of questions that ask something at somebody's desk."""
    modules = [import_module(f"{questions.__name__}.{one.name}") for one in iter_modules(questions.__path__)]
    return {
        name: thing
        for module in modules
        for name, thing in vars(module).items()
        if inspect.isfunction(thing) and thing.__module__ == module.__name__ and not name.startswith("_")
        if next(iter(inspect.signature(thing).parameters), "") == "desk"
        and name not in ("answer", "answer_rows", "first_row")
    }


def about_one_player(question: Callable[..., Any]) -> Ask:
    """Ask it about a player, all else as usual."""
    others = [name for name, one in inspect.signature(question).parameters.items() if one.default is one.empty]
    usual = {name: USUALLY[name] for name in others if name not in ("desk", "player_id")}
    return lambda desk, player: question(desk, player_id=player, **usual)


ONE_PLAYER = {
    name: about_one_player(question)
    for name, question in every_question().items()
    if "player_id" in inspect.signature(question).parameters and name != "require_open"
}
"""About one player, as their parameter says: refused for every other."""

OF_A_BODY = {"clubs", "federation", "federations_build", "values_of_club", "weeks_of_club"}
"""About the clubs of a federation, at the desk of a body: `federation`, which each asks first, is tried below."""

OTHERWISE = {
    "groups",
    "kept",
    "names_by_code",
    "require_open",
    "table_blocks",
    "waiting_blocks",
    "own_balls",
    "wanted_by_player",
}
"""Tried by a test of their own: below, or with what is counted at the table."""


def reader_of(folder: DataFolder, name: str) -> Reader:
    with club_file(folder) as connection:
        account = accounts.by_name(connection, name)
    assert account is not None
    return account.reader


@pytest.fixture(params=[name for name, *_ in PEOPLE])
def desk(request: pytest.FixtureRequest, loaded_club: DataFolder) -> Desk:
    """The desk of each person in turn."""
    return Desk(loaded_club, reader_of(loaded_club, request.param))


def refusals(folder: DataFolder) -> int:
    with club_file(folder) as connection:
        return sum(entry.times for entry in audit_trail.entries(connection, owner("test"), 100_000, Event.REFUSAL))


def same(one: Any, other: Any) -> bool:
    return one.equals(other) if isinstance(one, pl.DataFrame) else bool(one == other)


def readable_rows(whole: Any, readable: set[str]) -> Any:
    """The rows that are of these players."""
    if isinstance(whole, pl.DataFrame):
        return whole.filter(pl.col("player_id").is_in(list(readable)))
    return tuple(row for row in whole if row.player_id in readable)


def named_in(answer: Any) -> set[str]:
    """The players whose code or name stands anywhere in an answer."""
    rows = answer.rows() if isinstance(answer, pl.DataFrame) else answer
    told = repr(rows)
    return {code for code, name in NAMES.items() if f"'{code}'" in told or name in told}


def test_every_question_has_its_place_in_one_of_the_tables() -> None:
    """A new question that is not about one player fails here until it is said who may ask it."""
    assert {*every_question()} == set().union(NO_PERSON, THE_CLUB, THE_LOG, SEVERAL, ONE_PLAYER, OF_A_BODY, OTHERWISE)
    assert len(ONE_PLAYER) > 25


@pytest.mark.parametrize("question", NO_PERSON)
def test_what_names_no_person_is_open_to_everybody(desk: Desk, question: str) -> None:
    answer = NO_PERSON[question](desk, "")

    assert same(answer, NO_PERSON[question](owners_desk(desk.folder), ""))
    assert named_in(answer) == set()


@pytest.mark.parametrize("question", THE_CLUB)
def test_the_clubs_figures_are_open_to_coordinators_and_coaches(desk: Desk, question: str) -> None:
    if desk.reader.name in ("Nora Quill", "M. Roe"):
        answer = THE_CLUB[question](desk, "")
        assert same(answer, THE_CLUB[question](owners_desk(desk.folder), ""))
        assert named_in(answer) == set()
    else:
        must_be_refused(desk, THE_CLUB[question], "")


@pytest.mark.parametrize("question", THE_LOG)
def test_the_log_is_open_to_coordinators(desk: Desk, question: str) -> None:
    if desk.reader.name == "Nora Quill":
        assert same(THE_LOG[question](desk, ""), THE_LOG[question](owners_desk(desk.folder), ""))
    else:
        must_be_refused(desk, THE_LOG[question], "")


def test_the_clubs_of_a_federation_are_open_at_no_clubs_desk(desk: Desk) -> None:
    if desk.reader.name == "Nora Quill":
        with pytest.raises(NoFederation, match=r"No federation is served here.*\[federation\]"):
            federation(desk)
    else:
        must_be_refused(desk, lambda at, _: federation(at), "")


@pytest.mark.parametrize("question", SEVERAL)
def test_of_several_players_each_person_gets_their_own_rows(desk: Desk, question: str) -> None:
    answer, whole = SEVERAL[question](desk, ""), SEVERAL[question](owners_desk(desk.folder), "")

    assert len(whole)
    assert same(answer, readable_rows(whole, READABLE[desk.reader.name]))
    assert named_in(answer) <= READABLE[desk.reader.name]


@pytest.mark.parametrize("question", ONE_PLAYER)
def test_about_one_player_everybody_else_is_refused(desk: Desk, question: str) -> None:
    readable = READABLE[desk.reader.name]
    for player in NAMES:
        if player not in readable:
            must_be_refused(desk, ONE_PLAYER[question], player)
            continue
        answer = ONE_PLAYER[question](desk, player)
        assert same(answer, ONE_PLAYER[question](owners_desk(desk.folder), player))
        assert named_in(answer) <= {player}


def test_a_coach_is_offered_the_own_groups(desk: Desk) -> None:
    groups = {
        "Nora Quill": ["Juniors", "Seniors"],
        "M. Roe": ["Juniors"],
        "Ada Lind": ["Juniors"],
        "Otto Orr": ["Juniors"],
    }

    assert questions.groups(desk) == groups[desk.reader.name]


def test_names_are_given_of_those_whom_one_may_read(desk: Desk) -> None:
    assert questions.names_by_code(desk) == {code: NAMES[code] for code in READABLE[desk.reader.name]}


def test_what_is_wanted_is_told_of_those_whom_one_may_read(desk: Desk) -> None:
    wanted = questions.wanted_by_player(desk, DAY)

    assert wanted.keys() <= set(READABLE[desk.reader.name])
    assert wanted or not READABLE[desk.reader.name]


@pytest.mark.parametrize("code", ["NOBODY", "ada", "ADA' or 1=1 --", "*", ""])
def test_a_code_that_nobody_has_is_refused_like_a_player_who_is_not_theirs(desk: Desk, code: str) -> None:
    """Whoever asks must not learn from the answer which codes exist."""
    if desk.reader.name == "Nora Quill":
        assert questions.success(desk, WEEK, code, "spin") == ()
    else:
        must_be_refused(desk, lambda at, player: questions.success(at, WEEK, player, "spin"), code)
        must_be_refused(desk, questions.require_open, code)


def test_an_answer_that_was_kept_for_one_person_is_not_given_to_another(loaded_club: DataFolder) -> None:
    owned = questions.board(owners_desk(loaded_club), WEEK)
    coached = questions.board(Desk(loaded_club, reader_of(loaded_club, "M. Roe")), WEEK)
    own = questions.board(Desk(loaded_club, reader_of(loaded_club, "Ada Lind")), WEEK)

    assert [sorted(row.player_id for row in answer) for answer in (owned, coached, own)] == [
        ["ADA", "BEN", "CLEO"],
        ["ADA", "BEN"],
        ["ADA"],
    ]


def test_a_coach_loses_sight_of_a_player_as_soon_as_the_groups_change(loaded_club: DataFolder) -> None:
    roe = reader_of(loaded_club, "M. Roe")
    other = Reader(roe.name, roe.role, roe.account, groups=frozenset({"Seniors"}))
    assert questions.trend(Desk(loaded_club, roe), "ADA") == questions.trend(owners_desk(loaded_club), "ADA")

    must_be_refused(Desk(loaded_club, other), questions.trend, "ADA")


def must_be_refused(desk: Desk, ask: Callable[[Desk, str], Any], player: str) -> None:
    """It is refused in a sentence that names nobody, and the refusal is noted."""
    before = refusals(desk.folder)
    with pytest.raises(NotPermitted, match="not open to you") as refusal:
        ask(desk, player)
    assert named_in(str(refusal.value)) == set()
    assert refusals(desk.folder) == before + 1
