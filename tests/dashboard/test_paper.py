"""The pages on paper, read back from the PDF: they say what the screens say, and nothing that is typed harms them.

ISO 14289-1 (PDF/UA-1) asks that a PDF is tagged, has a title that is shown, a language, texts for its pictures, and
its fonts inside (clauses 7.1 to 7.3 and 7.21, from memory). No checker of that standard is run here.
"""

import json
import os
import re
import shutil
import stat
import subprocess
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from pypdf.generic import DictionaryObject, IndirectObject

from dashboard import questions
from dashboard.paper import typesetting
from dashboard.paper.making import club_week_made, player_page_made, session_sheet_made
from dashboard.paper.parts import Points, Table, as_values
from dashboard.paper.sheets import NotOnPaper, Sheet
from dashboard.paper.typesetting import INSTEAD, typeset
from dashboard.paper.weeks_drawing import Bar, weeks_drawn
from dashboard.questions import Desk, owners_desk
from dashboard.words import weeks as weeks_words
from dashboard.words.cautions import BEFORE_YOU_MOVE_IT, MOVING_A_FEEDER, WHO_DECIDES
from dashboard.words.my_balls import FOR_THE_CURIOUS
from dashboard.words.phrases import label
from ingest.loading import load
from ingest.problems import printable
from models.records import SessionLine, columns_of
from models.shapes import OneOf
from models.written_line import COUNTED, RINGED, keys_of
from sql.folder import DataFolder, FolderProblem
from sql.warehouse import NothingPublished
from tests.dashboard.conftest import incoming
from tests.dashboard.shown import opened, shown
from tests.dashboard.test_command_line import halflong
from tests.dashboard.test_naughty_names import LIST, club_of

MINE = "views/my_training.py"
WEEK_11 = date(2025, 3, 10)

Make = Callable[[Desk], bytes]

PAGES: dict[str, Make] = {
    "player": lambda desk: player_page_made(desk, "ADA").pdf,
    "club week": lambda desk: club_week_made(desk, f"{WEEK_11}").pdf,
    "session sheet": lambda desk: session_sheet_made(desk).pdf,
    "group sheet": lambda desk: session_sheet_made(desk, players=6).pdf,
}


@pytest.fixture(scope="module")
def printed_club(built_club: DataFolder, tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """A copy of the small club: every page that is made is noted in its trail."""
    return DataFolder(Path(shutil.copytree(built_club.path, tmp_path_factory.mktemp("printed") / "club")))


@pytest.fixture
def desk(printed_club: DataFolder) -> Desk:
    return owners_desk(printed_club)


@pytest.fixture(scope="module")
def pdfs(printed_club: DataFolder) -> dict[str, bytes]:
    """Each page of the small club, made once."""
    return {page: make(owners_desk(printed_club)) for page, make in PAGES.items()}


def text_of(pdf: bytes) -> str:
    """Everything that the PDF says, one space between words."""
    return one_line("\n".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages))


def one_line(text: str) -> str:
    return " ".join(text.split())


def sheet_of(*texts: str, title: str = "A page", is_table: bool = True) -> Sheet:
    """A page with nothing but these texts, as a list and in the cells of a table."""
    table = [Table(("one", "other"), [(text, text) for text in texts])] if is_table else []
    parts = as_values([Points(texts), *table])
    mark = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"></svg>'
    values = {"title": title, "club": "A club", "mark": mark, "notice": None, "foot": "", "parts": parts}
    return Sheet("page.typ", datetime(2026, 1, 2, tzinfo=UTC), values)


# What the pages say


def test_a_players_page_says_every_sentence_of_the_own_screen(small_club: DataFolder) -> None:
    """All of it in words; beside the drawings the screen says some of it again, shorter."""
    (screen,) = [one for one in shown(small_club, MINE, "ADA").main.expander if one.label == FOR_THE_CURIOUS]
    said = text_of(player_page_made(owners_desk(small_club), "ADA").pdf)
    definitions = "it has no published basis"
    told = [one.value for one in (*screen.markdown, *screen.caption) if definitions not in one.value]
    sentences = [line.removeprefix("- ").strip("*") for text in told for line in text.splitlines()]

    assert len(sentences) > 10
    assert [one for one in sentences if one not in said] == []
    assert len(screen.header) > 3
    assert [one.value for one in screen.header if one.value not in said] == []


@pytest.mark.parametrize(("on", "is_old"), [(date(2025, 3, 18), False), (date(2025, 6, 2), True)])
def test_a_log_that_ended_long_ago_is_called_old_on_the_page_and_on_paper(
    small_club: DataFolder, monkeypatch: pytest.MonkeyPatch, on: date, is_old: bool
) -> None:
    """Beside what to ask for, which counts from today: nothing is known of the weeks between."""
    for module in ("ingest.club_day", "dashboard.paper.player_page"):
        monkeypatch.setattr(f"{module}.today", lambda: on)
    app = opened(small_club, MINE, "ADA")
    paper = text_of(player_page_made(owners_desk(small_club), "ADA").pdf)
    said = f"The log is old: it ends on 11 March, {(on - date(2025, 3, 11)).days} days before."

    assert [said in " ".join(one.value for one in [*app.caption, *app.markdown]), said in paper] == [is_old, is_old]


def test_a_players_page_has_the_figures_that_stand_in_the_log(pdfs: dict[str, bytes]) -> None:
    """By hand from the files of the small club: 28 + 20 + 30 + 32 of 4 times 40 balls."""
    said = text_of(pdfs["player"])

    assert "Ada Lind: my training" in said
    assert "Week 11, from Monday 10 March 2025. Juniors, code ADA." in said
    assert "In the last 28 days of the log you hit 160 balls in 2 sessions." in said
    assert "69 in 100 of your balls landed where the drill asked (110 of 160)." in said
    assert "Success against fed balls is not success in matches." in said
    assert "Figures up to 11 March 2025, the last day in the log." in said
    assert "Setting rate balls: 20: fewest balls for which a success rate is shown" in said
    assert not [name for name in ("Ben Orr", "Cléo", "BEN", "CLEO") if name in said]


def test_every_figure_of_a_players_page_is_defined_at_its_foot_in_the_words_of_its_table(
    desk: Desk, pdfs: dict[str, bytes]
) -> None:
    said = text_of(pdfs["player"])

    for table, column in (("variety", "cells_covered"), ("success", "low"), ("trend", "change"), ("gaps", "why")):
        meaning = questions.meaning(desk, f"report.{table}")[column].replace("_", " ")
        assert meaning.replace("cells", "combinations") in said


def test_the_clubs_week_says_who_has_no_log_and_which_line_is_refused(pdfs: dict[str, bytes]) -> None:
    said = text_of(pdfs["club week"])

    assert "Players whose log is in 1 of 3 Lines still refused 1" in said
    assert "Ben Orr Juniors 2025-03-04 Cléo Marsh Seniors none" in said
    assert "2025-w11.csv, line 4, column spin: saw 'topsin', expected one of heavy_backspin," in said
    assert "Sessions 1 Balls 80 Minutes 10" in said
    assert "Dan Voss" not in said


def test_a_week_that_is_in_and_sound_is_called_so(small_club: DataFolder) -> None:
    """With Cléo's log every active player has one in the week from 3 March, and none of its lines is refused."""
    hers = "session_date,player,setup,spin,length,balls,good\n2025-03-05,CLEO,BC,topspin,long,40,30\n"
    load(small_club, incoming({"cleo.csv": hers}), "test", today=date(2025, 3, 12))

    said = text_of(club_week_made(owners_desk(small_club), "2025-03-03").pdf)

    assert "The week is in, and sound: every active player has a log, and no line is refused." in said
    assert "All lines of this week are in order." in said
    assert "No log this week" not in said


@pytest.mark.parametrize("page", ["session sheet", "group sheet"])
def test_a_session_sheet_has_every_word_to_ring_with_the_key_that_is_typed_for_it(
    pdfs: dict[str, bytes], page: str
) -> None:
    said = text_of(pdfs[page])
    columns = columns_of(SessionLine)
    ringed = [column.shape.words for column in columns if isinstance(column.shape, OneOf)]

    assert {words.name for words in ringed} == {words.name for words in RINGED}
    missing = [word for words in RINGED for word, key in keys_of(words).items() if f"{label(word)} ({key})" not in said]
    assert missing == []
    assert [name for name in COUNTED if name not in said] == []
    assert [rule.expected for rule in SessionLine.rules if rule.expected not in said] == []
    assert "BC back centre, MR middle right, NC near centre" in said
    assert said.count("Setup BC MR NC") == (6 if page == "session sheet" else 3), "as many blocks"


def test_a_session_sheet_warns_of_what_a_feeder_can_do(pdfs: dict[str, bytes]) -> None:
    said = text_of(pdfs["session sheet"])

    assert [one for one in (BEFORE_YOU_MOVE_IT, *MOVING_A_FEEDER, WHO_DECIDES) if one not in said] == []


@pytest.mark.parametrize("page", PAGES)
def test_a_page_of_an_invented_club_says_so(
    printed_club: DataFolder, pdfs: dict[str, bytes], page: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = owners_desk(printed_club)
    real = questions.settings(desk)

    assert "Invented demo club" not in text_of(pdfs[page])

    monkeypatch.setattr(questions, "settings", lambda _: real.model_copy(update={"is_invented": True}))
    assert "Invented demo club: the people, the places and the numbers are made up." in text_of(PAGES[page](desk))


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda desk: player_page_made(desk, "DAN"), "no active player"),
        (lambda desk: player_page_made(desk, "NOBODY"), "no active player"),
        (lambda desk: club_week_made(desk, "2025-03-11"), "no week from Monday 2025-03-11"),
        (lambda desk: club_week_made(desk, "last week"), "such as 2026-03-02"),
    ],
)
def test_what_is_not_there_is_not_on_paper(desk: Desk, make: Make, told: str) -> None:
    with pytest.raises(NotOnPaper, match=told):
        make(desk)


@pytest.mark.parametrize("page", PAGES)
def test_of_a_club_without_anything_there_is_no_page(empty_club: DataFolder, page: str) -> None:
    with pytest.raises(NothingPublished):
        PAGES[page](owners_desk(empty_club))


# What the PDF is


def elements(node: Any) -> Iterator[DictionaryObject]:
    """The structure elements of a tagged PDF in reading order."""
    node = node.get_object() if isinstance(node, IndirectObject) else node
    if isinstance(node, DictionaryObject) and "/S" in node:
        yield node
    kids = node.get("/K", ()) if isinstance(node, DictionaryObject) else ()
    for kid in kids if isinstance(kids, list) else [kids]:
        if isinstance(kid, IndirectObject | DictionaryObject):
            yield from elements(kid)


def fonts(reader: PdfReader) -> Iterator[DictionaryObject]:
    for page in reader.pages:
        for font in page["/Resources"].get("/Font", {}).values():  # type: ignore[union-attr]
            yield font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()


@pytest.mark.parametrize(
    ("page", "title", "tags"),
    [
        ("player", "Ada Lind: my training", {"/H1", "/H2", "/H3", "/L", "/Figure"}),
        ("club week", "The club's week 11 of 2025", {"/H1", "/H2", "/Table", "/TH", "/TD", "/Figure"}),
        ("session sheet", "Session sheet", {"/H1", "/H2", "/L"}),
        ("group sheet", "Session sheet for 6 players", {"/H1", "/H2", "/Table", "/TH", "/L"}),
    ],
)
def test_a_page_can_be_read_aloud(pdfs: dict[str, bytes], page: str, title: str, tags: set[str]) -> None:
    reader = PdfReader(BytesIO(pdfs[page]))
    root = reader.root_object
    found = list(elements(root["/StructTreeRoot"]))

    assert root["/MarkInfo"]["/Marked"]  # type: ignore[index]
    assert str(root["/Lang"]).startswith("en")
    assert reader.metadata is not None
    assert reader.metadata.title == title
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]  # type: ignore[index]
    assert "<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_object().get_data().decode()  # type: ignore[attr-defined]
    assert tags <= {str(one["/S"]) for one in found}
    assert all(one.get("/Alt") for one in found if one["/S"] == "/Figure")


@pytest.mark.parametrize("page", PAGES)
def test_a_page_brings_its_fonts(pdfs: dict[str, bytes], page: str) -> None:
    embedded = list(fonts(PdfReader(BytesIO(pdfs[page]))))

    assert any("SofiaSans" in str(dict(font)["/FontName"]) for font in embedded)
    assert all({"/FontFile2", "/FontFile3"} & set(font) for font in embedded)


@pytest.mark.parametrize("page", PAGES)
def test_poppler_finds_nothing_to_complain_of(pdfs: dict[str, bytes], page: str, tmp_path: Path) -> None:
    """Poppler 22.12 takes `/Suspects false` for one of the wrong type; ISO 32000-1 (table 321) lets it be left out."""
    marked = PdfReader(BytesIO(pdfs[page])).root_object["/MarkInfo"]
    assert dict(marked) == {"/Marked": True}  # type: ignore[call-overload]

    if poppler := shutil.which("pdfinfo"):
        file = tmp_path / "page.pdf"
        file.write_bytes(pdfs[page])
        asked = subprocess.run([poppler, file], capture_output=True, text=True, check=True)
        assert (asked.stderr, "Tagged:          yes" in asked.stdout) == ("", True)


def test_a_players_page_shows_the_map_the_trend_and_what_to_ask_for_and_says_what_they_show(
    pdfs: dict[str, bytes],
) -> None:
    """Ada met three of six wanted balls often enough; on paper as on the screen."""
    root = PdfReader(BytesIO(pdfs["player"])).root_object
    told = [str(one["/Alt"]) for one in elements(root["/StructTreeRoot"]) if one["/S"] == "/Figure"]

    assert told[0].startswith("Balls met:")
    assert "3 of 6 met" in told[0]
    assert told[1].startswith("Success from ")
    assert len([one for one in told if one.startswith("from ")]) == 3
    assert "Balls met: 3 of 6" in text_of(pdfs["player"])


def test_the_picture_of_the_clubs_week_says_what_is_in_and_what_is_to_be_corrected(pdfs: dict[str, bytes]) -> None:
    """On Tuesday 11 March Ada has a log, and a line of Ben is refused."""
    root = PdfReader(BytesIO(pdfs["club week"])).root_object
    signs = [str(one["/Alt"]) for one in elements(root["/StructTreeRoot"]) if one["/S"] == "/Figure"]

    assert signs[:2] == ["log is in", "line to correct"]
    assert "Juniors 1 of 2 in Mon 10 0 Tue 11 1 Wed 12 0" in text_of(pdfs["club week"])
    assert "Ada Lind 80 Ben Orr no log" in text_of(pdfs["club week"])


def test_the_weeks_are_told_in_words_to_who_does_not_see_them(desk: Desk, pdfs: dict[str, bytes]) -> None:
    weeks = questions.player_weeks(desk, WEEK_11, "ADA")
    root = PdfReader(BytesIO(pdfs["player"])).root_object
    *_, figure = [one for one in elements(root["/StructTreeRoot"]) if one["/S"] == "/Figure"]

    assert figure["/Alt"] == weeks_words.weeks_alt("Balls", weeks, date(2025, 3, 11))
    assert "3 March 80; 10 March 80." in str(figure["/Alt"])


@pytest.mark.parametrize("page", PAGES)
def test_the_same_figures_make_the_same_file(desk: Desk, pdfs: dict[str, bytes], page: str) -> None:
    built_at = questions.this_build(desk).built_at

    assert PAGES[page](desk) == pdfs[page]
    assert PdfReader(BytesIO(pdfs[page])).metadata.creation_date == built_at.replace(microsecond=0, tzinfo=UTC)  # type: ignore[union-attr]


def test_a_week_without_a_log_is_crossed_and_not_drawn_as_nothing() -> None:
    drawn = weeks_drawn([Bar(date(2026, 3, 2), 40), Bar(date(2026, 3, 9), None), Bar(date(2026, 3, 16), 80)])
    heights = [float(height) for height in re.findall(r'<rect[^>]* height="([0-9.]+)"', drawn)]

    assert heights == [34.0, 68.0]
    assert drawn.count("<path") == 1
    assert [text for text in re.findall(r">([^<>]+)</text>", drawn) if "Mar" in text] == ["2 Mar", "9 Mar", "16 Mar"]


# What people type


def ascii_of(text: str) -> str:
    return re.sub(r"[^!-~]", "", text)


def is_moved(sign: str) -> bool:
    """Where a reader of PDF puts it is its own affair: letters from right to left, and marks on other letters."""
    return unicodedata.bidirectional(sign) in ("R", "AL", "AN", "NSM")


def test_the_naughty_strings_come_out_as_they_went_in() -> None:
    """Source and licence of the list: tests/naughty/README.md. Signs beyond ASCII have their tests below."""
    said = ascii_of(text_of(typeset(sheet_of(*LIST, is_table=False))))
    in_a_row = [text for text in LIST if not any(is_moved(sign) for sign in text)]

    assert len(in_a_row) > 400
    assert [text for text in in_a_row if ascii_of(text) not in said] == []


TEMPLATE_WORDS = (
    '#read("look.typ")',
    "#panic()",
    '#import "look.typ": *',
    "= Heading",
    "- item",
    "*bold* _slanted_ `raw`",
    "$x^2$",
    "@reference <label>",
    "\\u{41} \\# //comment /* comment */",
    '"), panic(), ("',
    "https://example.org --- ~ ...",
    '{"kind": "heading"}',
)


def test_no_name_is_taken_for_a_templates_markup() -> None:
    said = text_of(typeset(sheet_of(*TEMPLATE_WORDS, title=TEMPLATE_WORDS[0])))

    assert [text for text in TEMPLATE_WORDS if said.count(text) < 2] == []
    assert said.count(TEMPLATE_WORDS[0]) == 4


@pytest.mark.parametrize(
    "name", ["Anna Šimić-Łukaszewska", "Đặng Thị Ngọc", "Ελένη Παπαδοπούλου", "Дмитрий Щукин", "Þórdís Æsa", "Ömer Şık"]
)
def test_a_name_in_latin_greek_or_cyrillic_letters_comes_out_whole(name: str) -> None:
    assert text_of(typeset(sheet_of(name, title=name))).count(name) == 4


@pytest.mark.parametrize("name", ["محمد علي", "שלום כהן"])
def test_a_name_from_right_to_left_has_all_its_letters(name: str) -> None:
    said = text_of(typeset(sheet_of(name)))

    assert INSTEAD not in said
    assert not Counter(name.replace(" ", "") * 3) - Counter(said)


@pytest.fixture
def only_bundled_fonts(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without fonts of its own."""
    bundled = typesetting._fonts(of_this_machine=False)
    monkeypatch.setattr(typesetting, "_fonts", lambda **_: bundled)


@pytest.mark.usefixtures("only_bundled_fonts")
@pytest.mark.parametrize(
    ("name", "shown_as", "told"),
    [
        ("Wang 王", f"Wang {INSTEAD}", "U+738B CJK UNIFIED IDEOGRAPH-738B"),
        ("Kim 😀", f"Kim {INSTEAD}", "U+1F600 GRINNING FACE"),
        ("Ann 1️⃣ Bär", "Bär", "U+20E3 COMBINING ENCLOSING KEYCAP"),
    ],
)
def test_what_no_font_has_is_marked_and_named_and_the_rest_stays(name: str, shown_as: str, told: str) -> None:
    said = text_of(typeset(sheet_of(name, "Jürgen 123")))

    assert shown_as in said
    assert "Jürgen 123" in said
    assert f"{INSTEAD} stands for a sign that no font on this machine has: " in said
    assert told in said


def test_a_sign_that_turns_what_follows_turns_nothing() -> None:
    """U+202E, RIGHT-TO-LEFT OVERRIDE (Unicode Standard Annex 9)."""
    assert text_of(typeset(sheet_of("a\u202eb 12", "c\x00d\te"))).count("a b 12 c d e") == 1


@pytest.fixture(scope="module")
def naughty_club(tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    folder = DataFolder(tmp_path_factory.mktemp("naughty-paper") / "club")
    folder.path.mkdir()
    name = "<script>alert(1)</script> #panic() *club*"
    folder.settings_file.write_text(f"club_name = {json.dumps(name)}\n", encoding="utf-8")
    return club_of([*TEMPLATE_WORDS], folder)


@pytest.mark.proof
def test_a_club_whose_everything_is_called_so_has_all_its_pages(naughty_club: DataFolder) -> None:
    desk = owners_desk(naughty_club)
    weeks = text_of(club_week_made(desk, "2026-05-04").pdf)
    sheet = text_of(session_sheet_made(desk).pdf)
    pages = [text_of(player_page_made(desk, f"N{at}").pdf) for at in range(len(TEMPLATE_WORDS))]

    assert [name for name, page in zip(TEMPLATE_WORDS, pages, strict=True) if f"{name}: my training" not in page] == []
    assert all("<script>alert(1)</script> #panic() *club*" in page for page in (weeks, sheet, *pages))
    assert [name for name in TEMPLATE_WORDS if name not in sheet] == []
    assert f"saw '{TEMPLATE_WORDS[6]}'" in weeks


CORPUS = Path(__file__).parents[2] / "node_modules" / "csv-spectrum" / "json"


def test_the_cells_of_csv_spectrum_come_out_as_they_went_in() -> None:
    """The npm package csv-spectrum by Max Ogden (BSD-2-Clause); `.ci/run` installs it."""
    if not CORPUS.is_dir():
        told = "no npm package csv-spectrum here; .ci/run installs it"
        if os.environ.get("HALFLONG_BROWSER") == "required":
            pytest.fail(told)
        pytest.skip(told)
    tables = [json.loads(file.read_text("utf-8")) for file in sorted(CORPUS.iterdir())]
    rows = [row for table in tables for row in (table if isinstance(table, list) else [table])]
    cells = [one_line(printable(cell)) for row in rows for cell in row.values() if cell.strip()]

    said = text_of(typeset(sheet_of(*cells)))

    assert len(cells) > 20
    assert [cell for cell in cells if cell not in said] == []


# The commands


def test_a_report_and_a_sheet_are_written_and_never_written_over(small_club: DataFolder, tmp_path: Path) -> None:
    report, sheet = tmp_path / "ada.pdf", tmp_path / "sheet.pdf"

    for command in (("report", "ADA", report), ("sheet", sheet)):
        done = halflong(*command, "--data", small_club.path)
        assert done.exit_code == 0, done.output
        again = halflong(*command, "--data", small_club.path)
        assert isinstance(again.exception, FolderProblem)
        assert "is there already, and is not written over unless --replace is given" in str(again.exception)
        assert halflong(*command, "--replace", "--data", small_club.path).exit_code == 0

    assert "Ada Lind: my training" in text_of(report.read_bytes())
    assert "Session sheet" in text_of(sheet.read_bytes())
    assert stat.S_IMODE(report.stat().st_mode) == 0o600
    assert sorted(file.name for file in tmp_path.iterdir() if file.is_file()) == ["ada.pdf", "sheet.pdf"]


def test_where_no_page_can_be_made_no_file_is_left(small_club: DataFolder, tmp_path: Path) -> None:
    for player, place, problem in (("NOBODY", tmp_path, NotOnPaper), ("ADA", tmp_path / "nowhere", FolderProblem)):
        done = halflong("report", player, place / "page.pdf", "--data", small_club.path)
        assert isinstance(done.exception, problem)

    assert not list(tmp_path.rglob("page.pdf"))
