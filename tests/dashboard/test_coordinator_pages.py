"""The coordinator's pages under Streamlit's own test driver: a small club, an empty one, and folders in trouble.

What is expected of the small club is counted by hand from its files (see conftest.py).
"""

import json
import re
from collections.abc import Callable
from datetime import date
from html import unescape

import pytest
from filelock import FileLock
from streamlit.testing.v1 import AppTest

from ingest.loading import load
from ingest.written_lines import asked_as
from models.permits import Role
from models.records import RECORDS, SessionLine, columns_of
from sql.build import build
from sql.club import accounts
from sql.club.file import club_file
from sql.folder import DataFolder
from sql.making_tables import BuildFailed
from sql.warehouse import ask, held
from tests.dashboard.conftest import SMALL_CLUB, incoming
from tests.dashboard.shown import html_of, opened, plain, rows
from tests.few_tables import few_tables
from tests.signing_in import user_of

pytestmark = pytest.mark.usefixtures("coordinators_tables")

CLUB_WEEK = "views/club_week.py"
BRING_IN = "views/bring_in.py"
BATCHES = "views/batches.py"
WRITE_BLOCK = "views/write_block.py"
PAGES = [CLUB_WEEK, BRING_IN, BATCHES, WRITE_BLOCK]

OpenPage = Callable[[str], AppTest]

THREE_MISTAKES = """\
session_date,player,coach,block,setup,spin,length,balls,good
2025-03-18,ADA,M. Roe,1,NC,topspin,long,40,30
2025-03-18,BEN,M. Roe,1,BC,bakspin,long,40,22
2025-03-18,CLEO,M. Roe,1,MQ,topspin,long,40,25
2025-03-18,CLEO,M. Roe,2,BC,backspin,long,20,25
"""

EITHER_DATE = "session_date,player,setup,spin,length,balls,good\n02/03/2025,ADA,NC,topspin,long,40,30\n"


def told(app: AppTest) -> str:
    """Everything the page says, as its reader sees it."""
    kinds = (
        app.title,
        app.header,
        app.subheader,
        app.markdown,
        app.caption,
        app.info,
        app.success,
        app.warning,
        app.error,
    )
    texts = [element.value for kind in kinds for element in kind]
    texts += [expander.label for expander in app.expander]
    unmarked = [re.sub(r"\\(.)", r"\1", text.replace("**", "")) for text in texts]
    return "\n".join(unmarked + [plain(html.value) for html in app.html])


def figures(app: AppTest) -> dict[str, str]:
    """The figures on the cards of the week, by their titles."""
    (cards,) = [one.value for one in app.markdown if "hl-cards" in one.value]
    found = re.findall(r"<span>([^<]+)</span><b>(.+?)</b>", cards)
    return {title: plain(told) for title, told in found}


def picture(app: AppTest) -> dict[str, list[list[str]]]:
    """The rows of the week's picture, by group, without the days above them."""
    (drawn,) = [one.value for one in app.markdown if "hl-weeks" in one.value]
    tables = re.findall(r'aria-label="([^"]+)">(.*?)</table>', drawn, flags=re.DOTALL)
    return {group: rows(table)[1:] for group, table in tables}


def files_shown(app: AppTest) -> dict[str, str]:
    """What is said of each file on a list of files, by its name."""
    shown = "".join(one.value for one in app.markdown if "hl-file" in one.value)
    return {unescape(name): unescape(said) for name, said in re.findall(r"<b>(.+?)</b><span>(.+?)</span>", shown)}


def batches_in(folder: DataFolder) -> int:
    return ask(folder, "select * from core.batches").height


def pressed(app: AppTest, label: str) -> AppTest:
    """Press the button of that name."""
    (button,) = [button for button in app.button if button.label == label]
    return button.click().run()


def dropped(app: AppTest, **files: str) -> AppTest:
    """Drop files on the page, each named by its key with .csv behind it."""
    uploader = app.file_uploader[0]
    for name, text in files.items():
        uploader.upload(f"{name}.csv", text.encode(), "text/csv")
    return uploader.run()


def verdicts(app: AppTest) -> dict[str, str]:
    return {name: said.rpartition(" · ")[2] for name, said in files_shown(app).items()}


# Every page


@pytest.mark.parametrize("view", PAGES)
def test_a_page_of_a_club_that_has_loaded_nothing_says_so_and_leads_to_bring_in_logs(
    view: str, empty_club: DataFolder, open_page: OpenPage
) -> None:
    app = open_page(view)

    assert not app.exception
    assert "Nothing is loaded yet." in told(app) or view == BRING_IN
    assert "Players, setups and a target come before the logs." in told(app) or view != BRING_IN


@pytest.mark.parametrize(
    ("view", "says"),
    [
        (CLUB_WEEK, "No logs yet."),
        (BATCHES, "Nothing came in yet."),
        (WRITE_BLOCK, "No players yet."),
    ],
)
def test_a_page_of_a_club_that_has_published_an_empty_log_says_what_is_missing(
    view: str, says: str, empty_club: DataFolder, open_page: OpenPage
) -> None:
    with held(empty_club):
        build(empty_club)

    app = open_page(view)

    assert not app.exception
    assert says in told(app)


def test_without_setups_no_block_can_be_written_and_the_page_says_so(
    empty_club: DataFolder, open_page: OpenPage
) -> None:
    load(empty_club, incoming({"players.csv": SMALL_CLUB["players.csv"]}), "test", today=date(2025, 3, 12))

    assert "No setups yet." in told(open_page(WRITE_BLOCK))


# The club's week


def test_the_latest_week_comes_first_with_the_two_numbers_that_decide(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    """In the second week only Ada has a log, of three active players; Ben's only line is refused."""
    app = open_page(CLUB_WEEK)

    assert not app.exception
    assert app.selectbox[0].value == date(2025, 3, 10)
    assert [*figures(app).items()][:2] == [
        ("Players whose log is in", "1 of 3"),
        ("Lines still refused", "1"),
    ]


def test_players_without_a_log_are_named_with_the_day_of_their_last_one(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    """Ben was there a week before; Cléo never; Dan is not active and not missed."""
    (missing,) = [one.value for one in open_page(CLUB_WEEK).markdown if "Last log before" in one.value]

    assert rows(missing)[1:] == [["Ben Orr", "Juniors", "4 March 2025"], ["Cléo Marsh", "Seniors", "none"]]


def test_the_picture_of_the_week_has_groups_and_days_with_what_is_in_missing_and_refused(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    """On Tuesday 11 March Ada has 80 balls; the same day's line of Ben is refused; Cléo has nothing in the week."""
    app = open_page(CLUB_WEEK)

    assert picture(app) == {
        "Juniors": [
            ["Ada Lind", "no log", "Tuesday 11: 80 balls in 1 session", *["no log"] * 5, "80"],
            ["Ben Orr", "no log", "to correct: line 4 of 2025-w11.csv", *["no log"] * 5, "no log this week"],
        ],
        "Seniors": [["Cléo Marsh", *["no log"] * 7, "no log this week"]],
    }
    (drawn,) = [one.value for one in app.markdown if "hl-weeks" in one.value]
    assert set(re.findall(r'href="one_player[^"]+" target="(\w+)"', drawn)) == {"_self"}
    (leads_to,) = re.findall(r'href="#([^"]+)"', drawn)
    assert any(f'id="{leads_to}"' in html for html in html_of(app))


def test_a_refused_line_that_names_nobody_has_a_row_of_its_own_in_the_picture(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    stranger = "session_date,player,setup,spin,length,balls,good\n2025-03-12,ADDA,BC,topspin,long,20,12\n"
    stranger += "2025-03-12,CLEO,BC,topspin,long,20,12\n"
    load(small_club, incoming({"stranger.csv": stranger}), "test", today=date(2025, 3, 12))

    (row,) = picture(open_page(CLUB_WEEK))["Nobody on the list"]
    assert (row[0], row[3]) == ("ADDA", "to correct: line 2 of stranger.csv")


def test_steps_lead_to_the_week_before_and_after(small_club: DataFolder, open_page: OpenPage) -> None:
    app = pressed(open_page(CLUB_WEEK), "The week before")
    assert figures(app)["Players whose log is in"] == "2 of 3"
    assert [button.disabled for button in app.button if button.label == "The week before"] == [True]

    assert figures(pressed(app, "The week after"))["Players whose log is in"] == "1 of 3"


def test_a_refused_line_of_the_week_is_shown_with_what_to_do(small_club: DataFolder, open_page: OpenPage) -> None:
    page = told(open_page(CLUB_WEEK))

    assert "2025-w11.csv: line 4" in page
    assert "saw “topsin”" in page
    assert "To do: use topspin." in page


def test_the_week_s_figures_are_those_counted_by_hand(small_club: DataFolder, open_page: OpenPage) -> None:
    """Ada's two blocks: 80 balls in 10 minutes. She covers 3 of 6 combinations, Ben 1, Cléo none: two are short."""
    app = open_page(CLUB_WEEK)

    assert figures(app) | {"Balls": "80", "Short of variety": "2 of 3"} == figures(app)
    assert "in 1 session, 10 minutes noted" in plain(told(app))


def test_a_week_without_refused_lines_says_that_all_lines_are_in_order(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = open_page(CLUB_WEEK)
    app.selectbox[0].select(date(2025, 3, 3)).run()

    assert "All lines of this week are in order." in told(app)
    assert figures(app)["Players whose log is in"] == "2 of 3"


def test_a_week_with_every_log_and_no_refused_line_is_called_sound(small_club: DataFolder, open_page: OpenPage) -> None:
    cleo = "session_date,player,setup,spin,length,balls,good\n2025-03-05,CLEO,BC,topspin,long,20,12\n"
    load(small_club, incoming({"cleo.csv": cleo}), "test", today=date(2025, 3, 12))

    app = open_page(CLUB_WEEK)
    assert "The week is in, and sound" not in told(app)

    app.selectbox[0].select(date(2025, 3, 3)).run()
    assert "The week is in, and sound" in told(app)


def test_each_chart_of_the_weeks_says_in_words_what_it_shows(small_club: DataFolder, open_page: OpenPage) -> None:
    alts = [chart.proto.alt for chart in open_page(CLUB_WEEK).get("vega_lite_chart")]

    assert alts == [
        "Bars, one for each week from 2025-03-03 to 2025-03-10: players with a log. In the week from 2025-03-10: 1.",
        "Bars, one for each week from 2025-03-03 to 2025-03-10: lines still refused. In the week from 2025-03-10: 1.",
        "Bars, one for each week from 2025-03-03 to 2025-03-10: balls fed. In the week from 2025-03-10: 80.",
    ]


# Bring in logs


def test_dropped_files_are_judged_line_by_line_before_anything_is_stored(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = dropped(open_page(BRING_IN), week12=THREE_MISTAKES)

    assert not app.exception
    assert "Verdict: nothing is stored yet" in told(app)
    assert verdicts(app) == {"week12.csv": "✗ 3 lines to mend"}
    assert batches_in(small_club) == len(SMALL_CLUB)


def test_each_refused_line_stands_with_its_cells_to_be_typed_and_the_faulty_one_marked_by_a_sign(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    """Whoever types a cell sees what is proposed: for MQ only MR is near."""
    app = dropped(open_page(BRING_IN), week12=THREE_MISTAKES)
    html = json.loads(app.get("bidi_component")[0].proto.json)["html"]
    lines = html.split("hl-wrong-line")[1:]

    assert [plain(line).partition("✗")[0].split("> ")[1].strip() for line in lines] == ["Line 3", "Line 4", "Line 5"]
    assert [re.findall(r"<small>✗ (\S+)</small>", line) for line in lines] == [["spin"], ["setup"], ["good"]]
    proposed = [re.findall(r'data-act="cell" [^>]*data-value="(\S+)"', line) for line in lines]
    assert proposed == [["backspin"], ["MR"], []]


def test_a_file_says_how_it_was_read(small_club: DataFolder, open_page: OpenPage) -> None:
    app = dropped(open_page(BRING_IN), week12=THREE_MISTAKES.replace(",", ";"))

    assert "CSV in UTF-8, separated by semicolon" in told(app)


def test_loading_stores_the_accepted_lines_and_keeps_the_refused_ones_to_be_mended(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = pressed(dropped(open_page(BRING_IN), week12=THREE_MISTAKES), "Load")

    assert not app.exception
    assert "week12.csv is in as batch 6: 1 line accepted, 3 lines refused and kept aside to be mended." in told(app)
    assert "Refused lines as a file to mend" in [button.label for button in app.download_button]
    assert ask(small_club, "select lines_accepted, lines_refused from core.batches where batch = 6").row(0) == (1, 3)
    assert figures(app.switch_page(CLUB_WEEK).run())["Lines still refused"] == "3"


def test_the_same_file_again_is_recognised_and_there_is_nothing_to_load(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = dropped(open_page(BRING_IN), again=SMALL_CLUB["2025-w11.csv"])

    assert verdicts(app) == {"again.csv": "= in already, as batch 5"}
    assert [button.disabled for button in app.button if button.label == "Load"] == [True]


def test_several_files_at_once_each_get_their_verdict(small_club: DataFolder, open_page: OpenPage) -> None:
    sound = "session_date,player,setup,spin,length,balls,good\n2025-03-19,BEN,BC,topspin,long,20,12\n"
    app = dropped(open_page(BRING_IN), mistaken=THREE_MISTAKES, sound=sound, page="<html><body>no log</body></html>")

    assert verdicts(app) == {
        "mistaken.csv": "✗ 3 lines to mend",
        "sound.csv": "✓ all lines are in order",
        "page.csv": "✗ refused as a whole",
    }


def test_an_empty_club_begins_with_all_its_files_at_once(empty_club: DataFolder, open_page: OpenPage) -> None:
    """Players, setups and the target are taken before the logs that need them, however they were dropped."""
    files = {name.removesuffix(".csv"): text for name, text in reversed(SMALL_CLUB.items())}
    app = pressed(dropped(open_page(BRING_IN), **files), "Load")

    assert not app.exception
    assert batches_in(empty_club) == len(SMALL_CLUB)
    assert figures(app.switch_page(CLUB_WEEK).run())["Players whose log is in"] == "1 of 3"


@pytest.mark.parametrize(("choice", "day"), [("day first", date(2025, 3, 2)), ("month first", date(2025, 2, 3))])
def test_a_file_whose_dates_may_mean_two_days_is_loaded_as_soon_as_somebody_says_which(
    choice: str, day: date, small_club: DataFolder, open_page: OpenPage
) -> None:
    app = dropped(open_page(BRING_IN), either=EITHER_DATE)
    assert verdicts(app) == {"either.csv": "✗ refused as a whole"}
    assert app.radio[0].options == [
        "day first: 02/03/2025 is 2 March 2025",
        "month first: 02/03/2025 is 3 February 2025",
    ]

    app = app.radio[0].set_value(choice).run()
    assert verdicts(app) == {"either.csv": "✓ all lines are in order"}

    pressed(app, "Load")
    lines = ask(small_club, "select max(balls) from core.sessions where session_date = $day", {"day": day})
    assert lines.item() == 40


def test_a_file_that_is_no_log_is_refused_with_what_to_do_and_nothing_to_choose(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = dropped(open_page(BRING_IN), page="<!DOCTYPE html><html><body>no log</body></html>")

    assert not app.exception
    assert "web page" in told(app)
    assert "To do:" in told(app)
    assert not app.radio
    assert [button.disabled for button in app.button if button.label == "Load"] == [True]


def test_there_is_an_empty_file_of_every_kind_to_begin_with(empty_club: DataFolder, open_page: OpenPage) -> None:
    labels = [button.label for button in open_page(BRING_IN).download_button]

    assert labels == ["A target to begin with" if kind == "targets" else f"Empty {kind} file" for kind in RECORDS]


def test_a_folder_held_by_another_program_is_told_in_a_sentence(
    small_club: DataFolder, open_page: OpenPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sql.warehouse.BUSY_AFTER_S", 0.05)
    monkeypatch.setattr("sql.warehouse.GIVE_UP_AFTER_S", 0.05)
    app = open_page(BRING_IN)

    with FileLock(small_club.lock_file):
        app = dropped(app, week12=THREE_MISTAKES)

    assert not app.exception
    assert "still busy" in told(app)


def test_where_the_figures_cannot_be_made_the_page_says_that_the_lines_are_stored_all_the_same(
    small_club: DataFolder, open_page: OpenPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise BuildFailed("report.variety: expected a share of at most 1")

    monkeypatch.setattr("ingest.loading.build", fails)
    app = pressed(dropped(open_page(BRING_IN), week12=THREE_MISTAKES), "Load")

    assert not app.exception
    assert "What was done is stored" in told(app)
    assert "report.variety: expected a share of at most 1" in told(app)


# What came in


def test_the_batches_stand_there_the_latest_first_with_their_counts(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    batches = files_shown(open_page(BATCHES))

    assert list(batches)[:2] == ["2025-w11.csv", "2025-w10.csv"]
    assert [said.partition(" ")[0] for said in batches.values()] == ["5", "4", "3", "2", "1"]
    assert batches["2025-w11.csv"].startswith("5 · sessions · 3 lines, 1 refused · test, ")
    assert " · sessions · 3 lines, all in order · " in batches["2025-w10.csv"]


def test_many_batches_stand_on_several_pages(small_club: DataFolder, open_page: OpenPage) -> None:
    texts = {f"more-{i}.csv": SMALL_CLUB["2025-w11.csv"].replace(",40,", f",{i + 41},") for i in range(9)}
    with few_tables("core.batches"):
        load(small_club, incoming(texts), "test", today=date(2025, 3, 12))
    app = open_page(BATCHES)
    assert (len(files_shown(app)), "players.csv" in files_shown(app)) == (12, False)

    app = app.get("pagination")[0].set_value(2).run()
    assert list(files_shown(app)) == ["setups.csv", "players.csv"]


def test_a_batch_is_shown_with_how_it_was_read_and_its_refused_lines(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = pressed(open_page(BATCHES), "Look at batch 5")

    assert "3 lines read, 2 accepted, 1 refused." in told(app)
    assert "How it was read: 2025-w11.csv is a sessions log" in told(app)
    assert "Refused lines to mend: 1" in told(app)
    assert re.findall(r"✗ \S+ \S+", rows(html_of(app)[0])[1][2]) == ["✗ spin topsin"]


def test_withdrawing_says_what_it_does_and_waits_for_a_yes(small_club: DataFolder, open_page: OpenPage) -> None:
    app = pressed(open_page(BATCHES), "Withdraw batch 5")
    assert "Its 2 accepted lines will no longer count." in told(app)

    app = pressed(app, "No, keep it")
    assert "will no longer count" not in told(app)
    assert ask(small_club, "select count(withdrawn_at) from core.batches").item() == 0


def test_a_withdrawn_batch_no_longer_counts_and_stays_listed(small_club: DataFolder, open_page: OpenPage) -> None:
    """Without the second week's batch the log has 110 balls, those of the first week."""
    app = pressed(pressed(open_page(BATCHES), "Withdraw batch 5"), "Yes, withdraw it")

    assert not app.exception
    assert "Batch 5 is withdrawn" in told(app)
    assert files_shown(app)["2025-w11.csv"].endswith(" · withdrawn")
    assert "Its lines do not count." in told(pressed(app, "Look at batch 5"))
    assert ask(small_club, "select balls from report.build").item() == 110


def test_a_batch_that_others_need_cannot_be_withdrawn_and_the_page_says_which(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = pressed(pressed(open_page(BATCHES), "Withdraw batch 1"), "Yes, withdraw it")

    assert not app.exception
    assert "Batch 1 brought players, feeders or setups that log lines in force name (batches 4, 5)." in told(app)
    assert ask(small_club, "select count(withdrawn_at) from core.batches").item() == 0


# Write a block


def field(app: AppTest, kind: str, name: str) -> object:
    """The field of a column, whatever turn of the form it belongs to."""
    (found,) = [one for one in app.get(kind) if re.fullmatch(rf"block-{name}(-\d+-.*)?", one.key or "")]
    return found


def written(app: AppTest, *, block: int = 1, balls: int = 40, good: int = 22) -> AppTest:
    """Fill in a block of Ada's of 12 March 2025, backspin from the back centre, and send it."""
    field(app, "date_input", "session_date").set_value(date(2025, 3, 12))
    field(app, "text_input", "coach").set_value("M. Roe")
    app = field(app, "selectbox", "player").select("ADA").run()
    field(app, "number_input", "block").set_value(block)
    field(app, "selectbox", "setup").select("BC")
    field(app, "pills", "spin").set_value("backspin")
    field(app, "pills", "length").set_value("long")
    field(app, "number_input", "balls").set_value(balls)
    field(app, "number_input", "good").set_value(good)
    return pressed(app, "Save this block")


def test_the_form_asks_for_every_column_of_the_session_log_once_in_its_order(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = open_page(WRITE_BLOCK)
    kinds = ("date_input", "text_input", "selectbox", "number_input", "pills")
    labels = sorted(field.label for kind in kinds for field in app.get(kind))

    assert labels == sorted(asked_as(column) for column in columns_of(SessionLine))


def test_players_and_setups_are_picked_by_name_and_only_active_players_stand_there(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = open_page(WRITE_BLOCK)

    assert field(app, "selectbox", "player").options == ["Ada Lind (ADA)", "Ben Orr (BEN)", "Cléo Marsh (CLEO)"]
    assert field(app, "selectbox", "setup").options[0] == "back centre (BC)"


def test_a_sound_block_goes_into_the_log_as_a_batch_of_its_own(small_club: DataFolder, open_page: OpenPage) -> None:
    app = written(open_page(WRITE_BLOCK))

    assert not app.exception
    assert "The block is in the log, as batch 6." in told(app)
    assert ask(small_club, "select source, lines_accepted from core.batches where batch = 6").row(0) == ("form", 1)
    line = ask(
        small_club, "select player_id, spin, balls, good, coach from core.fed_lines where session_date = '2025-03-12'"
    )
    assert line.row(0) == ("ADA", "backspin", 40, 22, "M. Roe")


def test_after_a_block_session_coach_and_setup_stay_and_the_next_number_is_proposed(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = written(open_page(WRITE_BLOCK))

    assert field(app, "date_input", "session_date").value == date(2025, 3, 12)
    assert field(app, "text_input", "coach").value == "M. Roe"
    assert field(app, "selectbox", "setup").value == "BC"
    assert field(app, "number_input", "block").value == 2
    assert field(app, "number_input", "balls").value is None
    assert field(app, "pills", "spin").value is None


def test_a_block_with_more_good_balls_than_balls_is_sent_back_with_the_reason_below_its_field(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = written(open_page(WRITE_BLOCK), balls=20, good=25)

    assert not app.exception
    assert "The block is not saved yet" in told(app)
    assert "Good (balls): saw “good 25, balls 20”, expected no more good balls than balls fed." in told(app)
    assert field(app, "number_input", "good").value == 25
    assert batches_in(small_club) == len(SMALL_CLUB)


def test_an_empty_form_is_sent_back_with_every_needed_field_named(small_club: DataFolder, open_page: OpenPage) -> None:
    app = pressed(open_page(WRITE_BLOCK), "Save this block")

    named = re.findall(r"(.+): there is nothing yet", told(app))
    assert named == ["Player", "Setup", "Spin", "Length", "Balls", "Good (balls)"]


def test_what_was_refused_is_forgotten_when_the_coach_comes_back_to_the_page(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = pressed(open_page(WRITE_BLOCK), "Save this block")
    app.switch_page(CLUB_WEEK).run()

    assert "The block is not saved yet" not in told(app.switch_page(WRITE_BLOCK).run())


def test_a_block_that_is_in_the_log_already_is_replaced_only_after_a_yes(
    small_club: DataFolder, open_page: OpenPage
) -> None:
    app = written(open_page(WRITE_BLOCK), good=22)
    app = written(app, block=1, good=30)
    assert "This block is in the log already, with other figures." in told(app)
    good = "select good from core.fed_lines where session_date = '2025-03-12'"
    assert ask(small_club, good)["good"].to_list() == [22]

    app = pressed(app, "Replace the line in the log")
    assert not app.exception
    assert ask(small_club, good)["good"].to_list() == [30]


def test_a_block_written_twice_just_alike_changes_nothing(small_club: DataFolder, open_page: OpenPage) -> None:
    app = written(written(open_page(WRITE_BLOCK)), block=1)

    assert "in the log already, just as written" in told(app)
    assert batches_in(small_club) == len(SMALL_CLUB) + 1


def test_a_coach_who_has_another_group_since_replaces_no_line_of_the_old_one(small_club: DataFolder) -> None:
    """The attack: the question whether to replace stands open while the coordinator moves the coach."""
    coach = user_of(small_club, "S. Bell", Role.COACH, groups=["Juniors"])
    app = written(opened(small_club, WRITE_BLOCK, user=coach), good=22)
    app = written(app, block=1, good=30)
    with club_file(small_club) as connection:
        account = accounts.by_name(connection, "S. Bell")
        assert account is not None
        accounts.change_role(connection, account, Role.COACH, groups=["Seniors"])

    app = pressed(app, "Replace the line in the log")
    assert "not open to you" in told(app)
    good = "select good from core.fed_lines where session_date = '2025-03-12'"
    assert ask(small_club, good)["good"].to_list() == [22]
