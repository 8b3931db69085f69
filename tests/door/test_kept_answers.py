"""What is made of answers is made once for all to whom the same is open, and for nobody else."""

from dataclasses import replace
from pathlib import Path

import pytest

from dashboard import questions
from dashboard.questions import Desk
from models.permits import Reader, Role
from sql.folder import DataFolder

JUNIORS = frozenset({"Juniors"})
ROE = Reader("M. Roe", Role.COACH, 2, groups=JUNIORS)
RUIZ = Reader("Ana Ruiz", Role.COACH, 7, groups=JUNIORS)

made: list[str] = []


def seen_by(desk: Desk, after: str = "") -> str:
    """Whom one sees, and how often that was asked."""
    made.append(desk.reader.name)
    return ", ".join(sorted(player.player_id for player in questions.players(desk))) + after


@pytest.fixture(autouse=True)
def _nothing_was_made() -> None:
    made.clear()


def test_two_coaches_of_one_group_share_what_was_made(club: DataFolder) -> None:
    assert [questions.kept(Desk(club, who), seen_by) for who in (ROE, RUIZ, ROE)] == ["ADA, BEN"] * 3
    assert made == ["M. Roe"]


@pytest.mark.parametrize(
    "other",
    [
        replace(ROE, groups=frozenset({"Seniors"})),
        replace(ROE, role=Role.COORDINATOR),
        replace(ROE, role=Role.PLAYER, players=frozenset({"CLEO"}), groups=frozenset()),
    ],
    ids=["another group", "another role", "a player"],
)
def test_whoever_may_see_others_gets_their_own(club: DataFolder, other: Reader) -> None:
    questions.kept(Desk(club, ROE), seen_by)

    assert "CLEO" in questions.kept(Desk(club, other), seen_by)
    assert len(made) == 2


def test_other_arguments_and_another_publication_are_made_anew(club: DataFolder) -> None:
    desk = Desk(club, ROE)
    assert [questions.kept(desk, seen_by, after) for after in (".", "!", ".")] == [
        "ADA, BEN.",
        "ADA, BEN!",
        "ADA, BEN.",
    ]
    assert len(made) == 2
    _publish_once_more(club)
    questions.kept(desk, seen_by, ".")

    assert len(made) == 3


def _publish_once_more(club: DataFolder) -> None:
    now = club.publication_in_force()
    assert now is not None
    again = Path(now.with_name("999999.duckdb"))
    again.write_bytes(now.read_bytes())
    club.put_in_force(again)


def test_a_function_of_a_page_is_not_kept_for_it_is_another_one_each_time(club: DataFolder) -> None:
    page: dict[str, object] = {"__name__": "__main__"}
    exec("def drawn(desk): return 1", page)  # noqa: S102 - as Streamlit runs a page

    with pytest.raises(ValueError, match="drawn stands in a script"):
        questions.kept(Desk(club, ROE), page["drawn"])  # type: ignore[arg-type]
