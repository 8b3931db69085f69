"""Refused lines corrected where they are shown: what is proposed, what comes in, what is left out, and the way back."""

import json
import re
from collections.abc import Callable
from datetime import date
from hashlib import sha256

import pytest
from streamlit.testing.v1 import AppTest
from streamlit.testing.v1.element_tree import Selectbox

from dashboard.questions import Desk
from dashboard.services.meanings import remember
from dashboard.tables.correcting import LINES_AT_ONCE, grid, sheet_of
from dashboard.views.correct_here import heard
from dashboard.words.correcting import what_happens
from ingest.correcting import Corrections, Judged, ToCorrect, corrected_file, judged
from ingest.loading import check, load
from models.permits import NotPermitted, Reader, Role
from sql.club import accounts, file_meanings, halls
from sql.club.file import club_file
from sql.club.file_meanings import Said
from sql.folder import DataFolder
from sql.warehouse import ask
from tests.dashboard.conftest import incoming
from tests.dashboard.shown import opened, plain, rows
from tests.dashboard.test_coordinator_pages import BATCHES, BRING_IN, CLUB_WEEK, dropped, pressed, told, verdicts
from tests.signing_in import user_of

pytestmark = pytest.mark.usefixtures("coordinators_tables")

TODAY = date(2025, 3, 20)
HEADER = "session_date,player,block,setup,spin,length,balls,good\n"
WEEK = (
    HEADER
    + """\
2025-03-18,ADA,1,NC,topspin,long,40,30
2025-03-18,BEN,1,CN,bakspin,long,40,22
2025-03-18,BEN,2,CN,topspin,long,40,22
2025-03-18,CLEO,1,CN,bakspin,long,30,25
total,,,,,,150,99
"""
)

OpenPage = Callable[[str], AppTest]


@pytest.fixture
def to_correct(small_club: DataFolder) -> ToCorrect:
    """The four refused lines of a week, loaded as batch 6: three name CN, two of them bakspin; one is a total."""
    (report,) = load(small_club, incoming({"week.csv": WEEK}), "test", today=TODAY)
    assert (report.batch, report.lines_accepted, report.lines_refused) == (6, 1, 4)
    assert report.taken is not None
    return ToCorrect("week.csv", " ".join(report.taken.sentences), report.refused)


def verdict(folder: DataFolder, lines: ToCorrect, said: Corrections) -> Judged:
    (report,) = check(folder, [corrected_file(lines, said)], today=TODAY)
    return judged(lines, said, report)


def drawn(folder: DataFolder, lines: ToCorrect, said: Corrections) -> str:
    sheet = sheet_of(lines)
    return grid(sheet.page(1), sheet, said, verdict(folder, lines, said))


def buttons(html: str) -> list[str]:
    return re.findall(r'data-act="(?:cell|alike)"[^>]*>([^<]+)</button>', html)


def line_of(lines: ToCorrect, number: int) -> str:
    return next(line.name for line in lines.lines if line.line == number)


def all_said(lines: ToCorrect) -> Corrections:
    """NC for every CN, backspin for every bakspin, and the total left out."""
    said = Corrections()
    for act, number, place, value in (("alike", 3, 3, "NC"), ("alike", 3, 4, "backspin"), ("leave", 6, "", "a total")):
        said = heard({"act": act, "line": line_of(lines, number), "place": place, "value": value}, lines, said)
    return said


def test_a_wrong_code_has_a_proposal_for_this_line_and_one_for_all_that_say_the_same(
    small_club: DataFolder, to_correct: ToCorrect
) -> None:
    """What is wrong in the same way in most lines comes first: CN with bakspin, in lines 3 and 5."""
    html = drawn(small_club, to_correct, Corrections())

    assert re.findall(r"<b>(Line \d)</b>", html) == ["Line 3", "Line 5", "Line 4", "Line 6"]
    assert {"NC in all 3", "NC", "backspin in all 2", "backspin"} <= set(buttons(html))


def test_what_would_happen_is_told_before_anything_is_stored(small_club: DataFolder, to_correct: ToCorrect) -> None:
    said = all_said(to_correct)

    now = verdict(small_club, to_correct, said)

    assert what_happens(now, said) == "3 lines would come in, 1 line would be left out for good."
    assert "CN → NC in 3 lines" in plain(grid(to_correct.lines, sheet_of(to_correct), said, now))
    assert ask(small_club, "select max(batch) from core.batches").item() == 6


def test_a_cell_typed_for_one_line_leaves_the_others_and_typed_back_it_is_no_correction(
    small_club: DataFolder, to_correct: ToCorrect
) -> None:
    event = {"act": "cell", "line": line_of(to_correct, 4), "place": 3}

    said = heard({**event, "value": "MR"}, to_correct, Corrections())

    assert verdict(small_club, to_correct, said).sound == {line_of(to_correct, 4)}
    assert heard({**event, "value": "CN"}, to_correct, said).is_empty


@pytest.mark.parametrize(
    "event",
    [
        {},
        {"act": "cell", "line": "nobody:1", "place": 3, "value": "NC"},
        {"act": "cell", "place": 99, "value": "NC"},
        {"act": "alike", "place": 99, "value": "NC"},
        {"act": "cell", "place": "-1", "value": "NC"},
        {"act": "explode", "place": 1, "value": "NC"},
    ],
)
def test_what_cannot_be_meant_changes_nothing(event: dict[str, object], to_correct: ToCorrect) -> None:
    assert heard({"line": line_of(to_correct, 3)} | event, to_correct, Corrections()).is_empty


def test_half_a_million_wrong_lines_are_never_drawn_whole(to_correct: ToCorrect) -> None:
    (line, *_) = to_correct.lines
    many = ToCorrect("big.csv", to_correct.taken, (line,) * 500)
    sheet = sheet_of(many)

    assert (sheet.pages, len(sheet.page(1)), len(sheet.page(42))) == (42, LINES_AT_ONCE, 500 - 41 * LINES_AT_ONCE)


def open_grid(app: AppTest, said: Corrections) -> AppTest:
    """Open the grid of batch 6 and say this in it; the component itself is pressed in a browser."""
    app = pressed(app, "Correct them here")
    app.session_state["hl-said-6"] = said
    return app.run()


@pytest.mark.parametrize("view", [CLUB_WEEK, BATCHES])
def test_corrected_lines_come_in_without_leaving_the_page_and_taken_back_the_figures_are_as_before(
    view: str, small_club: DataFolder, to_correct: ToCorrect, open_page: OpenPage
) -> None:
    figures = "select * from report.club_week order by all"
    before = ask(small_club, figures)
    app = open_page(view)
    if view == BATCHES:
        app = pressed(app, "Look at batch 6")

    app = pressed(open_grid(app, all_said(to_correct)), "Bring in 4 lines")
    assert not app.exception
    assert "3 lines came in and 1 line left out for good, as batch 7." in told(app)
    assert ask(small_club, "select lines_accepted, lines_refused from core.batches where batch = 7").row(0) == (3, 1)
    week = ask(small_club, "select balls, lines_refused from report.club_week where week = '2025-03-17'")
    assert week.row(0) == (150, 0)

    app = pressed(app, "Take it back (withdraw batch 7)")
    assert not app.exception
    assert ask(small_club, figures).equals(before)
    assert (
        ask(small_club, "select count(distinct line) from core.refusals where batch = 6 and not is_mended").item() == 4
    )


def test_what_is_corrected_before_the_file_is_loaded_comes_in_behind_it(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = dropped(open_page(BRING_IN), week=WEEK)
    key = sha256(WEEK.encode()).hexdigest()
    lines = ToCorrect("week.csv", "", app.session_state[f"hl-sheet-{key}"][0])
    app.session_state[f"hl-said-{key}"] = all_said(lines)

    app = pressed(app.run(), "Load")

    assert not app.exception
    assert "3 lines came in and 1 line left out for good, as batch 7." in told(app)
    assert ask(small_club, "select count(*) from core.refusals where batch = 6 and not is_mended").item() == 0
    assert not app.get("bidi_component")


def test_who_is_no_coordinator_any_more_brings_no_corrected_line_in(
    small_club: DataFolder, to_correct: ToCorrect
) -> None:
    """The attack: the grid stands open while the account becomes a coach's."""
    user_of(small_club)
    bell = user_of(small_club, "S. Bell", Role.COORDINATOR)
    app = open_grid(opened(small_club, CLUB_WEEK, user=bell), all_said(to_correct))
    with club_file(small_club) as connection:
        account = accounts.by_name(connection, "S. Bell")
        assert account is not None
        accounts.change_role(connection, account, Role.COACH, groups=["Juniors"])

    app = pressed(app, "Bring in 4 lines")

    assert ask(small_club, "select max(batch) from core.batches").item() == 6
    assert not app.get("bidi_component")


def test_the_component_says_what_it_has_heard(
    small_club: DataFolder, to_correct: ToCorrect, open_page: OpenPage
) -> None:
    app = pressed(open_page(CLUB_WEEK), "Correct them here")

    data = json.loads(app.get("bidi_component")[0].proto.json)
    assert data["heard"] == 0
    assert "Line 3" in data["html"]


def unescaped(label: str) -> str:
    return re.sub(r"\\(.)", r"\1", label)


def choice(app: AppTest, label: str) -> Selectbox:
    (found,) = [one for one in app.selectbox if one.label == label]
    return found


GERMAN = "Datum,player,block,setup,spin,length,Tempo,balls,good\n2025-03-18,ADA,1,NC,topspin,long,45,40,30\n"


def test_columns_that_are_not_known_are_named_once_and_remembered_for_files_called_alike(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    """Without Datum the file is refused as a whole; Tempo may stay unread, but is named too."""
    app = dropped(open_page(BRING_IN), anna12=GERMAN)
    assert verdicts(app) == {"anna12.csv": "✗ refused as a whole"}

    app = choice(app, "“Datum” is").select("session_date: the day of the session").run()
    app = choice(app, "“Tempo” is").select("tempo_bpm: balls per minute").run()
    assert verdicts(app) == {"anna12.csv": "✓ all lines are in order"}
    assert "The column “Tempo” is tempo_bpm, as was said of such files." in told(app)
    asked = unescaped(app.checkbox[0].label)
    assert asked.startswith(
        "Remember for files called “anna…” with the 9 columns datum, player, block, setup, …: datum is"
    )

    app = pressed(app, "Load")
    assert not app.exception
    tempo = "select tempo_bpm from core.fed_lines where session_date = '2025-03-18'"
    assert ask(small_club, tempo)["tempo_bpm"].to_list() == [45.0]
    assert "What is remembered of files: 2" in told(app)

    again = dropped(app, anna13=GERMAN.replace("-18", "-19"))
    assert verdicts(again) == {"anna13.csv": "✓ all lines are in order"}
    other = dropped(open_page(BRING_IN), bert13=GERMAN.replace("-18", "-19"))
    assert verdicts(other) == {"bert13.csv": "✗ refused as a whole"}


def test_a_word_accepted_for_all_is_remembered_only_where_that_is_asked_for(
    small_club: DataFolder, to_correct: ToCorrect, open_page: OpenPage
) -> None:
    app = open_grid(open_page(CLUB_WEEK), all_said(to_correct))
    (asked,) = app.checkbox
    assert asked.value is False
    assert unescaped(asked.label).endswith(": CN is NC, bakspin is backspin")

    pressed(asked.check().run(), "Bring in 4 lines")

    with club_file(small_club) as connection:
        said = file_meanings.all_said(connection)
    assert [(one.of_column, one.typed, one.meant) for one in said] == [
        ("setup", "CN", "NC"),
        ("spin", "bakspin", "backspin"),
    ]


def test_who_is_no_coordinator_any_more_has_nothing_remembered(small_club: DataFolder) -> None:
    """The attack: the page stands open while the account becomes a coach's."""
    user_of(small_club)
    number = user_of(small_club, "S. Bell", Role.COORDINATOR)["sub"]
    reader = Reader("S. Bell", Role.COORDINATOR, account=int(number))
    with club_file(small_club) as connection:
        account = accounts.by_number(connection, int(number))
        assert account is not None
        accounts.change_role(connection, account, Role.COACH, groups=["Juniors"])

    with pytest.raises(NotPermitted):
        remember(Desk(small_club, reader), [Said("x", None, "tempo", "tempo_bpm")])


# Who needs what


def test_the_week_says_whose_logs_to_ask_for_by_whom_they_usually_come_and_how(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    """Of the Juniors Ada is in, Ben is not; M. Roe led them the week before. Of the Seniors nothing is known."""
    app = open_page(CLUB_WEEK)

    assert "Juniors: 1 of 2 in, usually by M. Roe (led 1 of the last 1 week with a log)" in told(app)
    assert "Seniors: no log yet, and nobody is noted who led it in the weeks before" in told(app)
    seniors, juniors = (one.value for one in app.code)
    assert seniors.startswith(
        "Hello, for the week from Monday 10 March 2025 (week 11) no log of Seniors has reached me"
    )
    assert juniors.startswith(
        "Hello M. Roe, for the week from Monday 10 March 2025 (week 11) no log of Ben Orr (Juniors)"
    )


def test_who_was_here_stands_beside_the_logs_of_the_day(small_club: DataFolder, open_page: OpenPage) -> None:
    with club_file(small_club) as connection:
        halls.note_here(connection, date(2025, 3, 11), ["ADA", "BEN"], None)
        halls.note_here(connection, date(2025, 3, 4), ["ADA"], None)

    (table,) = [one.value for one in open_page(CLUB_WEEK).markdown if "Here, and no log" in one.value]

    assert rows(table)[1:] == [["Tuesday 11 March", "2", "1", "Ben Orr"]]
