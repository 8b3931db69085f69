"""The drawings: every ball has its own field, what is drawn is what is said, and nobody's name becomes markup."""

import random
import re
from datetime import date, timedelta
from itertools import combinations, product
from xml.etree import ElementTree

import pytest

from dashboard.drawings import icons, sparks
from dashboard.drawings.arranged import arranged
from dashboard.drawings.ball_drawing import ball_drawing, signs_of, two_lines, way_of
from dashboard.drawings.ball_map import ball_map, small_map
from dashboard.drawings.ball_map_frame import Frame, Look
from dashboard.drawings.balls import PLAYER_WORDS, RANKS, STATES, Ball, Met, counted, met_of
from dashboard.drawings.cells import cell, legend, state_sign
from dashboard.drawings.opened_places import TOUCH_A_PLACE, opened_places
from dashboard.drawings.signs import sign
from dashboard.drawings.skins import PAPER
from dashboard.drawings.trend import TrendPoint, trend
from dashboard.rows.coach import CoverageRow
from models.needs import REASONS
from models.typical import FOREHAND_CM
from models.words import COVERAGE_DIMENSIONS

WORDS = {words.name: words.names for words in COVERAGE_DIMENSIONS}
PLACES = {"depth": WORDS["depth"], "side": WORDS["side"]}
USUAL = {**PLACES, "spin_family": WORDS["spin_family"], "tempo_band": ("slow", "fast")}
GRIDS = {
    "1": {"spin": ("topspin",)},
    "4, no places": {"spin_family": ("backspin", "topspin"), "tempo_band": ("slow", "fast")},
    "9 places, nothing inside": PLACES,
    "54": USUAL,
    "378": {**PLACES, "spin": WORDS["spin"], "length": WORDS["length"], "tempo_band": ("slow", "fast")},
    "315 in one place": {
        **{name: WORDS[name] for name in ("spin", "length", "tempo_band", "placement")},
    },
    "all dimensions": {name: words[:2] for name, words in WORDS.items() if name != "spin_family"},
}


def grid(words: dict[str, tuple[str, ...]], seed: int = 1) -> list[Met]:
    """Every combination of these words, each in some state."""
    draw = random.Random(seed)
    balls = [Ball(**dict(zip(words, values, strict=True))) for values in product(*words.values())]
    return [Met(ball, draw.choice(STATES), draw.random(), draw.randrange(60)) for ball in balls]


def parsed(markup: str) -> ElementTree.Element:
    return ElementTree.fromstring(markup)  # noqa: S314 - our own


@pytest.mark.parametrize("name", GRIDS)
@pytest.mark.parametrize("width", [358, 560])
def test_every_ball_has_a_field_of_its_own_within_the_picture(name: str, width: int):
    cells = grid(GRIDS[name])
    frame = Frame(arranged(cells, "right"), width)
    boxes = [frame.box(one.ball) for one in cells]

    assert all(wide > 4 and tall > 4 for _, _, wide, tall in boxes)
    assert all(x >= 0 and y >= 0 and x + wide <= width and y + tall <= frame.net for x, y, wide, tall in boxes)
    assert not [
        1
        for (x, y, wide, tall), (u, v, other_wide, other_tall) in combinations(boxes, 2)
        if x < u + other_wide and u < x + wide and y < v + other_tall and v < y + tall
    ]


@pytest.mark.parametrize("name", GRIDS)
def test_a_map_is_well_formed_and_tells_its_states(name: str):
    cells = grid(GRIDS[name])
    in_words = parsed(ball_map(cells, 358)).get("aria-label") or ""

    assert counted(cells) in in_words
    numbers = [int(number) for number in re.findall(r"(\d+) (?:covered|too few|not lately|never met)", in_words)]
    shown_first = int(re.search(r": (\d+) of", in_words).group(1))  # type: ignore[union-attr]
    assert shown_first + sum(numbers[1:] if f"of {len(cells)} covered" in in_words else numbers) == len(cells)
    assert parsed(small_map(cells, 126, 72, name="Anna")).get("aria-label") == f"Anna: {counted(cells)}"


def test_the_backhand_side_is_left_for_a_right_hander_and_right_for_a_left_hander():
    cells = grid(USUAL)
    backhand = next(one.ball for one in cells if one.ball.side == "backhand" and one.ball.depth == "near")
    for hand, is_left in (("right", True), ("left", False)):
        frame = Frame(arranged(cells, hand), 358)  # type: ignore[arg-type]
        assert (frame.box(backhand)[0] < 179) is is_left
        lands = way_of(Ball(side="backhand", placement="backhand"), hand)  # type: ignore[arg-type]
        assert (lands.feeder.y_cm < 0) is is_left
        assert lands.landing.y_cm == (1 if is_left else -1) * FOREHAND_CM["backhand"]


def test_the_far_places_are_above_and_the_words_keep_their_order():
    frame = Frame(arranged(grid(USUAL), "right"), 358)
    usual = {"side": "centre", "spin_family": "topspin", "tempo_band": "slow"}
    back, near = (frame.box(Ball(depth=depth, **usual)) for depth in ("back", "near"))
    backspin, topspin = (
        frame.box(Ball(depth="back", side="centre", spin_family=spin, tempo_band="slow"))
        for spin in ("backspin", "topspin")
    )

    assert back[1] < near[1]
    assert backspin[0] < topspin[0]


def test_a_map_is_one_stop_of_the_tab_key_and_each_field_says_what_it_is():
    cells = grid(USUAL)
    fields = [part for part in parsed(ball_map(cells, 358)).iter() if part.get("tabindex")]

    assert [field.get("tabindex") for field in fields] == ["0"] + ["-1"] * 53
    assert fields[0].get("aria-label") == f"{cells[0].ball.in_words()}: {Look().words[cells[0].state]}"
    mine = parsed(ball_map(cells, 358, Look(words=PLAYER_WORDS)))
    assert {"met", "not yet"} <= {(part.get("aria-label") or "").rpartition(": ")[2] for part in mine.iter()}


def test_of_a_fine_grid_the_places_are_touched_and_say_how_many_are_met():
    cells = grid(GRIDS["378"])
    drawn = parsed(ball_map(cells, 358))
    places = {part.get("data-place"): part.get("aria-label") for part in drawn.iter() if part.get("tabindex")}

    assert len(places) == 9
    own = [one for one in cells if (one.ball.depth, one.ball.side) == ("near", "backhand")]
    assert places["near backhand"] == f"from near the net, backhand side: {counted(own)}"


def test_each_place_of_a_fine_grid_opens_as_a_map_with_counts_and_a_usual_grid_needs_none():
    cells = grid(GRIDS["378"])
    hint, *places = (parsed(part) for part in opened_places(cells, Look(), 340))

    assert hint.text == TOUCH_A_PLACE
    touched = parsed(ball_map(cells, 340)).iter()
    assert [place.get("data-opened") for place in places] == [
        part.get("data-place") for part in touched if part.get("data-place")
    ]
    near = next(place for place in places if place.get("data-opened") == "near backhand")
    assert near.get("class") == "hl-shut"
    assert len([part for part in near.iter() if "hl-cell" in (part.get("class") or "")]) == 42
    assert opened_places(grid(USUAL), Look(), 340) == []


def test_what_comes_next_is_marked_and_told_in_order():
    cells = grid(USUAL)
    first, second = cells[3].ball, cells[40].ball
    drawn = parsed(ball_map(cells, 358, Look(next_balls=(first, second))))
    marks = [part.text for part in drawn.iter("{http://www.w3.org/2000/svg}text") if part.text in ("1", "2", "3")]

    assert marks == ["1", "2"]
    assert (drawn.get("aria-label") or "").endswith(f"Next: 1, {first.in_words()}; 2, {second.in_words()}.")


def test_what_comes_next_by_a_target_that_begins_later_is_told_and_has_no_mark():
    cells = grid(USUAL)
    of_later, of_now = cells[3].ball.without("tempo_band"), cells[40].ball
    drawn = parsed(ball_map(cells, 358, Look(next_balls=(of_later, of_now))))
    marks = [part.text for part in drawn.iter("{http://www.w3.org/2000/svg}text") if part.text in ("1", "2", "3")]

    assert marks == ["2"]
    assert (drawn.get("aria-label") or "").endswith(f"Next: 1, {of_later.in_words()}; 2, {of_now.in_words()}.")


@pytest.mark.parametrize("share", [0.0, 0.3, 1.0])
def test_too_few_is_filled_from_below_by_its_share_but_never_empty_or_full(share: float):
    drawn = parsed(f"<g>{cell((10, 20, 40, 30), 'touched', share)}</g>")
    top = float((drawn.find("path").get("d") or "").split("h")[0].split(" ")[1])  # type: ignore[union-attr]

    assert top == pytest.approx(20 + 30 * (1 - min(0.88, max(0.22, share))), abs=0.01)


def test_states_and_signs_differ_from_each_other():
    words = [(words.name, word) for words in COVERAGE_DIMENSIONS for word in words.names]
    drawn = {key: sign(*key) for key in words if key != ("spin_family", "no_spin")}
    alike = [pair for pair in combinations(drawn, 2) if drawn[pair[0]] == drawn[pair[1]]]

    # The feeder in the middle of its half, and on the centre line, is the same place.
    assert alike == [(("depth", "middle"), ("side", "centre"))]
    assert len({state_sign(state, skin=PAPER) for state in STATES}) == 4
    assert sign("placement", "forehand", "left") == sign("placement", "backhand", "right")


def test_paper_needs_no_stylesheet():
    cells = grid(USUAL)
    look = Look(skin=PAPER, is_still=True, next_balls=(cells[0].ball,))
    for drawn in (ball_map(cells, 358, look), ball_drawing(cells[0].ball, skin=PAPER), trend([], skin=PAPER)):
        assert "var(" not in drawn
        assert "tabindex" not in drawn
        assert 'font-family="Sofia Sans"' in drawn


def test_every_ball_of_the_words_can_be_drawn():
    draw = random.Random(5)
    for _ in range(200):
        named = {name: draw.choice((None, *words)) for name, words in WORDS.items()}
        drawn = parsed(ball_drawing(Ball(**named), hand=draw.choice(("right", "left"))))
        assert "nan" not in ElementTree.tostring(drawn, "unicode")


def test_a_ball_is_said_in_two_lines():
    place = {"depth": "near", "side": "forehand", "placement": "wide_backhand", "height": "low"}
    ball = Ball(**place, spin_family="topspin", sidespin="left", length="half_long", tempo_band="fast")

    assert two_lines(ball) == (
        "Topspin, curving left, half-long, fast",
        "from near the net, forehand side, to the wide backhand, low over the net",
    )
    assert two_lines(Ball()) == ("Any ball", "")
    assert len(parsed(signs_of(ball))) == 6


def test_a_row_of_the_report_becomes_a_field():
    words = dict.fromkeys(RANKS) | {"spin": "topspin"}
    row = CoverageRow("ANNA", "topspin", words, 4, 3, date(2026, 11, 20), 0.1, 6, "touched")

    assert met_of(row) == Met(Ball(spin="topspin"), "touched", 0.4, 4)


def test_a_trend_stays_in_its_frame_and_tells_its_ends():
    days = [date(2026, 5, 4) + timedelta(weeks=i) for i in range(26)]
    points = [TrendPoint(day, 0.6, 0.5, 0.7) for day in days]
    drawn = parsed(trend(points, [(days[0], 0.0), (days[-1], 1.0)]))
    band = next(part.get("d") for part in drawn.iter() if (part.get("d") or "").endswith("Z"))

    assert drawn.get("aria-label") == (
        "Success from 4 May 2026 to 26 October 2026: 60 in 100 (range 50 to 70) at first, 60 in 100 (range 50 to 70) "
        "at last; 2 sessions as dots."
    )
    places = [float(number) for number in re.findall(r"[\d.]+", band or "")]
    assert max(places[0::2]) <= 520
    assert max(places[1::2]) <= 190
    assert parsed(trend([])).get("aria-label") == "Success over time: too few balls to tell."
    assert parsed(trend(points[:1])).get("aria-label")


def test_small_pictures_hold_what_can_be_empty():
    drawn = [
        sparks.steps(0, 0, "none"),
        sparks.steps(1, 400, "one of many"),
        sparks.bars([], "no weeks"),
        sparks.bars([0, 0], "nothing"),
        sparks.parts([0, 0], "no mistake"),
        sparks.small_trend([], "too few"),
        sparks.range_bar(-2, 0, 2, "wide", ends=(-1, 1)),
    ]

    assert all(parsed(one).get("aria-label") for one in drawn)
    assert drawn[1].count("var(--hl-met)") == 1


def test_names_are_escaped_and_icons_are_drawn():
    name = '<script>alert("1")</script>'

    assert "<script" not in small_map(grid(USUAL), 126, 72, name=name)
    assert all(parsed(f"<g>{icons.icon(word)}</g>") is not None for word in icons.ICONS)
    assert all(parsed(f"<g>{icons.reason(word)}</g>") is not None for word in icons.REASONS)
    assert set(icons.REASONS) == set(REASONS)
    assert len(parsed(legend())) == 4
