"""The season of the demo club is plausible, and every planted story can be found in it.

The stories are common practice, no source: they are planted here and looked for here. The limits of depth, side and
tempo are written out, since they are the settings a club begins with.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable
from datetime import date
from functools import cache
from itertools import groupby, pairwise
from math import log
from statistics import correlation, pstdev

import pytest

from demo_data import stories
from demo_data.club import SETUPS
from demo_data.lines import clean_lines
from demo_data.people import PLAYERS
from models.records import BallLine, SessionLine

Line = SessionLine | BallLine
Cell = tuple[str, str, str, str]

HANDS = {player.player: player.handedness for player in PLAYERS}
LAST_FOUR_WEEKS = date(2026, 10, 26)
FIRST_FOUR_WEEKS = date(2026, 6, 22)


@cache
def season() -> list[Line]:
    """Every line of the season, as it was played."""
    return clean_lines()


def identity(line: Line) -> tuple[object, ...]:
    return tuple(getattr(line, column) for column in line.identity)


def balls(line: Line) -> int:
    return 1 if isinstance(line, BallLine) else line.balls


def good(line: Line) -> int:
    return int(line.outcome == "good") if isinstance(line, BallLine) else line.good


def success(lines: Iterable[Line]) -> float:
    fed, landed = map(sum, zip(*((balls(line), good(line)) for line in lines), strict=True))
    return landed / fed


def lines_of(story: stories.Story, since: date = date.min) -> list[Line]:
    return [line for line in season() if line.player == story.player and line.session_date >= since]


def cell(line: Line) -> Cell:
    standing = [s for s in SETUPS if s.setup == line.setup and (s.valid_from or date.min) <= line.session_date]
    setup = max(standing, key=lambda s: s.valid_from or date.min)
    depth = "back" if setup.x_cm < 30 else "near" if setup.x_cm >= 91 else "middle"
    is_forehand = (setup.y_cm > 0) == (HANDS[line.player] == "right")
    side = "centre" if abs(setup.y_cm) <= 25 else "forehand" if is_forehand else "backhand"
    spin = next(family for family in ("backspin", "no_spin", "topspin") if line.spin.endswith(family))
    tempo = line.tempo_bpm
    band = "none" if tempo is None else "slow" if tempo < 40 else "fast" if tempo >= 60 else "medium"
    return depth, side, spin, band


def balls_by_cell(lines: Iterable[Line]) -> Counter[Cell]:
    counts: Counter[Cell] = Counter()
    for line in lines:
        counts[cell(line)] += balls(line)
    return counts


def entropy(counts: Iterable[int]) -> float:
    filled = [count for count in counts if count]
    return -sum(n / sum(filled) * log(n / sum(filled)) for n in filled)


def success_by_session(lines: Iterable[Line]) -> dict[date, float]:
    by_day: dict[date, list[Line]] = defaultdict(list)
    for line in lines:
        by_day[line.session_date].append(line)
    return {day: success(day_lines) for day, day_lines in by_day.items()}


# --- the season --------------------------------------------------------------------------------------------------


def test_every_clean_line_is_sound_as_text():
    for line in season():
        text = {column: "" if value is None else str(value) for column, value in line.model_dump().items()}
        assert type(line).model_validate(text) == line


def test_no_feed_is_logged_twice_nor_in_both_forms():
    counted = [identity(line) for line in season() if isinstance(line, SessionLine)]
    single = [identity(line) for line in season() if isinstance(line, BallLine)]

    assert len(set(counted)) == len(counted)
    assert len(set(single)) == len(single)
    blocks = {key[:4] for key in counted} & {key[:4] for key in single}
    assert not blocks


def test_no_ball_is_fed_before_the_season_or_after_its_last_sunday():
    assert {line.session_date.isocalendar().week for line in season()} == set(range(22, 48))
    assert max(line.session_date for line in season()) <= date(2026, 11, 22)


def blocks_ball_by_ball() -> list[list[BallLine]]:
    single = [line for line in season() if isinstance(line, BallLine)]
    return [list(block) for _, block in groupby(single, key=lambda line: identity(line)[:4])]


def test_the_balls_of_a_block_come_in_the_order_it_declares():
    for block in blocks_ball_by_ball():
        feeds = [line.feed or 1 for line in block]
        kinds = max(feeds)
        cycle = [n % kinds + 1 for n in range(len(feeds))]

        assert [line.ball for line in block] == list(range(1, len(block) + 1))
        if block[0].order == "blocked":
            assert feeds == sorted(feeds)
        elif block[0].order == "serial":
            assert feeds == cycle
        else:
            assert feeds not in (sorted(feeds), cycle)


def test_random_blocks_change_as_often_as_a_shuffle_does():
    """Expected share of changes among n balls each of k kinds, shuffled: (k - 1) n / (k n - 1), by counting pairs."""
    changes = expected = 0.0
    for block in blocks_ball_by_ball():
        if block[0].order == "random":
            feeds = [line.feed or 1 for line in block]
            each, kinds = feeds.count(1), max(feeds)
            changes += sum(a != b for a, b in pairwise(feeds))
            expected += (len(feeds) - 1) * (kinds - 1) * each / (kinds * each - 1)

    assert changes / expected == pytest.approx(1, abs=0.05)


def test_backspin_balls_go_into_the_net_and_topspin_balls_long():
    """Common practice, no source."""
    misses: Counter[tuple[str, str]] = Counter()
    for line in season():
        if isinstance(line, SessionLine):
            misses[cell(line)[2], "net"] += line.net or 0
            misses[cell(line)[2], "long"] += line.long or 0

    assert misses["backspin", "net"] > 2 * misses["backspin", "long"]
    assert misses["topspin", "long"] > 2 * misses["topspin", "net"]


def test_about_seven_counted_lines_in_ten_say_how_the_balls_were_missed():
    counted = [line for line in season() if isinstance(line, SessionLine)]

    assert sum(line.net is not None for line in counted) / len(counted) == pytest.approx(0.7, abs=0.05)


def test_one_player_in_five_is_left_handed():
    assert Counter(HANDS.values()) == {"right": 19, "left": 5}


# --- the stories -------------------------------------------------------------------------------------------------


def test_one_trains_from_the_back_centre_only():
    lines = lines_of(stories.BACK_CENTRE_ONLY)

    assert {line.setup for line in lines} == {"BC"}
    assert len({cell(line)[2:] for line in lines}) >= 6


def test_one_has_even_shares_of_everything_and_a_third_of_the_grid():
    """Total correlation (Watanabe 1960, from memory): ln 3 where spin follows from depth and all else is free."""
    counts = balls_by_cell(lines_of(stories.SPIN_TIED_TO_DEPTH, LAST_FOUR_WEEKS))
    margins: list[Counter[str]] = [Counter() for _ in range(4)]
    for place, fed in counts.items():
        for margin, value in zip(margins, place, strict=True):
            margin[value] += fed

    assert [len(margin) for margin in margins] == [3, 3, 3, 2]
    assert all(len(set(margin.values())) == 1 for margin in margins)
    assert len(counts) == 54 / 3
    assert sum(entropy(margin.values()) for margin in margins) - entropy(counts.values()) == pytest.approx(log(3))


def test_one_meets_backspin_only():
    assert {cell(line)[2] for line in lines_of(stories.BACKSPIN_ONLY)} == {"backspin"}


def test_one_rises_from_about_45_to_about_75_in_a_hundred():
    lines = lines_of(stories.RISER)
    sessions = success_by_session(lines)

    assert success(ln for ln in lines if ln.session_date < FIRST_FOUR_WEEKS) == pytest.approx(0.45, abs=0.06)
    assert success(ln for ln in lines if ln.session_date >= LAST_FOUR_WEEKS) == pytest.approx(0.75, abs=0.06)
    assert correlation([day.toordinal() for day in sessions], list(sessions.values())) > 0.7


def test_one_swings_widely_without_a_trend():
    spread = {player: pstdev(success_by_session(lines_of(stories.Story(player, ""))).values()) for player in HANDS}
    sessions = success_by_session(lines_of(stories.NOISY))

    assert max(spread, key=lambda player: spread[player]) == stories.NOISY.player
    assert abs(correlation([day.toordinal() for day in sessions], list(sessions.values()))) < 0.15


def test_one_falls_when_the_ball_changes():
    repeated, changed = [], []
    for block in blocks_ball_by_ball():
        if block[0].player == stories.FALLS_AT_CHANGES.player:
            for before, ball in pairwise(block):
                (repeated if before.spin == ball.spin else changed).append(ball)

    assert min(len(repeated), len(changed)) > 500
    assert success(repeated) == pytest.approx(0.80, abs=0.03)
    assert success(changed) == pytest.approx(0.55, abs=0.03)


def test_one_has_been_absent_for_more_than_four_weeks():
    lines = lines_of(stories.ABSENT)

    assert max(line.session_date for line in lines) < LAST_FOUR_WEEKS
    assert len(success_by_session(lines)) > 20


def test_one_is_new_and_has_hit_a_handful_of_balls():
    lines = lines_of(stories.NEWCOMER)

    assert min(line.session_date for line in lines) >= date(2026, 11, 16)
    assert sum(map(balls, lines)) == 14


def test_one_left_handed_player_has_the_forehand_on_the_left():
    counts = balls_by_cell(lines_of(stories.LEFT_HANDED))
    from_the_left = sum(balls(line) for line in lines_of(stories.LEFT_HANDED) if line.setup in ("BL", "ML", "NL"))

    assert HANDS[stories.LEFT_HANDED.player] == "left"
    assert from_the_left > 0.7 * counts.total()
    assert sum(fed for place, fed in counts.items() if place[1] == "forehand") == from_the_left


def test_one_covers_nearly_the_whole_grid():
    counts = balls_by_cell(lines_of(stories.ALL_ROUNDER, LAST_FOUR_WEEKS))
    covered = {place for place, fed in counts.items() if fed >= 10}

    assert len(covered) == 51
    assert not [place for place in covered if (place[0], place[1], place[3]) == ("near", "backhand", "fast")]


def test_one_hits_the_most_balls_at_a_single_tempo():
    fed: Counter[str] = Counter()
    for line in season():
        fed[line.player] += balls(line)

    assert fed.most_common(1)[0][0] == stories.ONE_TEMPO.player
    assert {line.tempo_bpm for line in lines_of(stories.ONE_TEMPO)} == {36}


def test_everybody_else_has_a_plausible_success():
    players = [stories.Story(player, "") for player in HANDS]

    assert all(0.35 < success(lines_of(player)) < 0.85 for player in players)
