"""The page at the table on a real phone screen, under real touches, in a hall with bad Wi-Fi."""

import json
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from dashboard import questions
from dashboard.paper.addresses import table_block
from dashboard.questions import owners_desk
from dashboard.services import plans
from ingest import club_day
from models import plan_edits
from models.closing import drawn
from sql.club.blocks import hits_of
from sql.club.file import club_file
from sql.folder import DataFolder
from sql.warehouse import ask
from tests.at_table.conftest import add_accounts
from tests.at_table.hall import CUT, DEAF, OPEN, STALLED, Network, Server, Thumb, begin, phone, until
from tests.at_table.signed_in import cookie, sign_out_everywhere
from tests.door.served import ROOT, node_with
from tests.proofs import LOOKS, in_proof

pytestmark = pytest.mark.browser

COACH, OTHER_COACH = 1, 2
TAPS = 200
OUTCOMES = ("good", "net", "good", "long", "wide", "good", "missed")


@dataclass(frozen=True)
class Hall:
    """Where it all happens."""

    folder: DataFolder
    server: Server
    network: Network

    def counted(self, player: str) -> list[str]:
        """The outcomes of a player's balls on the club's disk, in their order, whether in the log yet or not."""
        with club_file(self.folder) as connection:
            blocks = connection.execute("select block from table_blocks where player = ? order by begun_at", [player])
            return [hit.outcome for row in blocks.fetchall() for hit in hits_of(connection, row["block"])]

    def states(self, player: str) -> list[str]:
        """How the blocks of a player stand, in the order in which they were begun."""
        with club_file(self.folder) as connection:
            rows = connection.execute("select state from table_blocks where player = ? order by begun_at", [player])
            return [row["state"] for row in rows.fetchall()]

    def in_log(self, player: str) -> list[str]:
        """The outcomes of a player's single balls in the published log, in their order, once all blocks are in it."""
        until(lambda: set(self.states(player)) == {"in_log"}, f"every block of {player} is in the log")
        rows = ask(
            self.folder,
            "select case when good = 1 then 'good' when net = 1 then 'net' when long = 1 then 'long' when wide = 1"
            " then 'wide' else 'missed' end from core.fed_lines"
            " where player_id = $player and ball_or_0 > 0 order by block, ball_or_0",
            {"player": player},
        )
        return [outcome for (outcome,) in rows.iter_rows()]


@pytest.fixture(scope="module")
def hall(built_club: DataFolder, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Hall]:
    """A served club with accounts, and the network before it."""
    folder = DataFolder(tmp_path_factory.mktemp("hall") / "club")
    shutil.copytree(built_club.path, folder.path)
    with club_file(folder) as connection:
        add_accounts(connection)
    server = Server(folder, folder.path.parent)
    yield Hall(folder, server, Network(server.port))
    server.kill()


@pytest.fixture
def page(chromium: Browser, hall: Hall) -> Iterator[Page]:
    """The page at the table on the phone of a coach."""
    context = phone(chromium, hall.folder, hall.network.url, OTHER_COACH)
    page = context.new_page()
    page.goto(f"{hall.network.url}/table")
    yield page
    hall.network.turn(OPEN)
    context.close()


def sequence(taps: int) -> list[str]:
    """Outcomes in an order in which a lost, doubled or swapped one would show."""
    return [OUTCOMES[(i * i + i // 3) % len(OUTCOMES)] for i in range(taps)]


def save(page: Page) -> None:
    """Say that the block is done."""
    page.get_by_role("button", name="Block done").tap()
    page.get_by_role("button", name="Save the block").tap()


def waiting(page: Page) -> int:
    """How many taps the page says are waiting."""
    told = page.locator("#sync-status").inner_text()
    return 0 if "All saved" in told else int(told.split()[0])


@pytest.mark.proof
def test_a_phone_whose_day_is_not_the_clubs_is_asked_which_day_it_is(hall: Hall, page: Page) -> None:
    of_club = page.request.get(f"{hall.network.url}/table/start").json()["today"]
    page.clock.set_fixed_time("2019-07-06T12:00:00")
    page.reload()
    begin(page, "BEN")
    question = page.get_by_role("group", name="Which day is it?")
    expect(question).to_contain_text("2019-07-06, as this phone has it")
    expect(page.locator("#counting")).to_be_hidden()
    page.clock.resume()
    question.get_by_role("radio", name=f"{of_club}, as the club's computer has it").tap()
    page.get_by_role("button", name="Begin to count").tap()
    Thumb(page).tap("good")
    until(lambda: len(hall.counted("BEN")) == 1, "the ball is on the club's disk")
    expect(page.locator("#ball-drawn svg")).to_be_visible()

    with club_file(hall.folder) as connection:
        rows = connection.execute("select session_date from table_blocks where player = 'BEN'").fetchall()
    assert [day for (day,) in rows] == [of_club]


def test_the_code_on_a_printed_plan_opens_its_block_on_the_phone(hall: Hall, page: Page) -> None:
    """By the address that the paper's code holds; asked for once, so that a reload does not begin it again."""
    desk, day = owners_desk(hall.folder), club_day.today()
    plan = plans.proposed(desk, "ADA", 60, day).plan
    plans.keep(desk, "ADA", plan, day, day)

    page.goto(table_block(hall.network.url, "ADA", day, 2))

    expect(page.locator("#player")).to_have_value("ADA")
    first = page.locator("#offers [name=offer]").first
    expect(page.locator("#offers label").first).to_contain_text("Planned, 30 balls")
    expect(first).to_be_checked()
    expect(page.locator("[data-column=setup]").first).to_have_value(plan.blocks[1].stand.setup)
    assert page.url == f"{hall.network.url}/table"
    plans.drop(desk, "ADA", day)


def test_the_balls_of_a_closing_mix_are_called_in_the_order_that_was_drawn(hall: Hall, page: Page) -> None:
    desk, day = owners_desk(hall.folder), club_day.today()
    settings, plan = questions.settings(desk), plans.proposed(desk, "ADA", 60, day).plan
    near = [drill for drill in plan.drills if drill.stand.setup == "NC"]
    mix = drawn([replace(drill, more={"length": "short"}) for drill in near], settings, seed=3)
    plans.keep(desk, "ADA", plan_edits.with_closing(plan, mix, settings), day, day)
    page.goto(table_block(hall.network.url, "ADA", day, len(plan.blocks) + 1))
    expect(page.locator("#offers [name=offer]").first).to_be_checked()
    expect(page.locator("#offers label").first).to_contain_text(f"Planned, {mix.balls} balls")
    hall.network.turn(CUT)  # What is counted here stays on this phone, for others count for Ada too.
    page.get_by_role("button", name="Begin to count").tap()

    letters, thumb = ["AB"[call] for call in mix.calls], Thumb(page)
    for ball in range(4):
        ahead = " ".join(letters[ball + 1 : ball + 5])
        expect(page.locator("#which-feed legend")).to_have_text(f"This ball is {letters[ball]}, then {ahead}")
        expect(page.locator("#which-feed label:has(:checked)")).to_contain_text(f"{letters[ball]}: ")
        thumb.tap("good")
    page.get_by_role("button", name="Undo").tap()
    expect(page.locator("#which-feed legend")).to_contain_text(f"This ball is {letters[3]}, then")
    page.evaluate("localStorage.clear()")
    page.close()
    plans.drop(desk, "ADA", day)


def test_200_touches_through_a_network_that_is_cut_and_stalls_are_200_balls(hall: Hall, page: Page) -> None:
    begin(page, "ADA")
    thumb = Thumb(page)
    weather = {20: CUT, 60: OPEN, 80: STALLED, 130: OPEN, 150: DEAF, 190: OPEN}

    for i, outcome in enumerate(sequence(TAPS)):
        if i == 60:
            expect(page.get_by_role("alert")).to_contain_text("No connection")
            assert Thumb(page).places == thumb.places
            assert waiting(page) >= 40
        if i == 130:
            expect(page.get_by_role("alert")).to_contain_text("No connection")
        if i == 190:
            until(lambda: len(hall.counted("ADA")) > 150, "taps arrive of which the phone is not told")
            assert waiting(page) >= 40
        if i in weather:
            hall.network.turn(weather[i])
        thumb.tap(outcome)
    expect(page.locator("#count")).to_contain_text("200 balls")
    expect(page.locator("#sync-status")).to_have_text("All saved")
    save(page)

    assert hall.in_log("ADA") == sequence(TAPS)


@pytest.mark.proof
def test_200_touches_while_the_server_is_killed_and_comes_back_are_200_balls(hall: Hall, page: Page) -> None:
    """Killed while balls are counted, and once more while the block goes into the log."""
    batches = "select count(*) from core.batches where source = 'table'"
    before = ask(hall.folder, batches).item()
    begin(page, "BEN")
    thumb = Thumb(page)

    for i, outcome in enumerate(sequence(TAPS)):
        if i == 50:
            hall.server.kill()
        if i == 120:
            assert waiting(page) >= 70
            hall.server.start()
        thumb.tap(outcome)
    expect(page.locator("#sync-status")).to_have_text("All saved")
    save(page)
    until(lambda: hall.states("BEN") != ["counting"], "the block is done")
    hall.server.kill()
    hall.server.start()

    assert hall.in_log("BEN") == sequence(TAPS)
    assert ask(hall.folder, batches).item() == before + 1


@pytest.mark.proof
def test_taps_survive_dead_wifi_a_reload_and_a_closed_tab(hall: Hall, page: Page) -> None:
    begin(page, "CLEO")
    thumb = Thumb(page)
    expect(page.locator("#sync-status")).to_have_text("All saved")
    hall.network.turn(CUT)
    for outcome in sequence(10):
        thumb.tap(outcome)
    assert waiting(page) == 10
    context = page.context
    page.close()

    hall.network.turn(OPEN)
    anew = context.new_page()
    anew.goto(f"{hall.network.url}/table")
    expect(anew.locator("#count")).to_contain_text("10 balls")
    hall.network.turn(STALLED)
    Thumb(anew).tap("net")
    hall.network.turn(OPEN)
    anew.reload()
    expect(anew.locator("#count")).to_contain_text("11 balls")
    Thumb(anew).tap("missed")
    anew.get_by_role("button", name="Undo missed").tap()
    save(anew)

    assert hall.in_log("CLEO") == [*sequence(10), "net"]


@pytest.mark.parametrize("weather", [CUT, in_proof(STALLED)])
def test_the_page_opens_and_counts_without_a_network_once_it_has_been_open(
    hall: Hall, page: Page, weather: str
) -> None:
    """Browsers allow that to pages of the machine itself, as here, and to pages that come through TLS."""
    player = {CUT: "JAN", STALLED: "KAI"}[weather]
    page.evaluate("navigator.serviceWorker.ready")
    page.reload()
    begin(page, player)
    Thumb(page).tap("good")

    hall.network.turn(weather)
    page.reload()
    Thumb(page).tap("net")
    save(page)
    begin_again(page, player)
    Thumb(page).tap("wide")
    assert waiting(page) >= 4
    hall.network.turn(OPEN)
    expect(page.locator("#sync-status")).to_have_text("All saved")

    assert hall.counted(player) == ["good", "net", "wide"]


def begin_again(page: Page, player: str) -> None:
    """The same balls again, which the page knows without asking."""
    page.locator("#player").select_option(player)
    page.get_by_role("button", name="Begin to count").tap()


@pytest.mark.proof
def test_the_table_is_counted_on_by_keys_and_every_ball_is_said(hall: Hall, page: Page) -> None:
    begin(page, "LEO")
    page.locator("[data-zone=good]").focus()
    for key in ("Enter", "ArrowUp", "Enter", "ArrowDown", "ArrowRight", "Space", "ArrowDown", "ArrowDown", "Enter"):
        page.keyboard.press(key)

    expect(page.locator("[data-zone=missed]")).to_be_focused()
    expect(page.get_by_role("status")).to_have_text("missed. 4 balls, 1 good.")
    until(lambda: hall.counted("LEO") == ["good", "long", "wide", "missed"], "the four balls are on the club's disk")
    page.get_by_role("button", name="Block done").tap()
    page.get_by_text("Throw this block away").tap()
    page.get_by_role("button", name="Throw it away").tap()


@pytest.mark.proof
def test_two_phones_count_at_two_tables_at_once(hall: Hall, chromium: Browser) -> None:
    phones = [phone(chromium, hall.folder, hall.network.url, OTHER_COACH) for _ in range(2)]
    pages = [context.new_page() for context in phones]
    for page, player in zip(pages, ("EVA", "FIN"), strict=True):
        page.goto(f"{hall.network.url}/table")
        begin(page, player)
    thumbs = [Thumb(page) for page in pages]

    for outcome in sequence(30):
        thumbs[0].tap(outcome)
        thumbs[1].tap("good")
    for page in pages:
        save(page)

    assert hall.in_log("EVA") == sequence(30)
    assert hall.in_log("FIN") == ["good"] * 30
    for context in phones:
        context.close()


@pytest.mark.proof
def test_who_is_signed_out_signs_in_again_and_nothing_is_lost(hall: Hall, page: Page) -> None:
    begin(page, "GUS")
    thumb = Thumb(page)
    expect(page.locator("#sync-status")).to_have_text("All saved")

    sign_out_everywhere(hall.folder, OTHER_COACH)
    thumb.tap("good")
    thumb.tap("net")
    expect(page.get_by_role("alert")).to_contain_text("Sign in again: nothing is lost")
    link = page.get_by_role("alert").get_by_role("link", name="Sign in").get_attribute("href")
    assert waiting(page) == 2
    name, value = cookie(hall.folder, OTHER_COACH)
    page.context.add_cookies([{"name": name, "value": value, "url": hall.network.url}])
    expect(page.locator("#sync-status")).to_have_text("All saved")
    expect(page.get_by_role("alert")).to_be_hidden()

    assert link == "/account/sign-in?next=%2Ftable"
    assert hall.counted("GUS") == ["good", "net"]


@pytest.mark.proof
def test_a_block_that_was_begun_is_not_called_saved_before_the_clubs_computer_has_said_so(page: Page) -> None:
    page.route("**/table/taps", lambda _: None)  # Nobody ever answers.

    begin(page, "IDA")

    assert waiting(page) == 1


@pytest.mark.proof
def test_a_second_tab_takes_over_and_the_first_one_counts_no_more(hall: Hall, page: Page) -> None:
    begin(page, "HAL")
    Thumb(page).tap("good")
    second = page.context.new_page()
    second.goto(f"{hall.network.url}/table")
    expect(second.locator("#count")).to_contain_text("1 ball")

    expect(page.get_by_role("heading", name="Open in another tab")).to_be_visible()
    Thumb(second).tap("net")
    page.get_by_role("button", name="Count here").tap()
    expect(page.locator("#count")).to_contain_text("2 balls")
    expect(second.get_by_role("heading", name="Open in another tab")).to_be_visible()
    expect(page.locator("#sync-status")).to_have_text("All saved")

    assert hall.counted("HAL") == ["good", "net"]


@pytest.mark.proof
def test_a_server_in_trouble_is_told_in_its_own_words_and_everything_waits(hall: Hall, page: Page) -> None:
    begin(page, "IDA")
    thumb = Thumb(page)
    expect(page.locator("#sync-status")).to_have_text("All saved")
    told = json.dumps({"sentence": "club.sqlite: the disk is full."})
    page.route("**/table/taps", lambda route: route.fulfill(status=503, body=told))

    thumb.tap("good")

    expect(page.get_by_role("alert")).to_contain_text("Nothing is lost")
    expect(page.get_by_role("alert")).to_contain_text("the disk is full")
    assert waiting(page) == 1
    page.unroute("**/table/taps")
    expect(page.locator("#sync-status")).to_have_text("All saved")
    expect(page.get_by_role("alert")).to_be_hidden()


def axe_violations(page: Page) -> list[str]:
    """What axe finds, with the stricter contrast of level AAA."""
    found: dict[str, Any] = page.evaluate(
        "axe.run({rules: {'color-contrast-enhanced': {enabled: true}, 'target-size': {enabled: true}}})"
    )
    return [
        f"{fault['id']}: {node['html'][:120]} {node['failureSummary']}"
        for fault in found["violations"]
        for node in fault["nodes"]
    ]


@pytest.mark.proof
@pytest.mark.parametrize("look", LOOKS, ids=str)
def test_axe_finds_nothing_on_any_part_of_the_page(hall: Hall, chromium: Browser, look: tuple[int, str]) -> None:
    width, scheme = look
    node_with("axe-core")
    script = ROOT / "node_modules" / "axe-core" / "axe.min.js"
    context = phone(chromium, hall.folder, hall.network.url, COACH, scheme)
    page = context.new_page()
    page.set_viewport_size({"width": width, "height": 844})
    page.goto(f"{hall.network.url}/table")
    page.evaluate(script.read_text("utf-8"))
    page.locator("#player").wait_for()
    found = axe_violations(page)
    begin(page, "ADA")
    for outcome in ("good", "net", "missed"):
        Thumb(page).tap(outcome)
    found += axe_violations(page)
    sideways = [page.evaluate("document.documentElement.scrollWidth")]
    page.get_by_role("button", name="Block done").tap()
    found += axe_violations(page)
    page.get_by_text("Throw this block away").tap()
    page.get_by_role("button", name="Throw it away").tap()
    page.get_by_role("radio", name="Other balls, set by hand").tap()
    page.get_by_role("button", name="Add another ball").tap()
    for more in page.get_by_text("More about this ball").all():
        more.tap()
    found += axe_violations(page)
    sideways.append(page.evaluate("document.documentElement.scrollWidth"))
    context.close()

    assert found == []
    assert sideways == [width, width]
