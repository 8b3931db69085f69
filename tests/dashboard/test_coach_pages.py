"""The coach's pages: what they say of the demo club's planted players, and what they say when there is nothing."""

from datetime import date
from pathlib import Path
from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Page, expect

from dashboard import questions
from dashboard.questions import owners_desk
from demo_data import stories
from ingest.loading import load
from sql.folder import DataFolder
from tests.conftest import OpenBrowser
from tests.dashboard.conftest import DEMO_DAY, SMALL_CLUB, incoming
from tests.dashboard.shown import board_rows, html_of, opened, rows, shown, words
from tests.signing_in import cookie_of

BOARD = "views/board.py"
ONE_PLAYER = "views/one_player.py"
THE_DAY_AFTER = date(2025, 3, 12)

HEADS = ["back", "middle", "near", "forehand", "centre", "backhand", "backspin", "no spin", "topspin", "slow", "fast"]


def conditions(demo_club: DataFolder, name: str) -> dict[str, str]:
    """What the board says of a player under each condition."""
    return dict(zip(HEADS, board_rows(shown(demo_club, BOARD))[name][2:], strict=True))


# The board


def test_the_board_has_a_column_for_each_wanted_value_grouped_by_dimension(demo_club):
    first, second = rows(html_of(shown(demo_club, BOARD))[0])[:2]

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
    [
        ("Name", "Aiko Brandsel"),
        ("Fewest balls", "Ines Corvall"),
        ("Lowest success on the wanted mix", "Finn Osterwale"),
        ("Longest without a log", "Łucja Wendrel"),
    ],
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


def test_players_are_compared_by_success_on_the_wanted_mix_with_range_count_and_share(demo_on_screen):
    desk = owners_desk(demo_on_screen)
    (mix,) = questions.standard_success(desk, questions.weeks(desk)[0], stories.RISER.player)
    app = opened(demo_on_screen, BOARD)

    app.button_group[0].set_value("Success on the wanted mix").run()

    assert board_rows(app)["Tilde Ansgrim"] == [
        f"{mix.rate:.0%} in 100 {mix.low:.0%} to {mix.high:.0%}".replace("%", ""),
        "",
        f"{mix.balls:,}",
        f"{mix.target_share_seen:.0%}".replace("%", " in 100"),
    ]
    assert board_rows(app)["Zoë Haldvik"] == ["Not judged: not enough balls yet: 14 of the 20 it takes"]
    assert "Where two ranges overlap, the players may be alike." in words(app)


def test_groups_with_different_targets_are_not_put_into_one_grid(demo_on_screen):
    app = opened(demo_on_screen, BOARD)

    app.button_group[0].set_value("Every combination").run()

    assert "These players have different targets. Pick one group to see its grid." in words(app)


def test_an_earlier_week_shows_the_board_as_it_was_then(demo_on_screen):
    app = opened(demo_on_screen, BOARD)

    app.selectbox[0].select("12 October").run()

    assert "Petra Lohmarr" not in words(app).split("Not judged")[1].split("\n")[0]


def test_a_name_leads_to_the_player_by_code_alone(demo_club):
    html = html_of(shown(demo_club, BOARD))[0]
    link = urlparse(html.split('href="')[1].split('"')[0])

    assert link.path == "one_player"
    assert parse_qs(link.query) == {"player": [stories.BACK_CENTRE_ONLY.player]}


def test_the_numbers_of_the_board_are_defined_one_click_away_with_their_settings(demo_club):
    said = words(shown(demo_club, BOARD))

    meaning = questions.meaning(owners_desk(demo_club), "report.variety")["cells_covered"]
    assert f"**combinations covered**: {meaning}" in said
    assert "Setting **covered balls** = 10: balls in the window that make a combination covered" in said


def test_a_name_that_looks_like_markup_is_shown_as_it_is_written(tmp_path: Path):
    folder = DataFolder(tmp_path / "club")
    club = SMALL_CLUB | {"players.csv": SMALL_CLUB["players.csv"].replace("Ben Orr", "<img src=x> *Ben*")}
    load(folder, incoming(club), "test", today=THE_DAY_AFTER)

    app = opened(folder, BOARD)

    assert "<img" not in html_of(app)[0]
    assert "&lt;img src=x&gt; *Ben*" in html_of(app)[0]
    assert r"\<img src\=x\> \*Ben\*" in words(app)


# One player


def test_the_page_asks_for_a_player_where_the_address_names_none(demo_club):
    assert "Pick a player, or come from a name on the coverage board." in words(shown(demo_club, ONE_PLAYER))


def test_a_code_that_nobody_has_is_told_and_is_no_link(demo_club):
    assert r"the code 'http\:\/\/no\.example'. Pick one" in words(shown(demo_club, ONE_PLAYER, "http://no.example"))


def test_picking_a_player_puts_only_the_code_into_the_address(demo_on_screen):
    app = opened(demo_on_screen, ONE_PLAYER)

    app.selectbox[1].select("Ilse Karrow · Competition").run()

    assert app.header[0].value == "Ilse Karrow"
    assert app.query_params["player"] in ("ILKA", ["ILKA"])


@pytest.mark.parametrize("story", stories.STORIES, ids=lambda story: story.player)
def test_the_page_of_every_planted_player_opens_with_its_name_and_without_an_exception(demo_club, story):
    app = shown(demo_club, ONE_PLAYER, story.player)

    assert not app.exception
    players = questions.players(owners_desk(demo_club))
    assert [app.header[0].value] == [one.name for one in players if one.player_id == story.player]


def test_even_margins_that_hide_an_empty_grid_are_unmasked_in_words_and_pairs(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.SPIN_TIED_TO_DEPTH.player))

    assert "18 of 54 combinations covered" in said
    assert "17.6 of 54 as if so many trained equally" in said
    assert "would make 53.7 combinations; they came together as 17.6, because some values are tied to others." in said
    assert "**Depth with spin: 3 of 9 pairs.** Missing: from the back with backspin; from the back with no spin" in said
    assert "Depth with side" not in said


def test_the_all_rounder_is_to_be_fed_the_fast_balls_from_near_the_net_on_the_backhand_side(demo_club):
    app = shown(demo_club, ONE_PLAYER, stories.ALL_ROUNDER.player)
    said = words(app)

    grid = next(rows(html.value) for html in app.html if 'aria-label="Coverage grid"' in html.value)

    for spin in ("backspin", "topspin"):
        assert f"1. From near the net, backhand side, {spin}, fast tempo — never met" in said
    assert [line[-5] for line in grid[-3:]] == ["0 never"] * 3
    assert str(grid).count("0 never") == 3


def test_the_riser_rises_with_counts_and_range_and_then_and_now_like_for_like(demo_club):
    trend = questions.trend(owners_desk(demo_club), stories.RISER.player)
    said = words(shown(demo_club, ONE_PLAYER, stories.RISER.player))

    assert trend is not None
    assert trend.changed is not None
    assert 0.25 < trend.changed.low < 0.3 < trend.changed.value < 0.4 < trend.changed.high < 0.45, "planted: 45 to 75"
    assert "rising success over the weeks" in said
    assert f"**Rising**: about {trend.changed.value:.0%}".replace("%", " more in 100 land at the end") in said
    assert f"25 May to 18 November, {trend.sessions} sessions, {trend.balls:,} balls)." in said
    assert "of the wanted mix: 50 in 100 in the 28 days to 21 June (766 balls), 74 in 100 now (928 balls)." in said


def test_the_noisy_one_has_no_clear_trend_for_all_the_swings(demo_club):
    """A line through balls taken one by one would have called it: sessions differ by far more than chance."""
    said = words(shown(demo_club, ONE_PLAYER, stories.NOISY.player))

    assert "**Not clear**: on balls equally hard it may have risen, fallen or stayed" in said
    assert "Single sessions: the lowest 8 in 100" in said
    assert "the highest 94 in 100" in said


def test_who_falls_when_the_ball_changes_is_shown_with_range_counts_and_the_share_it_speaks_for(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.FALLS_AT_CHANGES.player))

    assert (
        "**Success falls when the ball changes**: about 25 fewer in 100 land on the first ball after a change" in said
    )
    assert "1,682 balls after a change and 1,132 like the one before). It speaks for 58 in 100" in said


@pytest.mark.parametrize(
    "story", [one for one in stories.STORIES if one is not stories.FALLS_AT_CHANGES], ids=lambda story: story.player
)
def test_nobody_else_is_said_to_fall_when_the_ball_changes(demo_club, story):
    assert "**Success falls when the ball changes**" not in words(shown(demo_club, ONE_PLAYER, story.player))


@pytest.mark.parametrize(
    "story", [one for one in stories.STORIES if one is not stories.RISER], ids=lambda story: story.player
)
def test_nobody_else_of_the_stories_is_said_to_rise_or_fall(demo_club, story):
    said = words(shown(demo_club, ONE_PLAYER, story.player))

    assert "**Rising**" not in said
    assert "**Falling**" not in said


def test_success_is_printed_with_what_its_balls_are_worth_and_how_alike_they_are(demo_club):
    desk, player = owners_desk(demo_club), stories.BACK_CENTRE_ONLY.player
    likeness = questions.block_likeness(desk)
    overall = questions.success(desk, questions.weeks(desk)[0], player, "all")[0]
    said = words(shown(demo_club, ONE_PLAYER, player))

    assert not likeness.is_assumed
    assert overall.effective_balls < 965 / 2
    assert "65 in 100 (628 of 965 balls; range 59 to 71)." in said
    assert f"965 balls tell as much as {overall.effective_balls:,.0f} single ones." in said
    assert f"alike by {likeness.likeness:.2f}" in said
    assert f"as seen in {likeness.comparisons} comparisons between blocks." in said
    assert "the form of the day, which all blocks of a session share" in said


def test_what_is_judged_up_to_the_last_day_says_so_whatever_week_the_page_shows(demo_on_screen):
    app = opened(demo_on_screen, ONE_PLAYER, stories.RISER.player)

    app.selectbox[0].select("29 June").run()

    said = words(app)
    assert "As of 20 November, the last day in the log, whatever week the page shows." in said
    assert " to 18 November, " in said


def test_guidance_on_hours_is_shown_for_the_young_only(demo_club):
    young = words(shown(demo_club, ONE_PLAYER, "LOPI"))
    of_age = words(shown(demo_club, ONE_PLAYER, stories.BACK_CENTRE_ONLY.player))

    assert "Guidance for the young, not a limit: no more than 10 hours of organised sport a week" in young
    assert "Guidance for the young, not a limit" not in of_age


def test_balls_never_met_are_fed_before_those_that_are_met_but_weak(demo_club):
    """A weak one is wanted three times as much, and still the never met do not wait for it."""
    app = shown(demo_club, ONE_PLAYER, stories.FALLS_AT_CHANGES.player)
    gaps = questions.feed_next(owners_desk(demo_club), stories.FALLS_AT_CHANGES.player, DEMO_DAY, 400)
    whys = [gap.why for gap in gaps]

    assert "fast tempo — never met" in words(app)
    assert whys == sorted(whys, key=["never_met", "not_lately", "weak", "too_few"].index)
    assert "weak" in whys


def test_the_order_of_balls_is_reported_with_fair_evidence_and_never_scored(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.FALLS_AT_CHANGES.player))

    assert "serial: changing in a way one can guess" in said
    assert "Of the last 8 sessions logged ball by ball: 8 serial." in said
    assert "Reported, never scored. In the laboratory, mixed practice clearly helped" in said


def test_the_left_hander_meets_most_balls_from_the_forehand_side_which_is_drawn_on_the_left(demo_club):
    """Common practice, no source: a left-hander's forehand side is the left one as the player looks at the table."""
    app = shown(demo_club, ONE_PLAYER, stories.LEFT_HANDED.player)
    desk = owners_desk(demo_club)
    sides = questions.success(desk, questions.weeks(desk)[0], stories.LEFT_HANDED.player, "side")
    grid = next(rows(html.value) for html in app.html if 'aria-label="Coverage grid"' in html.value)

    assert "left-handed · Club" in words(app)
    assert max(sides, key=lambda row: row.balls).value == "forehand"
    assert grid[0] == ["Depth", "Spin", "forehand", "centre", "backhand"]


def test_the_right_hander_has_the_forehand_side_on_the_right(demo_club):
    app = shown(demo_club, ONE_PLAYER, stories.BACK_CENTRE_ONLY.player)
    grid = next(rows(html.value) for html in app.html if 'aria-label="Coverage grid"' in html.value)

    assert grid[0] == ["Depth", "Spin", "backhand", "centre", "forehand"]
    assert grid[2] == ["back", "backspin", "0 never", "0 never", "✓ 135", "✓ 95", "0 never", "0 never"]


def test_the_absent_one_has_stale_balls_and_weeks_without_a_log_which_are_not_called_rest(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.ABSENT.player))

    assert "No log since 14 October." in said
    assert "stale" in said
    assert "No log in this week: that is missing, not rest." in said


def test_the_newcomer_gets_counts_and_no_rate(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.NEWCOMER.player))

    assert "Not enough balls yet: 14 of the 20 it takes." in said
    assert "7 of 14 balls: not enough balls yet for a rate (it takes 20)." in said
    assert "There are not yet two sessions with enough balls to compare." in said
    assert "**Not enough balls yet** to judge a trend: 1 session, 14 balls. It takes 120 balls in 6 sessions." in said
    assert "Coverage only: too few balls to tell how they were spread. 14 balls fell into the grid" in said
    assert "On the wanted mix: not enough balls yet." in said


def test_mistakes_stand_with_the_balls_whose_mistakes_were_noted(demo_club):
    app = shown(demo_club, ONE_PLAYER, stories.BACK_CENTRE_ONLY.player)
    table = next(rows(html.value) for html in app.html if 'aria-label="Mistakes by spin"' in html.value)

    assert table[0] == ["Spin", "net", "long", "wide", "missed", "Balls noted"]
    assert [cell.removeprefix("▲ ").split(" range ")[0] for cell in table[1]] == [
        *("heavy backspin", "10 40 in 100", "3 12 in 100", "1 4 in 100", "1 4 in 100", "25"),
    ]
    assert all(" range " in cell for cell in table[1][1:-1])


def test_a_mistake_that_stands_out_is_told_before_the_table(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.SPIN_TIED_TO_DEPTH.player))

    assert "- **Net** on **backspin**: 23 in 100 (103 of 450 balls; range " in said
    assert "- **Long** on **topspin**: 15 in 100 (59 of 400 balls; range " in said


def test_where_no_mistake_stands_out_the_page_says_so(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.NEWCOMER.player))

    assert "No mistake is clearly more frequent on one spin than on the others." in said


def test_mistakes_on_few_balls_are_counts_and_no_rates(demo_club):
    app = shown(demo_club, ONE_PLAYER, stories.NEWCOMER.player)
    table = next(rows(html.value) for html in app.html if 'aria-label="Mistakes by spin"' in html.value)

    assert table[1:] == [["no spin", "2", "0", "0", "1", "6"], ["light topspin", "1", "1", "1", "1", "8"]]


def test_every_chart_can_be_heard(demo_club):
    charts = shown(demo_club, ONE_PLAYER, stories.RISER.player).get("vega_lite_chart")

    assert len(charts) == 5
    assert all(len(chart.proto.alt) > 20 for chart in charts)


def test_no_page_of_the_coach_predicts_an_injury_or_shows_a_p_value(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.FALLS_AT_CHANGES.player)).lower()

    assert "injur" not in said
    assert "p-value" not in said
    assert "p value" not in said
    assert "p =" not in said


# Test sets


PROBE = """\
session_date,session,player,coach,block,setup,spin,length,balls,good,probe
2025-03-05,t1,ADA,M. Roe,1,BC,backspin,long,60,30,spring
2025-03-05,t1,ADA,M. Roe,2,MR,topspin,long,60,30,spring
2025-03-12,t2,ADA,M. Roe,1,BC,backspin,long,60,54,spring
2025-03-12,t2,ADA,M. Roe,2,MR,topspin,long,60,54,spring
"""
"""The same 120 balls twice, a week apart: 60 good of them, then 108."""


def test_a_test_set_fed_again_is_shown_beside_its_first_sitting(small_club):
    load(small_club, incoming({"spring.csv": PROBE}), "test", today=date(2025, 3, 13))

    app = opened(small_club, ONE_PLAYER, "ADA")
    table = next(rows(html.value) for html in app.html if 'aria-label="Sittings of the test set"' in html.value)

    assert "**spring** — **Better**, 7 days after the first: 40 more in 100 (range " in words(app)
    assert "The smallest change that these balls could tell from chance is " in words(app)
    assert table[1][:3] == ["5 March", "0", "60 of 120 50 in 100"]
    assert table[2][:3] == ["12 March", "7", "108 of 120 90 in 100"]
    assert (table[1][-1], table[2][-1]) == ("first sitting", "better")


def test_the_test_set_of_the_riser_is_better_some_months_later_and_not_clear_on_the_day(demo_club):
    app = shown(demo_club, ONE_PLAYER, stories.RISER.player)
    table = next(rows(html.value) for html in app.html if 'aria-label="Sittings of the test set"' in html.value)

    assert "**two corners** — **Better**, 140 days after the first: 29 more in 100 (range " in words(app)
    assert [line[-1] for line in table[1:]] == ["first sitting", "not clear", "better"]


def test_a_player_without_a_test_set_is_told_what_one_is(demo_club):
    said = words(shown(demo_club, ONE_PLAYER, stories.NEWCOMER.player))

    assert "No test set was fed yet. A test set is the same kinds of ball from the same setups" in said


# In a browser


@pytest.fixture
def phone(open_browser: OpenBrowser, small_club_served: tuple[DataFolder, str]) -> Page:
    """The board on a phone's screen, drawn to the end."""
    folder, url = small_club_served
    context = open_browser(viewport={"width": 390, "height": 844})
    context.add_cookies([cookie_of(folder, url)])
    page = context.new_page()
    page.goto(f"{url}/board")
    page.get_by_role("link", name="Ada Lind").wait_for()
    return page


@pytest.mark.browser
@pytest.mark.proof
def test_on_a_phone_the_board_scrolls_inside_its_frame_and_a_name_leads_to_the_player(phone: Page):
    wider = "element => element.scrollWidth > element.clientWidth"

    assert not phone.locator("[data-testid=stMain]").evaluate(wider)
    assert phone.locator(".marks-frame").evaluate(wider)

    phone.get_by_role("link", name="Ada Lind").click()

    expect(phone.get_by_role("heading", name="Ada Lind")).to_be_visible()
    assert phone.url.endswith("/one_player?player=ADA")
    expect(phone.get_by_text("What to feed next")).to_be_visible()
    assert not phone.locator("[data-testid=stMain]").evaluate(wider)


@pytest.mark.browser
@pytest.mark.proof
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_name_that_stays_while_the_board_scrolls_hides_what_passes_under_it(phone: Page, theme: str):
    phone.emulate_media(color_scheme=theme)
    phone.reload()
    phone.get_by_role("link", name="Ada Lind").wait_for()
    background = "element => getComputedStyle(element).backgroundColor"

    under_it = phone.locator(".marks-frame").first.evaluate(background)

    assert phone.locator(".marks tbody th").first.evaluate(background) == under_it != "rgba(0, 0, 0, 0)"


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
    assert alt.startswith("Success by depth: back 67 in 100 (80 of 120 balls; range ")


def test_a_club_with_a_short_log_is_told_that_the_likeness_of_its_balls_is_assumed(small_club):
    said = words(shown(small_club, ONE_PLAYER, "ADA"))

    assert "Balls of one block are assumed to be alike by 0.05" in said
    assert "That is a setting" in said
