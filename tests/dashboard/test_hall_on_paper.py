"""The plan of the hall on paper: who is where when, a page for each table in reading order, and its code."""

from datetime import date, time
from io import BytesIO
from urllib.parse import parse_qs, urlsplit

import pytest
from pypdf import PdfReader

from dashboard.at_table.in_turn import in_turn
from dashboard.paper import hall_plan as module
from dashboard.paper.hall_plan import hall_plan
from dashboard.paper.making import hall_plan_made
from dashboard.paper.qr import qr_drawing
from dashboard.paper.sheets import NotOnPaper
from dashboard.paper.typesetting import typeset
from dashboard.questions import Desk, owners_desk
from dashboard.rows.halls import HallOrder
from dashboard.services import halls, halls_kept
from dashboard.words.cautions import IN_SHORT
from sql.folder import DataFolder
from tests.dashboard.test_paper import elements, one_line, text_of

TODAY = date(2025, 3, 14)
CLUB = "https://club.example"


def kept(desk: Desk, players: tuple[str, ...], begins_at: time) -> None:
    order = HallOrder(players, ("robot",), 30, TODAY, begins_at)
    halls_kept.keep(desk, halls.session(desk, order, halls.draft(desk, order)), TODAY)


@pytest.fixture
def desk(small_club: DataFolder) -> Desk:
    """With two halls on one day, Ada in the first and Ben in the second."""
    desk = owners_desk(small_club)
    kept(desk, ("ADA",), time(18))
    kept(desk, ("BEN",), time(19))
    return desk


def test_it_says_who_is_where_and_then_each_turn_with_how_to_set_it_in_reading_order(desk: Desk) -> None:
    said = text_of(typeset(hall_plan(desk, TODAY, "18:00", CLUB)))

    order = ["Hall plan, Friday 14 March, 18:00", "From Table 1, robot", "18:00 Ada L.", "Before you move or touch"]
    order += ["Table 1, robot the feeder feeds", "The feeder stands at", "Ada Lind", "Be ready", "30 balls"]
    at = 0
    for part in order:
        at = said.index(part, at)
    assert said.count(one_line(IN_SHORT)) == 1
    assert "Ben Orr" not in said


@pytest.mark.parametrize(("size", "points"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_it_is_set_for_both_papers_and_can_be_read_aloud(desk: Desk, size: str, points: tuple[int, int]) -> None:
    """A4 by ISO 216, Letter by ANSI Y14.1: 8.5 by 11 inches of 72 points."""
    reader = PdfReader(BytesIO(hall_plan_made(desk, "2025-03-14/1800", club_address=CLUB, size=size).pdf))

    box = reader.pages[0].mediabox
    assert (round(box.width), round(box.height)) == points
    root = reader.root_object
    assert "<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_object().get_data().decode()  # type: ignore[attr-defined]
    told = [str(one["/Alt"]) for one in elements(root["/StructTreeRoot"]) if one["/S"] == "/Figure"]
    assert told[0] == "QR code: opens Table 1, robot on the phone"
    assert all("on the table from above" in alt for alt in told[1:])


def test_the_code_of_a_table_opens_that_table_on_the_phone(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """By what tells the tables of two halls of one day apart there."""
    coded: list[str] = []
    monkeypatch.setattr(module, "qr_drawing", lambda address: coded.append(address) or qr_drawing(address))
    for begin in ("18:00", "19:00"):
        hall_plan(desk, TODAY, begin, CLUB)

    assert [urlsplit(one)[:3] for one in coded] == [("https", "club.example", "/table")] * 2
    asked = [parse_qs(urlsplit(one).query)["station"][0] for one in coded]
    assert asked == [table["code"] for table in in_turn(desk, TODAY)] == ["18:00/1", "19:00/1"]
    assert [table["name"] for table in in_turn(desk, TODAY)] == [
        "Table 1, robot, from 18:00",
        "Table 1, robot, from 19:00",
    ]


def test_without_an_address_there_is_no_code_and_no_word_of_one(desk: Desk) -> None:
    values = hall_plan(desk, TODAY, "18:00").values

    assert [station["code"] for station in values["stations"]] == [None]
    assert "code" not in values["how_to_use"]


def test_another_paper_is_told_what_there_is(desk: Desk) -> None:
    with pytest.raises(NotOnPaper, match="Saw the paper 'a3', expected one of a4, letter"):
        hall_plan_made(desk, "2025-03-14/1800", size="a3")
