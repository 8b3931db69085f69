"""A kept plan on paper: its blocks in reading order, codes for the phone, and one caution for all moves."""

from datetime import date
from io import BytesIO
from urllib.parse import parse_qs, urlsplit

import pytest
from pypdf import PdfReader

from dashboard.paper import plan_sheet as module
from dashboard.paper.addresses import table_block
from dashboard.paper.making import plan_sheet_made
from dashboard.paper.plan_sheet import LETTERS, plan_sheet
from dashboard.paper.qr import qr_drawing
from dashboard.paper.sheets import NotOnPaper
from dashboard.paper.typesetting import typeset
from dashboard.questions import Desk, owners_desk
from dashboard.services import plans
from dashboard.words.cautions import IN_SHORT
from models import plan_edits
from models.closing import drawn
from models.settings import Settings
from sql.folder import DataFolder
from tests.dashboard.test_paper import elements, one_line, text_of

TODAY = date(2025, 3, 14)
CLUB = "https://club.example"


@pytest.fixture
def desk(small_club: DataFolder) -> Desk:
    """Whose player Ada has a plan of three blocks and a closing mix, her first ball for a push."""
    desk = owners_desk(small_club)
    proposal = plans.proposed(desk, "ADA", 60, TODAY)
    mix = drawn(proposal.plan.drills[-2:], Settings(planned_balls=10, closing_minutes=6), seed=5)
    plan = plan_edits.with_closing(proposal.plan, mix, Settings())
    plan = plan_edits.reworded(plan, 0, 0, {**plan.drills[0].words, "length": "short"}, Settings())
    plans.keep(desk, "ADA", plan, TODAY, TODAY)
    return desk


def test_it_says_who_when_how_much_and_each_block_with_how_to_set_it_in_reading_order(desk: Desk) -> None:
    said = text_of(typeset(plan_sheet(desk, "ADA", TODAY, CLUB)))

    order = ["Ada Lind", "Friday 14 March 2025", "4 blocks", "begin here", "30 balls", "Dials", "Be ready"]
    found = [said.index(part) for part in [*order, "good net long wide missed", "move the feeder", "Closing mix"]]
    assert found == sorted(found)
    assert "not calibrated: check ball" in said
    assert said.count(one_line(IN_SHORT)) == 1, "the caution stands once, for all moves"


def test_the_drawn_order_of_the_mix_stands_on_it_in_fives(desk: Desk) -> None:
    kept = plans.next_kept(desk, "ADA", TODAY)
    assert kept is not None
    letters = "".join(LETTERS[call] for call in kept.blocks[-1].calls)

    said = text_of(typeset(plan_sheet(desk, "ADA", TODAY, None)))

    assert " ".join(letters[at : at + 5] for at in range(0, len(letters), 5)) in said


@pytest.mark.parametrize(("size", "points"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_it_is_set_for_both_papers_and_can_be_read_aloud(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, size: str, points: tuple[int, int]
) -> None:
    """A4 by ISO 216, Letter by ANSI Y14.1: 8.5 by 11 inches of 72 points."""
    monkeypatch.setattr("dashboard.paper.making.today", lambda: TODAY)
    reader = PdfReader(BytesIO(plan_sheet_made(desk, "ADA", club_address=CLUB, size=size).pdf))

    box = reader.pages[0].mediabox
    assert (round(box.width), round(box.height)) == points
    root = reader.root_object
    assert "<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_object().get_data().decode()  # type: ignore[attr-defined]
    figures = [one for one in elements(root["/StructTreeRoot"]) if one["/S"] == "/Figure"]
    told = [str(one["/Alt"]) for one in figures]
    assert [alt for alt in told if alt.startswith("QR")] == [
        f"QR code: opens block {number} on the phone" for number in (1, 2, 3, 4)
    ]
    assert sum("on the table from above" in alt for alt in told) == 5


def test_every_block_has_a_code_that_names_it(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    coded: list[str] = []
    monkeypatch.setattr(module, "qr_drawing", lambda address: coded.append(address) or qr_drawing(address))

    plan_sheet(desk, "ADA", TODAY, CLUB)
    without = plan_sheet(desk, "ADA", TODAY, None)

    assert coded == [table_block(CLUB, "ADA", TODAY, number) for number in (1, 2, 3, 4)]
    parts = urlsplit(coded[1])
    assert (parts.netloc, parts.path, parse_qs(parts.query)) == (
        "club.example",
        "/table",
        {"player": ["ADA"], "block": ["2025-03-14/2"]},
    )
    assert [block["code"] for block in without.values["blocks"]] == [None] * 4


def test_a_code_has_the_size_and_the_blank_edge_of_the_standard() -> None:
    """ISO/IEC 18004: version 4 has 33 modules a side, and four blank ones around them (from memory)."""
    drawing = qr_drawing(table_block(CLUB, "ADA", TODAY, 2))

    assert 'width="41" height="41"' in drawing


def test_without_a_kept_plan_there_is_none_on_paper(small_club: DataFolder) -> None:
    with pytest.raises(NotOnPaper, match="No plan is kept for ADA"):
        plan_sheet(owners_desk(small_club), "ADA", TODAY, CLUB)
