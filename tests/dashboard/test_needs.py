"""Who needs the coach: the demo club's planted stories come out first, and every reason is the log's, by hand."""

import re
from datetime import date

import polars as pl
import pytest
from streamlit.testing.v1 import AppTest

from dashboard.rows.coach import NeedRow
from dashboard.words.needs import sentence, short
from demo_data import stories
from models.needs import REASONS
from models.settings import Settings
from sql.folder import DataFolder
from sql.warehouse import ask
from tests.dashboard.shown import opened, plain, shown, words


@pytest.fixture(scope="module")
def needs(demo_club: DataFolder) -> pl.DataFrame:
    return ask(demo_club, "select * from report.needs order by player_id, rank")


def first_of(needs: pl.DataFrame, story: stories.Story) -> dict[str, object]:
    return needs.filter(pl.col("player_id") == story.player).row(0, named=True)


@pytest.mark.parametrize(
    ("story", "reason"),
    [
        (stories.BACK_CENTRE_ONLY, "one_place"),
        (stories.BACKSPIN_ONLY, "one_spin"),
        (stories.ONE_TEMPO, "one_tempo"),
        (stories.FALLS_AT_CHANGES, "falls_on_change"),
        (stories.SPIN_TIED_TO_DEPTH, "spin_tied"),
        (stories.ABSENT, "no_log"),
        (stories.NEWCOMER, "few_balls"),
        (stories.ALL_ROUNDER, "all_well"),
    ],
    ids=lambda value: getattr(value, "player", value),
)
def test_what_was_planted_is_the_reason_that_weighs_most(needs: pl.DataFrame, story: stories.Story, reason: str):
    assert first_of(needs, story)["reason"] == reason


def test_a_tie_is_found_with_the_one_player_in_whom_it_was_planted(needs: pl.DataFrame):
    tied = needs.filter(pl.col("reason") == "spin_tied")

    assert tied["player_id"].to_list() == [stories.SPIN_TIED_TO_DEPTH.player]
    (row,) = tied.to_dicts()
    spin_of = {"back": "topspin", "middle": "no_spin", "near": "backspin"}
    assert (row["share"], row["other_share"], row["side"]) == (1, 0, None)
    assert spin_of[row["depth"]] == row["spin_family"]


def test_every_active_player_has_a_reason_and_ranks_without_gaps(demo_club: DataFolder, needs: pl.DataFrame):
    active = ask(demo_club, "select player_id from core.players where is_active")["player_id"]

    assert set(needs["player_id"]) == set(active)
    assert set(needs["reason"]) <= set(REASONS)
    for _, own in needs.group_by("player_id"):
        assert own["rank"].to_list() == list(range(1, len(own) + 1))
        assert own["weight"].to_list() == sorted(own["weight"], reverse=True)
        assert (own["reason"] == "all_well").any() == (len(own) == 1 and own["weight"][0] == 0)


def test_what_is_not_lately_and_what_is_covered_are_counted_as_the_map_shows_them(
    demo_club: DataFolder, needs: pl.DataFrame
):
    counted = ask(
        demo_club,
        """
        select
            player_id,
            count(case when status = 'stale' then 1 end) as stale,
            sum(case when status = 'stale' then wanted_share else 0 end) as stale_share,
            count(case when status = 'covered' then 1 end) as covered,
            count(*) as cells
        from report.coverage
        where week = (select max(week) from core.weeks)
        group by player_id
        """,
    )
    judged = needs.filter(~pl.col("reason").is_in(["no_log", "few_balls", "no_target"])).join(counted, on="player_id")
    for row in judged.filter(pl.col("reason") == "not_lately").to_dicts():
        assert (row["cells"], row["share"]) == (row["stale"], pytest.approx(row["stale_share"]))
        assert row["share"] >= 0.25
    for row in judged.filter(pl.col("reason") == "few_covered").to_dicts():
        assert (row["cells"], row["share"]) == (row["covered"], pytest.approx(row["covered"] / row["cells_right"]))
        assert row["share"] < 0.5
    others = judged.filter(pl.col("rank") == 1).join(
        judged.filter(pl.col("reason").is_in(["not_lately", "few_covered"])), on="player_id", how="anti"
    )
    assert (others["covered"] >= 0.5 * others["cells_right"]).all()
    assert (others["stale_share"] < 0.25).all()


# The page


PAGE = "views/needs.py"


def cards(app: AppTest) -> list[str]:
    """What the cards say, in their order; each begins with the reason."""
    return [plain(one.value) for one in app.markdown if re.search('class="hl-(large|small)"', one.value)]


def test_all_24_players_are_there_worst_first_and_a_card_leads_to_its_player(demo_club: DataFolder):
    app = shown(demo_club, PAGE)
    links = [link.proto.label for link in app.get("page_link") if "player=" in link.proto.query_string]

    assert not app.exception
    assert len(cards(app)) == len(links) == 24
    first = "One place only All 965 balls came from the back, centre. 6 of 54 covered · 965 balls in 28 days"
    assert cards(app)[0] == first
    assert links[0] == "Walt Embrick"
    assert "All balls without spin came from the middle, and no others." in " ".join(cards(app))


def test_a_filter_counts_whom_it_shows(demo_on_screen: DataFolder):
    app = opened(demo_on_screen, PAGE)
    filters = {str(button.key): button.label for button in app.button if str(button.key).startswith("hl-filter-")}
    assert filters["hl-filter-everyone"] == "Everyone 24"
    assert filters["hl-filter-one_place"] == "One place, spin or tempo 4"

    for key in ("hl-filter-one_place", "hl-filter-all_well"):
        app.button(key=key).click().run()
        assert filters[key].endswith(f" {len(cards(app))}"), key


def test_a_group_is_looked_at_alone(demo_on_screen: DataFolder):
    app = opened(demo_on_screen, PAGE)
    app.selectbox[0].set_value("Minis").run()

    assert len(cards(app)) == 5


def test_a_club_without_anything_is_told_what_to_begin_with(empty_club: DataFolder):
    app = opened(empty_club, PAGE)

    assert not app.exception
    assert "Nothing is loaded yet." in words(app)


def test_the_reasons_are_defined_on_the_page(demo_club: DataFolder):
    told = words(shown(demo_club, PAGE))

    assert "mutual information over entropy" in told
    assert "a shuffle of" in told


def need(reason: str, **values: object) -> NeedRow:
    """A row of report.needs; what is not given is empty."""
    given = dict.fromkeys(NeedRow.__dataclass_fields__) | {
        "player_id": "P",
        "name": "P",
        "handedness": "right",
        "reason": reason,
        "rank": 1,
        "weight": 1.0,
        "balls": 20,
        "window_balls": 30,
    }
    return NeedRow(**(given | values))  # type: ignore[arg-type]


def test_every_reason_has_words_whatever_may_be_empty_is_empty():
    for reason in REASONS:
        row = need(reason)
        assert sentence(row, Settings(), date(2026, 11, 20)).endswith((".", "?"))
        assert short(row, Settings(), date(2026, 11, 20))


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            need("one_place", share=0.97, depth="near", side="backhand"),
            "97 in 100 of 20 wanted balls came from near the net, backhand side.",
        ),
        (need("one_tempo", share=1.0, tempo_band="slow", balls=30), "All 30 balls came at a slow tempo."),
        (
            need("spin_tied", share=0.9, other_share=0.2, spin_family="topspin", depth="back"),
            "Of topspin balls, 90 in 100 came from the back; of all others 20 in 100.",
        ),
        (
            need("falls_on_change", share=0.14, low=0.04, high=0.24),
            "14 fewer in 100 land right after a change (range 4 to 24; 20 balls).",
        ),
        (need("no_log", last_logged_on=date(2026, 10, 14)), "No log since 14 October. Ill, away, or a lost sheet?"),
        (need("few_balls", balls=1), "1 ball in 28 days; it takes 20 to judge."),
    ],
    ids=lambda value: getattr(value, "reason", ""),
)
def test_a_reason_is_said_with_its_figures(row: NeedRow, said: str):
    assert sentence(row, Settings(), date(2026, 11, 20)) == said
