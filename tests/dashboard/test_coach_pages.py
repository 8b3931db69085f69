"""The coach's pages: what they say of the demo club's planted players, and what they say when there is nothing."""

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Browser, Page, expect

from dashboard import questions
from dashboard.questions import Desk
from demo_data import stories
from ingest.loading import load
from sql.folder import DataFolder
from tests.dashboard.conftest import SMALL_CLUB, incoming
from tests.dashboard.shown import board_rows, opened, rows, shown, words

BOARD = "views/board.py"
ONE_PLAYER = "views/one_player.py"
THE_DAY_AFTER = date(2025, 3, 12)

HEADS = ["back", "middle", "near", "forehand", "centre", "backhand", "backspin", "no spin", "topspin", "slow", "fast"]


def conditions(demo_club: DataFolder, name: str) -> dict[str, str]:
    """What the board says of a player under each condition."""
    return dict(zip(HEADS, board_rows(shown(demo_club, BOARD))[name][2:], strict=True))


# The board


def test_the_board_has_a_column_for_each_wanted_value_grouped_by_dimension(demo_club):
    first, second = rows(shown(demo_club, BOARD).html[0].value)[:2]

    assert first == ["Player group", "Covered pairs", "Balls last log", "Depth", "Side", "Spin", "Tempo"]
    assert second == HEADS


def test_who_trains_from_the_back_centre_only_leads_the_board_with_middle_and_near_empty(demo_club):
    app = shown(demo_club, BOARD)
    walt = conditions(demo_club, "Walt Embrick")

    assert list(board_rows(app))[2] == "Walt Embrick"
    assert "**Walt Embrick** covers least: 6 of 54 combinations." in words(app)
    assert (walt["middle"], walt["near"]) == ("0 never", "0 never")
    assert (walt["forehand"], walt["backhand"]) == ("0 never", "0 never")
    assert (walt["back"], walt["centre"]) == ("6/18", "6/18")


def test_who_meets_backspin_only_has_the_other_spins_empty(demo_club):
    kaj = conditions(demo_club, "Kaj Murrick")

    assert (kaj["backspin"], kaj["no spin"], kaj["topspin"]) == ("15/18", "0 never", "0 never")


def test_who_trains_at_one_tempo_has_the_other_one_empty_though_no_one_hits_more_balls(demo_on_screen):
    app = opened(demo_on_screen, BOARD)
    app.selectbox[2].select("Fewest balls").run()
    judged = [name for name, cells in board_rows(app).items() if len(cells) == len(HEADS) + 2]

    assert conditions(demo_on_screen, "Ilse Karrow")["fast"] == "0 never"
    assert judged[-1] == "Ilse Karrow"


def test_even_margins_show_a_third_of_every_value_and_a_third_of_the_grid(demo_club):
    """Only the counts of combinations unmask this player: every single value comes up equally often."""
    marek = conditions(demo_club, "Marek Tolvund")

    assert board_rows(shown(demo_club, BOARD))["Marek Tolvund"][0] == "18 of 54 39 of 45"
    assert set(marek.values()) == {"6/18", "9/27"}


def test_who_covers_nearly_everything_stands_last_of_those_who_can_be_judged(demo_club):
    judged = [name for name, cells in board_rows(shown(demo_club, BOARD)).items() if len(cells) == len(HEADS) + 2]

    assert judged[-1] == "Runa Oldeby"
    assert (conditions(demo_club, "Runa Oldeby")["near"], conditions(demo_club, "Runa Oldeby")["back"]) == (
        "15/18",
        "18/18",
    )


def test_the_absent_one_is_not_judged_and_the_board_says_since_when_there_is_no_log(demo_club):
    app = shown(demo_club, BOARD)

    assert board_rows(app)["Petra Lohmarr"] == ["–", "0 14 Oct", "Not judged: no log since 14 October"]
    assert "Petra Lohmarr (no log since 14 October)" in words(app)


def test_the_newcomer_is_not_judged_by_a_handful_of_balls(demo_club):
    cells = board_rows(shown(demo_club, BOARD))["Zoë Haldvik"]

    assert cells == ["–", "14 18 Nov", "Not judged: not enough balls yet: 14 of the 20 it takes"]


def test_a_value_that_a_target_does_not_want_is_neither_empty_nor_covered(demo_club):
    lotte = conditions(demo_club, "Lotte Piversen")

    assert (lotte["near"], lotte["no spin"], lotte["fast"]) == ("·", "·", "·")


@pytest.mark.parametrize(
    ("order", "first"),
    [("Name", "Aiko Brandsel"), ("Fewest balls", "Ines Corvall"), ("Longest without a log", "Łucja Wendrel")],
)
def test_the_board_can_be_ordered(demo_on_screen, order: str, first: str):
    app = opened(demo_on_screen, BOARD)

    app.selectbox[2].select(order).run()

    assert list(board_rows(app))[2] == first


def test_a_group_is_shown_alone_with_its_own_least_covered_player(demo_on_screen):
    app = opened(demo_on_screen, BOARD)

    app.selectbox[1].select("Minis").run()

    assert set(list(board_rows(app))[2:]) == {
        *("Finn Osterwale", "Ines Corvall", "Lotte Piversen", "Mila Żarnow", "Theo Quillan"),
    }
    assert "**Ines Corvall** covers least: 6 of 12 combinations." in words(app)


def test_every_combination_of_a_group_is_one_cell_with_a_sign(demo_on_screen):
    """The spin of even margins is tied to the depth: from the back only topspin, in both tempos."""
    app = opened(demo_on_screen, BOARD)
    app.selectbox[1].select("Competition").run()
    app.button_group[0].set_value("Every combination").run()
    cells = board_rows(app)["Marek Tolvund"][1:]

    assert len(cells) == 54
    assert cells[:18] == ["0", "0", "0", "0", "✓", "✓"] * 3


def test_groups_with_different_targets_are_not_put_into_one_grid(demo_on_screen):
    app = opened(demo_on_screen, BOARD)

    app.button_group[0].set_value("Every combination").run()

    assert "These players have different targets. Pick one group to see its grid." in words(app)


def test_an_earlier_week_shows_the_board_as_it_was_then(demo_on_screen):
    app = opened(demo_on_screen, BOARD)

    app.selectbox[0].select("12 October").run()

    assert "Petra Lohmarr" not in words(app).split("Not judged")[1].split("\n")[0]


def test_a_name_leads_to_the_player_by_code_alone(demo_club):
    html = shown(demo_club, BOARD).html[0].value
    link = urlparse(html.split('href="')[1].split('"')[0])

    assert link.path == "one_player"
    assert parse_qs(link.query) == {"player": [stories.BACK_CENTRE_ONLY.player]}


def test_the_numbers_of_the_board_are_defined_one_click_away_with_their_settings(demo_club):
    said = words(shown(demo_club, BOARD))

    assert f"**combinations covered**: {questions.meaning(Desk(demo_club), 'report.variety')['cells_covered']}" in said
    assert "Setting **covered balls** = 10: balls in the window that make a combination covered" in said


def test_a_name_that_looks_like_markup_is_shown_as_it_is_written(tmp_path: Path):
    folder = DataFolder(tmp_path / "club")
    club = SMALL_CLUB | {"players.csv": SMALL_CLUB["players.csv"].replace("Ben Orr", "<img src=x> *Ben*")}
    load(folder, incoming(club), "test", today=THE_DAY_AFTER)

    app = opened(folder, BOARD)

    assert "<img" not in app.html[0].value
    assert "&lt;img src=x&gt; *Ben*" in app.html[0].value
    assert r"\<img src\=x\> \*Ben\*" in words(app)


# One player


def test_the_page_asks_for_a_player_where_the_address_names_none(demo_club):
    assert "Pick a player, or come from a name on the coverage board." in words(shown(demo_club, ONE_PLAYER))


def test_a_code_that_nobody_has_is_told(demo_club):
    assert "No active player has the code 'NOBODY'." in words(shown(demo_club, ONE_PLAYER, "NOBODY"))


def test_picking_a_player_puts_only_the_code_into_the_address(demo_on_screen):
    app = opened(demo_on_screen, ONE_PLAYER)

    app.selectbox[1].select("Ilse Karrow · Competition").run()

    assert app.header[0].value == "Ilse Karrow"
    assert app.query_params["player"] in ("ILKA", ["ILKA"])


@pytest.mark.parametrize("story", stories.STORIES, ids=lambda story: story.player)
def test_the_page_of_every_planted_player_opens_with_its_name_and_without_an_exception(demo_club, story):
    app = shown(demo_club, ONE_PLAYER, story.player)

    assert not app.exception
    assert app.header[0].value == questions.players(Desk(demo_club)).filter(player_id=story.player)["name"].item()


def test_spin_tied_to_depth_is_told_as_pairs_that_never_came_together(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.SPIN_TIED_TO_DEPTH.player))

    assert "18 of 54 combinations covered" in said
    assert "**Depth with spin: 3 of 9 pairs.** Missing: from the back with backspin; from the back with no spin" in said
    assert "Depth with side" not in said


def test_the_all_rounder_is_to_be_fed_the_fast_balls_from_near_the_net_on_the_backhand_side(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.ALL_ROUNDER.player))

    for spin in ("backspin", "no spin", "topspin"):
        assert f"1. From near the net, backhand side, {spin}, fast tempo — never met" in said


def test_the_riser_is_shown_then_and_now_with_counts_and_ranges(demo_club):
    told = questions.then_and_now(Desk(demo_club), questions.weeks(Desk(demo_club))[0], stories.RISER.player)
    said = words(shown(demo_club, ONE_PLAYER, stories.RISER.player))

    assert told is not None
    assert told["then_high"] < told["low"]
    assert "In the 28 days to 21 June: 45 in 100 (2,256 balls; range 43 to 47)." in said
    assert "Now: 77 in 100 (1,380 balls; range 75 to 79)." in said


def test_the_noisy_one_is_shown_by_the_lowest_and_the_highest_session(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.NOISY.player))

    assert "Single sessions: the lowest 8 in 100" in said
    assert "the highest 94 in 100" in said


def test_who_falls_when_the_ball_changes_is_shown_by_counts_from_the_ball_logs(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.FALLS_AT_CHANGES.player))

    assert "First ball after a change: 242 of 418 balls, 58 in 100" in said
    assert "Same ball again: 228 of 285 balls, 80 in 100" in said


def test_the_order_of_balls_is_reported_with_fair_evidence_and_never_scored(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.FALLS_AT_CHANGES.player))

    assert "serial: changing in a way one can guess" in said
    assert "Reported, not scored: mixed practice usually looks worse today" in said


def test_the_left_hander_meets_most_balls_from_the_forehand_side_which_is_drawn_on_the_left(demo_club):
    """Common practice, no source: a left-hander's forehand side is the left one as the player looks at the table."""
    app = shown(demo_club, ONE_PLAYER, stories.LEFT_HANDED.player)
    sides = questions.success(Desk(demo_club), questions.weeks(Desk(demo_club))[0], stories.LEFT_HANDED.player, "side")
    grid = next(rows(html.value) for html in app.html if 'aria-label="Coverage grid"' in html.value)

    assert "left-handed · Club" in words(app)
    assert sides.sort("balls")["value"].to_list()[-1] == "forehand"
    assert grid[0] == ["Depth", "Spin", "forehand", "centre", "backhand"]


def test_the_right_hander_has_the_forehand_side_on_the_right(demo_club):
    app = shown(demo_club, ONE_PLAYER, stories.BACK_CENTRE_ONLY.player)
    grid = next(rows(html.value) for html in app.html if 'aria-label="Coverage grid"' in html.value)

    assert grid[0] == ["Depth", "Spin", "backhand", "centre", "forehand"]
    assert grid[2] == ["back", "backspin", "0 never", "0 never", "✓ 135", "✓ 95", "0 never", "0 never"]


def test_the_absent_one_has_stale_balls_and_weeks_without_a_log_which_are_not_called_rest(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.ABSENT.player))

    assert "No log since 14 October." in said
    assert "stale, last on" in said
    assert "No log in this week: that is missing, not rest." in said


def test_the_newcomer_gets_counts_and_no_rate(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.NEWCOMER.player))

    assert "Not enough balls yet: 14 of the 20 it takes." in said
    assert "7 of 14 balls: not enough balls yet for a rate (it takes 20)." in said
    assert "There are not yet two sessions with enough balls to compare." in said


def test_mistakes_stand_with_the_balls_whose_mistakes_were_noted(demo_club):
    app = shown(demo_club, ONE_PLAYER, stories.BACK_CENTRE_ONLY.player)
    table = next(rows(html.value) for html in app.html if 'aria-label="Mistakes by spin"' in html.value)

    assert table[0] == ["Spin", "net", "long", "wide", "missed", "Balls noted"]
    assert table[1] == ["heavy backspin", "10 40 in 100", "3 12 in 100", "1 4 in 100", "1 4 in 100", "25"]


def test_mistakes_on_few_balls_are_counts_and_no_rates(demo_club):
    app = shown(demo_club, ONE_PLAYER, stories.NEWCOMER.player)
    table = next(rows(html.value) for html in app.html if 'aria-label="Mistakes by spin"' in html.value)

    assert table[1:] == [["no spin", "2", "0", "0", "1", "6"], ["light topspin", "1", "1", "1", "1", "8"]]


def test_every_chart_can_be_heard(demo_club):
    charts = shown(demo_club, ONE_PLAYER, stories.RISER.player).get("vega_lite_chart")

    assert len(charts) == 4
    assert all(len(chart.proto.alt) > 20 for chart in charts)


def test_no_page_of_the_coach_predicts_an_injury_or_shows_a_p_value(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.FALLS_AT_CHANGES.player)).lower()

    assert "injur" not in said
    assert "p-value" not in said
    assert "p =" not in said


# In a browser


@pytest.fixture
def phone(chromium: Browser, served: Callable[[DataFolder], str], small_club: DataFolder) -> Iterator[Page]:
    """The board on a phone's screen, drawn to the end."""
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{served(small_club)}/board")
    page.get_by_role("link", name="Ada Lind").wait_for(timeout=60_000)
    yield page
    context.close()


def test_on_a_phone_the_board_scrolls_inside_its_frame_and_a_name_leads_to_the_player(phone: Page):
    wider = "element => element.scrollWidth > element.clientWidth"

    assert not phone.locator("[data-testid=stMain]").evaluate(wider)
    assert phone.locator(".marks-frame").evaluate(wider)

    phone.get_by_role("link", name="Ada Lind").click()

    expect(phone.get_by_role("heading", name="Ada Lind")).to_be_visible(timeout=60_000)
    assert phone.url.endswith("/one_player?player=ADA")


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_name_that_stays_while_the_board_scrolls_hides_what_passes_under_it(phone: Page, theme: str):
    phone.emulate_media(color_scheme=theme)
    phone.reload()
    phone.get_by_role("link", name="Ada Lind").wait_for(timeout=60_000)
    background = "element => getComputedStyle(element).backgroundColor"

    page_colour = phone.locator("[data-testid=stApp]").evaluate(background)

    assert phone.locator(".marks tbody th").first.evaluate(background) == page_colour


# Little or nothing


@pytest.mark.parametrize("view", [BOARD, ONE_PLAYER])
def test_an_empty_club_is_told_what_to_begin_with(empty_club, view: str):
    app = opened(empty_club, view)

    assert not app.exception
    assert "Nothing is loaded yet." in words(app)


@pytest.mark.parametrize(
    ("files", "said"),
    [
        (("setups.csv",), "No players are loaded yet."),
        (("players.csv", "setups.csv", "targets.csv"), "No logs are loaded yet."),
        (("players.csv", "setups.csv", "2025-w10.csv"), "No target is loaded yet."),
    ],
    ids=["no players", "no logs", "no target"],
)
def test_the_board_says_what_is_missing(tmp_path: Path, files: tuple[str, ...], said: str):
    folder = DataFolder(tmp_path / "club")
    load(folder, incoming({name: SMALL_CLUB[name] for name in files}), "test", today=THE_DAY_AFTER)

    app = opened(folder, BOARD)

    assert not app.exception
    assert said in words(app)


def test_a_player_without_logs_is_on_the_board_and_has_a_page(small_club):
    board = shown(small_club, BOARD)
    page = shown(small_club, ONE_PLAYER, "CLEO")

    assert board_rows(board)["Cléo Marsh"] == ["–", "0 never", "Not judged: no log yet"]
    assert "Nothing was logged for this player up to this week." in words(page)


def test_who_no_longer_trains_is_not_on_the_board(small_club):
    assert "Dan Voss" not in board_rows(shown(small_club, BOARD))


def test_success_by_another_cut_is_shown_on_choice(small_club):
    """By hand: Ada met backspin 28 + 30 + 32 good of 120 and topspin 20 of 40; from the back 80 of 120."""
    app = opened(small_club, ONE_PLAYER, "ADA")

    app.button_group[0].set_value("Depth").run()

    alt = app.get("vega_lite_chart")[0].proto.alt
    assert alt.startswith("Success by depth: back 67 in 100 (80 of 120 balls; range 58 to 74).")
