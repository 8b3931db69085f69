"""A build that carries weeks over publishes what a full one does, to the last bit, whatever happened to the log."""

import random
import shutil
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from unittest.mock import patch

import duckdb
import pytest

from ingest.accepting import accept
from ingest.loading import Incoming, Report, load, withdraw
from sql.build import build, fill
from sql.carrying import IN_FORCE, carried, looked_at
from sql.catalogue import BrokenModel, models_in_order, read_model
from sql.digests import note_digest
from sql.folder import DataFolder
from sql.forgetting import forget
from sql.judging import judgements_in_order
from sql.made_with import made_with
from sql.same_tables import different_tables
from sql.verify import verify
from sql.warehouse import ask, held

TODAY = date(2026, 6, 30)
FIRST_MONDAY = date(2026, 3, 2)
PLAYERS = "player,name,handedness,group\nP1,Ivo Tamm,right,Juniors\nP2,Una Berg,left,Juniors\nP3,Ada Lind,right,Club\n"
SETUPS = "setup,x_cm,y_cm,valid_from\nB,-20,0,\nM,60,50,\nN,110,-40,\nM,70,50,2026-03-18\n"
TARGETS = "target,applies_to,dimension,value,share\n" + "".join(
    f"t,*,{dimension},{value},{share}\n"
    for dimension, values in {"depth": ("back", "middle", "near"), "spin_family": ("backspin", "topspin")}.items()
    for share, value in enumerate(values, start=1)
)
COUNTED = (
    "session_date,player,block,setup,spin,length,tempo_bpm,stroke,balls,good,net,long,wide,missed,minutes,effort\n"
)
OUTCOMES = ("good", "good", "net")
SINGLE = "session_date,player,block,setup,spin,length,stroke,probe,ball,outcome\n"


def a_week(week: int, chance: random.Random, players: Sequence[str] = ("P1", "P2", "P3")) -> list[tuple[str, str]]:
    """The names and texts of two files of one week: what was counted, and what was logged ball by ball."""
    days = {player: FIRST_MONDAY + timedelta(weeks=week, days=chance.randrange(6)) for player in players}
    counted = [a_counted_line(f"{day},{player},{block}", chance) for player, day in days.items() for block in (1, 2, 3)]
    single = [
        f"{day},{player},3,{a_kind(chance)},loop,{'reach' if week % 2 else ''},{ball},{chance.choice(OUTCOMES)}\n"
        for player, day in days.items()
        for ball in range(1, 25)
    ]
    return [(f"counted-{week}.csv", COUNTED + "".join(counted)), (f"balls-{week}.csv", SINGLE + "".join(single))]


def a_counted_line(where: str, chance: random.Random) -> str:
    good, net, wide = (chance.randrange(1, 20) for _ in range(3))
    counts = f"{good + net + wide},{good}," + (f"{net},0,{wide},0" if chance.random() < 0.7 else ",,,")
    tempo, minutes = chance.choice((30, 55.5, "")), chance.choice((5, 7.3))
    return f"{where},{a_kind(chance)},{tempo},push,{counts},{minutes},4\n"


def a_kind(chance: random.Random) -> str:
    return f"{chance.choice('BMN')},{chance.choice(('backspin', 'topspin'))},{chance.choice(('short', 'long'))}"


def load_texts(folder: DataFolder, texts: list[tuple[str, str]]) -> list[Report]:
    return load(folder, [Incoming(name, text.encode()) for name, text in texts], "tester", today=TODAY)


@pytest.fixture(scope="module")
def three_weeks(tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """A club with three weeks, made in one build. Only to be copied."""
    folder = DataFolder(tmp_path_factory.mktemp("carrying") / "club")
    chance = random.Random(4)
    basics = [("players.csv", PLAYERS), ("setups.csv", SETUPS), ("targets.csv", TARGETS)]
    load_texts(folder, [*basics, *(file for week in range(3) for file in a_week(week, chance))])
    return folder


@pytest.fixture
def folder(three_weeks: DataFolder, tmp_path: Path) -> DataFolder:
    """A copy of that club."""
    return DataFolder(Path(shutil.copytree(three_weeks.path, tmp_path / "club")))


def made_from(folder: DataFolder) -> date | None:
    """The Monday from which the publication in force was made anew; None: all of it was."""
    week: date | None = ask(folder, "select made_from from core.this_build").item()
    return week


def require_as_if_made_anew(folder: DataFolder) -> None:
    published = folder.publication_in_force()
    assert published
    full = folder.path / "full.duckdb"
    with held(folder):
        fill(full, folder, folder.settings(), int(published.stem))
    assert different_tables(full, published) == ()
    full.unlink()


def test_a_week_a_correction_and_a_withdrawal_carry_the_weeks_before_them(folder: DataFolder) -> None:
    chance = random.Random(5)
    assert made_from(folder) is None
    (*_, single) = load_texts(folder, a_week(3, chance))
    assert made_from(folder) == FIRST_MONDAY + timedelta(weeks=2)
    require_as_if_made_anew(folder)

    load_texts(folder, [("corrected.csv", a_week(1, random.Random(6))[0][1])])
    assert made_from(folder) == FIRST_MONDAY + timedelta(weeks=1)
    require_as_if_made_anew(folder)

    withdraw(folder, single.batch or 0, "tester")
    assert made_from(folder) == FIRST_MONDAY + timedelta(weeks=3)
    require_as_if_made_anew(folder)


@pytest.mark.proof
def test_an_acceptance_makes_the_weeks_of_its_batch_anew_and_those_before_are_carried(folder: DataFolder) -> None:
    (counted, _), ((name, single), _) = (a_week(week, random.Random(7), ["P1"]) for week in (3, 1))
    own = Incoming(name, single.encode(), source="table", is_own=True)
    (report,) = load(folder, [own], "Ivo Tamm", today=TODAY)
    load_texts(folder, [counted])
    own_share = "select count(*) from core.fed_lines where is_own"
    assert ask(folder, own_share).item() > 0

    accept(folder, [report.batch or 0], "M. Roe")

    assert made_from(folder) == FIRST_MONDAY + timedelta(weeks=1)
    assert ask(folder, own_share).item() == 0
    require_as_if_made_anew(folder)
    assert verify(folder).findings == ()


def test_nothing_is_carried_over_an_erasure_and_no_byte_is_left_of_whom_it_held(folder: DataFolder) -> None:
    load_texts(folder, a_week(3, random.Random(5)))
    assert made_from(folder)

    forget(folder, "P2", keeps_lines=False)

    assert made_from(folder) is None
    left = b"".join(file.read_bytes() for file in folder.path.rglob("*") if file.is_file())
    assert b"Ivo Tamm" in left
    assert b"Una Berg" not in left
    assert b"Berg" not in left


@pytest.mark.proof
def test_a_weeks_rows_that_were_changed_by_another_hand_are_found_by_verify_and_made_anew(folder: DataFolder) -> None:
    load_texts(folder, a_week(3, random.Random(5)))
    published = folder.publication_in_force()
    assert published
    assert verify(folder).findings == ()
    with duckdb.connect(str(published)) as connection:
        connection.execute("update report.load set balls = balls + 1 where week = (select min(week) from core.weeks)")
    note_digest(published)

    (finding,) = verify(folder).findings

    assert "weeks that were carried over are not what they are when made anew (report.load)" in finding.sentence
    assert finding.is_mended
    assert made_from(folder) is None


def damage(folder: DataFolder) -> None:
    published = folder.publication_in_force()
    assert published
    published.write_bytes(published.read_bytes() + b" ")


WHAT_HOLDS_FOR_ALL_WEEKS = {
    "another player": lambda folder: load_texts(folder, [("more.csv", "player,handedness\nP4,left\n")]),
    "a setting": lambda folder: folder.settings_file.write_text("covered_balls = 7\n", encoding="utf-8"),
    "what is left out": lambda folder: folder.settings_file.write_text("counts_own_balls = false\n", encoding="utf-8"),
    "a damaged publication": damage,
}


@pytest.mark.parametrize("change", WHAT_HOLDS_FOR_ALL_WEEKS.values(), ids=WHAT_HOLDS_FOR_ALL_WEEKS.keys())
def test_what_holds_for_all_weeks_lets_none_be_carried(
    folder: DataFolder, change: Callable[[DataFolder], object]
) -> None:
    with held(folder):
        settings = folder.settings()
        assert carried(folder, made_with(settings, models_in_order(), judgements_in_order()))
    with patch("ingest.loading.build"):
        change(folder)
    with held(folder):
        assert carried(folder, made_with(folder.settings(), models_in_order(), judgements_in_order())) is None


def test_another_text_of_a_model_lets_no_week_be_carried(folder: DataFolder) -> None:
    models = list(models_in_order())
    models[-1] = replace(models[-1], query=models[-1].query + " -- the same, said otherwise")
    with held(folder):
        assert carried(folder, made_with(folder.settings(), tuple(models), judgements_in_order())) is None


@pytest.mark.proof
def test_a_table_that_says_otherwise_of_an_earlier_week_makes_everything_anew(folder: DataFolder) -> None:
    """A line of P4, who joined later than that, moves the player's first week."""
    load_texts(folder, [("more.csv", "player,handedness,joined_on\nP4,left,2026-03-17\n")])
    load_texts(folder, a_week(3, random.Random(5)))
    assert made_from(folder)

    load_texts(folder, [("early.csv", a_week(1, random.Random(6), ["P4"])[0][1])])

    assert made_from(folder) in (None, FIRST_MONDAY + timedelta(weeks=1))
    require_as_if_made_anew(folder)


def test_carried_models_read_what_is_looked_at_carried_or_the_same_for_all_weeks() -> None:
    """No other model reads the lines in force, for it would miss those that are carried."""
    readers = {model.table for model in models_in_order() if model.reads & IN_FORCE and not model.carried}

    assert readers == set()
    assert looked_at(models_in_order()) == {
        *("core.weeks", "core.player_weeks", "core.conditions", "core.condition_cells", "core.cell_likeness"),
    }


def test_a_promise_that_a_table_cannot_keep_is_a_broken_model() -> None:
    lines = ("A.", "grain: a", "carried: {}", "columns:", "  a: a", "  session_id: a")
    header = "".join(f"-- {line}\n" for line in lines) + "select 1 as a, 's' as session_id"
    assert read_model("core", "a", header.format("by session")).carried == "by session"
    for said in ("by week", "by month"):
        with pytest.raises(BrokenModel, match=f"saw '{said}'"):
            read_model("core", "a", header.format(said))


def withdraw_the_latest(folder: DataFolder, chance: random.Random) -> None:
    batches = "select max(batch) from core.batches where withdrawn_at is null and kind in ('sessions', 'balls')"
    if latest := ask(folder, batches).item():
        withdraw(folder, latest, "tester")


def change_a_setting(folder: DataFolder, chance: random.Random) -> None:
    folder.settings_file.write_text(f"covered_balls = {chance.randrange(5, 40)}\n", encoding="utf-8")
    with held(folder):
        build(folder)


def load_a_week(folder: DataFolder, chance: random.Random) -> None:
    week = chance.randrange(8)
    text = a_week(week, chance, chance.sample(("P1", "P2", "P3"), chance.randrange(1, 4)))
    load_texts(folder, chance.sample(text, chance.randrange(1, 3)))


def bring_a_player(folder: DataFolder, chance: random.Random) -> None:
    load_texts(
        folder,
        [
            (
                "more.csv",
                f"player,handedness,joined_on\nP{chance.randrange(4, 9)},left,2026-03-{chance.randrange(10, 30)}\n",
            )
        ],
    )


def erase_somebody(folder: DataFolder, chance: random.Random) -> None:
    if "P3" in ask(folder, "select player_id from core.players")["player_id"]:
        forget(folder, "P3", keeps_lines=chance.random() < 0.5)


EVENTS: tuple[Callable[[DataFolder, random.Random], None], ...] = (
    *(load_a_week, load_a_week, load_a_week, withdraw_the_latest, change_a_setting, bring_a_player),
    erase_somebody,
)


@pytest.mark.proof
@pytest.mark.parametrize("seed", range(8))
def test_whatever_happens_a_build_publishes_what_a_full_one_does(folder: DataFolder, seed: int) -> None:
    chance, carried = random.Random(seed), 0
    for _ in range(8):
        chance.choice(EVENTS)(folder, chance)
        carried += made_from(folder) is not None
        require_as_if_made_anew(folder)

    assert carried
