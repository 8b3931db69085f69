"""The Setups page as a coach meets it: where a feeder stands, a move, check balls, calibrating; and bad input."""

import json
import re
from collections.abc import Callable
from datetime import date
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Locator, Page, expect
from streamlit.testing.v1 import AppTest

from dashboard.serving import FOLDER_VARIABLE
from dashboard.words.cautions import MOVING_A_FEEDER, WHO_DECIDES
from ingest.loading import load
from models.feeds import Feeds
from models.flight import simulate
from sql.folder import DataFolder
from sql.warehouse import ask
from tests.conftest import OpenBrowser
from tests.dashboard.conftest import SMALL_CLUB, incoming
from tests.dashboard.shown import opened, rows, shown, words
from tests.signing_in import cookie_of

SETUPS = "views/setups.py"
MOVED, CHECKED, CALIBRATED = "I moved the feeder", "Check balls", "Calibrate"

FEEDERS = """\
feeder,name,speed_dial_lowest,speed_dial_highest
R1,the grey robot,0,10
R2,never noted,0,10
"""
MARKS = np.repeat([6.0, 7.0, 8.0], 4)


def noted_landings() -> str:
    """Where balls of 1 + 0.8 m/s a mark land under the coefficients A, give or take two centimetres."""
    flights = simulate(
        Feeds.of(
            x_cm=-20,
            y_cm=0,
            height_cm=25,
            speed_mps=1 + 0.8 * MARKS,
            elevation_deg=14,
            yaw_deg=0,
            topspin_rps=0,
            sidespin_rps=0,
        )
    )
    scatter_cm = np.random.default_rng(3).uniform(-2, 2, MARKS.size)
    lines = [
        f"R1,2025-03-03,{ball},BC,25,14,{mark:g},{x_cm:.1f},0"
        for ball, (mark, x_cm) in enumerate(zip(MARKS, flights.landing_x_cm + scatter_cm, strict=True), start=1)
    ]
    head = "feeder,noted_on,ball,setup,release_height_cm,elevation_deg,speed_setting,landing_x_cm,landing_y_cm"
    return "\n".join([head, *lines, ""])


CALIBRATED_CLUB = SMALL_CLUB | {
    "setups.csv": """\
setup,name,feeding,feeder,x_cm,y_cm,yaw_deg
BC,back centre,robot,R1,-20,0,-60
MR,middle right,robot,R1,60,50,
NC,near centre,robot,,105,0,
""",
    "2025-w09.csv": """\
session_date,player,setup,spin,length,height,balls,good
2025-02-25,ADA,BC,heavy_topspin,short,low,40,28
2025-02-25,CLEO,BC,backspin,short,low,40,28
""",
}


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """The small club with two feeders, one of them calibrated; tests that save work on a club of their own."""
    return made_club(tmp_path_factory.mktemp("calibrated") / "club")


@pytest.fixture(autouse=True)
def club_on_screen(club: DataFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    """The pages show that club, for tests that click."""
    monkeypatch.setenv(FOLDER_VARIABLE, str(club.path))


def made_club(path: Path) -> DataFolder:
    folder = DataFolder(path)
    files = {"feeders.csv": FEEDERS} | CALIBRATED_CLUB | {"landings.csv": noted_landings()}
    reports = load(folder, incoming(files), "test", today=date(2025, 3, 12))
    assert [report.file_name for report in reports if not report.is_sound] == ["2025-w11.csv"]
    return folder


@cache
def looked_at(folder: DataFolder, name: str) -> AppTest:
    """A section as it opens. For looking at, not for clicking."""
    return section(folder, name)


def section(folder: DataFolder, name: str, who: str | None = None) -> AppTest:
    app = opened(folder, SETUPS)
    app.button_group[0].set_value(name).run()
    if who is not None:
        app.selectbox(key="setups-who").select(who).run()
    return app


def said(app: AppTest) -> str:
    """What the page says, with its lines of Markdown unescaped."""
    assert not app.exception
    return words(app).replace("\\", "")


def faults(app: AppTest) -> list[str]:
    assert not app.exception
    return [error.value.replace("\\", "") for error in app.error]


def moved_by_hand(folder: DataFolder, **numbers: float) -> AppTest:
    """The feeder moved to a place typed in."""
    app = section(folder, MOVED)
    app.selectbox(key="setups-after").set_value(app.selectbox(key="setups-after").options[-1]).run()
    for name, number in numbers.items():
        app.number_input(key=f"setups-after-{name}").set_value(number)
    return app.run()


# Where it stands


def test_the_page_opens_with_how_to_point_the_head_and_where_to_be_ready(club):
    told = said(shown(club, SETUPS))

    assert "**Point the head 8.4° to the player's left, counted from straight along the table" in told
    assert "Deep centre is 265 cm away; for it the head points straight ahead (0°)." in told
    assert "**Be ready on the centre line**, 50 cm behind the end line: on the bisector of the cone" in told
    assert "By the other definition, the middle of what must be reached" in told
    assert "from the back, centre for a right-handed player" in told


def test_a_head_that_the_log_turns_past_the_table_is_marked(club):
    (warning,) = (one.value.replace("\\", "") for one in shown(club, SETUPS).warning)

    assert "As the log has it: Turned to -60 deg, the head of a feeder at x -20 cm, y 0 cm misses" in warning


def test_the_side_is_that_of_the_player_who_was_picked(club):
    app = opened(club, SETUPS)
    app.selectbox(key="setups-stands").select_index(1)
    app.selectbox(key="setups-who").select("Ben Orr · left-handed").run()

    assert "from the middle, backhand side for a left-handed player" in said(app)


def test_the_drawing_can_be_heard_and_its_signs_are_explained(club):
    app = shown(club, SETUPS)
    (board,) = app.get("bidi_component")
    drawing = json.loads(board.proto.json)["drawing"]

    assert (
        'aria-label="The table from above, to scale, the player below. The feeder stands 20 cm behind its end'
        in drawing
    )
    assert "◇ is the middle of the reach" in said(app)
    assert "Drag the feeder or the target; arrow keys move what has the focus" in said(app)


def test_the_words_and_numbers_are_defined_one_click_away_with_their_sources(club):
    told = " ".join(said(shown(club, SETUPS)).split())

    assert "a feeder stands back below 30 cm" in told
    assert "Benguigui et al., Sci. Rep. 14, 2024, 3364" in told
    assert "that it holds for table tennis is an assumption" in told


def test_a_length_in_the_log_that_no_ball_can_have_is_marked_and_kept(club):
    """A low heavy topspin ball cannot bounce twice on the table (common practice, no source)."""
    app = shown(club, SETUPS)
    table = next(rows(html.value) for html in app.html if "Balls that the log has from here" in html.value)

    assert table[0] == ["Ball, as logged", "To the bounce", "To contact", "Length by the physics"]
    assert [(row[0], row[3]) for row in table[1:]] == [("heavy topspin, short, low over the net", "⚠ doubtful: long")]
    assert "The log keeps the word as it was written" in said(app)


# A move


def test_after_a_move_the_coach_reads_turn_speed_net_and_where_the_left_hander_stands(club):
    """From (-20, 0) to (60, 50); the ready position is 32 cm right of a target line's bisector, by hand: see below.

    Bearings from (60, 50) to the corners (274, -76.25) and (274, 76.25): -30.54 and 6.99 degrees; their mean, -11.77,
    over 264 cm is -55.0 cm, so 5 cm to the left of the centre line.
    """
    app = section(club, MOVED, "Any left-handed player")
    answers = next(one.value for one in app.markdown if one.value.startswith("1. "))

    assert "**Turn the head " in answers
    assert "to the player's left (to your right, as you stand behind the feeder).**" in answers
    assert "% slower" in answers
    assert "If you only turn the head, it passes the net by" in answers
    assert "**Your left-handed player now stands 5 cm to the left of the centre line (forehand side)**" in answers


def test_the_turn_is_that_of_the_line_to_a_target_of_ones_own(club):
    """From (-20, 0) straight ahead; from (60, 50) at (172, 0): atan(-50 / 112) = -24.06 degrees."""
    app = section(club, MOVED)
    app.button_group(key="setups-moved-target").set_value("Another place …").run()

    assert "**Turn the head 24° to the player's left (to your right" in said(app)
    assert "It lands 35 cm behind the net and on the centre line." in said(app)


def test_a_calibrated_feeder_is_told_the_change_in_marks_of_its_own_dial(club):
    app = section(club, MOVED)
    app.number_input(key=app.number_input[-1].key).set_value(5.0).run()

    assert "**On its speed dial: down by" in said(app)
    assert "from 5 to" in said(app)


def test_another_ball_gives_other_advice(club):
    app = section(club, MOVED)
    app.button_group(key="setups-ball-length").set_value("long").run()

    assert said(app) != said(looked_at(club, MOVED))
    app.button_group(key="setups-ball-height").set_value("high").run()
    assert "And: without sidespin, to the backhand, high over the net" in [one.label for one in app.expander]


def test_a_word_that_no_ball_can_have_is_marked_on_the_page(club):
    app = section(club, MOVED)
    app.button_group(key="setups-ball-spin").set_value("heavy_topspin").run()

    assert "**Doubtful**" in app.warning[0].value


def test_ranges_ways_and_times_stand_under_the_answers_with_their_meaning(club):
    app = looked_at(club, MOVED)
    ways = next(rows(html.value) for html in app.html if "Ways to play the ball" in html.value)
    told = said(app)

    assert [row[0] for row in ways] == [
        "Way",
        "Turn the head only",
        "Keep the landing",
        "Keep the height over the net",
        "Keep both",
    ]
    assert "To the second bounce" in told
    assert "Stepanek, Am. J. Phys. 56 (1988) 138" in told
    assert "typical spins are from memory" in told


@pytest.mark.parametrize(
    ("numbers", "sentence"),
    [
        ({"y": 400.0}, "The feeder's y is 400 cm; possible is -350 to 350 cm"),
        ({"x": 140.0}, "A feed crosses the net: stand at an x below 137 cm"),
    ],
)
def test_a_feeder_cannot_be_moved_where_none_can_stand(club, numbers, sentence):
    app = moved_by_hand(club, **numbers)

    assert sentence in faults(app)[0]
    assert MOVING_A_FEEDER[0] in said(app)


def test_a_target_off_the_table_gets_a_sentence(club):
    app = opened(club, SETUPS)
    app.button_group(key="setups-stands-target").set_value("Another place …").run()
    app.number_input(key="setups-stands-beside").set_value(90.0).run()

    assert faults(app) == ["The target's y is 90 cm; possible is -76.25 to 76.25 cm. Aim between the side lines."]


# Check balls


def test_check_balls_say_which_way_to_turn_the_head_and_how_far(club):
    """atan(12/265), atan(8/265) and atan(10/265) have the mean 2.16 degrees."""
    app = section(club, CHECKED)
    app.text_area(key="setups-notes").set_value("12 left\n8 left\n10 left").run()

    assert "**Turn the head 2.2° to the player's right (to your left, as you stand behind the feeder)**" in said(app)
    assert "10 cm at deep centre" in said(app)


def test_a_note_that_says_nothing_is_told_by_its_line(club):
    app = section(club, CHECKED)
    app.text_area(key="setups-notes").set_value("12 left\nover there").run()

    assert faults(app)[0].startswith("Line 2: 'over there' does not say where the ball landed.")


def test_a_check_ball_beside_the_table_is_told(club):
    app = section(club, CHECKED)
    app.text_area(key="setups-notes").set_value("120 left").run()

    assert "Note only balls that hit the table." in faults(app)[0]


# Calibrate


def test_what_the_dial_gives_is_told_with_its_range_and_its_balls(club):
    """The balls were made at 0.8 m/s a mark; 1 + 0.8 x 7 = 6.6 m/s at mark 7."""
    app = looked_at(club, CALIBRATED)
    marks = next(rows(html.value) for html in app.html if "What the speed dial gives" in html.value)
    lowest, highest = map(float, marks[2][2].removesuffix(" m/s").split(" to "))

    assert "**One mark of the speed dial is 0.7" in said(app)
    assert "(12 balls at 3 settings, the last on 3 March 2025)" in said(app)
    assert marks[2][0] == "7"
    assert lowest < 6.6 < highest


def test_a_feeder_without_landings_is_not_called_calibrated(club):
    app = section(club, CALIBRATED)
    app.selectbox(key="setups-feeder").select_index(1).run()

    assert "not calibrated" in said(app).lower()


def test_a_club_without_feeders_is_told_what_to_bring_in(small_club):
    told = said(section(small_club, CALIBRATED))

    assert "`halflong template feeders`" in told


def noted(app: AppTest, notes: str, *, elevation_deg: float | None) -> AppTest:
    app.number_input(key="setups-landing-elevation_deg").set_value(elevation_deg)
    app.number_input(key="setups-landing-speed_setting").set_value(9.0)
    app.text_area(key="setups-landings").set_value(notes)
    next(button for button in app.button if button.label == "Save these balls").click()
    return app.run()


def test_noted_balls_go_into_the_log_as_a_form_and_are_numbered_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    folder = made_club(tmp_path / "club")
    monkeypatch.setenv(FOLDER_VARIABLE, str(folder.path))

    app = noted(section(folder, CALIBRATED), "5 left, 40\n0, 38", elevation_deg=14.0)
    app = noted(app, "1 right, 39", elevation_deg=14.0)

    rows = ask(
        folder, "select ball, landing_x_cm, landing_y_cm from core.landings where speed_setting = 9 order by ball"
    )
    assert rows.rows() == [(1, 234, -5), (2, 236, 0), (3, 235, 1)]
    assert "1 ball noted, as batch" in " ".join(one.value for one in app.success)


def test_a_form_with_a_hole_is_refused_with_what_to_do(club):
    app = noted(section(club, CALIBRATED), "5 left, 40", elevation_deg=None)

    assert faults(app)[0].startswith("elevation_deg")
    assert not app.success


def test_a_landing_without_its_depth_is_asked_for_it(club):
    app = noted(section(club, CALIBRATED), "5 left", elevation_deg=14.0)

    assert "does not say how far before the player's end line" in faults(app)[0]


# Always


@pytest.mark.parametrize("name", [None, MOVED, CALIBRATED])
def test_what_to_mind_stands_on_every_section_and_no_injury_is_predicted(club, name):
    told = said(shown(club, SETUPS) if name is None else looked_at(club, name))

    assert all(caution in told for caution in MOVING_A_FEEDER)
    assert WHO_DECIDES in told
    assert "injur" not in told.lower()


def test_an_empty_club_is_told_what_to_begin_with(empty_club):
    app = opened(empty_club, SETUPS)

    assert not app.exception
    assert "Nothing is loaded yet." in said(app)


def test_a_club_without_setups_is_told_to_bring_them_in(tmp_path: Path):
    folder = DataFolder(tmp_path / "club")
    load(folder, incoming({"players.csv": SMALL_CLUB["players.csv"]}), "test", today=date(2025, 3, 12))

    assert "No setups yet." in said(opened(folder, SETUPS))


# In a browser


def place(page: Page, who: str) -> tuple[float, float]:
    """Where something stands on the drawing, in cm: across, down."""
    across, down = re.findall(r"translate\((\S+) (\S+?)\)", str(handle(page, who).get_attribute("transform")))[0]
    return float(across), float(down)


def field(page: Page, name: str) -> Locator:
    """The first field of this name: that of the feeder, where the target has the same."""
    return page.get_by_role("spinbutton", name=name).first


def handle(page: Page, who: str) -> Locator:
    return page.locator(f"[data-who={who}]")


def middle(page: Page, who: str) -> tuple[float, float]:
    """Where it is on the screen, in pixels."""
    box = handle(page, who).locator(".hl-reach").bounding_box()
    assert box
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


Move = Callable[[Page, str, float, float], tuple[float, float]]


def dragged(page: Page, who: str, right_px: float, down_px: float) -> tuple[float, float]:
    """Where it is after it was taken, moved and let go."""
    x, y = middle(page, who)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + right_px, y + down_px, steps=3)
    moved_to = place(page, who)
    page.mouse.up()
    return moved_to


TWO_FRAMES = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"


def dragged_by_finger(page: Page, who: str, right_px: float, down_px: float) -> tuple[float, float]:
    """The same with a finger, as the browser's own events of touch."""
    handle(page, who).scroll_into_view_if_needed()
    x, y = middle(page, who)
    screen = page.context.new_cdp_session(page)
    for kind, share in [("touchStart", 0.0), ("touchMove", 0.3), ("touchMove", 0.6), ("touchMove", 1.0)]:
        finger = {"x": x + share * right_px, "y": y + share * down_px}
        screen.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [finger]})
    page.evaluate(TWO_FRAMES)  # The browser hands on what a finger did with the next frame.
    moved_to = place(page, who)
    screen.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    return moved_to


@pytest.fixture
def page(open_browser: OpenBrowser, served: Callable[[DataFolder], str], club: DataFolder) -> Page:
    """The page on a phone in the dark."""
    url = served(club)
    context = open_browser(viewport={"width": 390, "height": 844}, color_scheme="dark", has_touch=True)
    context.add_cookies([cookie_of(club, url)])
    opened = context.new_page()
    opened.goto(f"{url}/setups")
    expect(handle(opened, "feeder")).to_be_visible()
    return opened


@pytest.mark.browser
@pytest.mark.proof
@pytest.mark.parametrize("move", [dragged, dragged_by_finger])
def test_on_a_phone_what_is_dragged_or_moved_by_keys_sets_the_fields_and_all_follows(page: Page, move: Move):
    stood = place(page, "feeder")
    turned = page.locator(".hl-figures").inner_text()

    across, down = move(page, "feeder", 30, 40)

    assert (across, down) != stood
    expect(field(page, "In front of its end line (cm)")).to_have_value(f"{down:g}")
    expect(field(page, "To the player's right (cm)")).to_have_value(f"{across:g}")
    expect(page.locator(".hl-figures")).not_to_have_text(turned)
    aimed_at = place(page, "target")
    assert move(page, "target", -20, 15) != aimed_at
    expect(field(page, "Behind the net (cm)")).to_be_visible()
    handle(page, "target").focus()
    page.keyboard.press("Shift+ArrowRight")
    expect(field(page, "Behind the net (cm)")).to_be_visible()
    expect(handle(page, "target")).to_be_focused()
    shape = page.locator(".hl-aim svg").evaluate("svg => [svg.getScreenCTM().a, svg.getScreenCTM().d]")
    widths = page.evaluate(
        "[document.documentElement, document.querySelector('[data-testid=stMain]')].map(e => e.scrollWidth)"
    )
    assert shape[0] == pytest.approx(shape[1], rel=0.01)
    assert widths == [390, 390]
