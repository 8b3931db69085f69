"""CSV files as people really have them: bytes in, plain cells out."""

import shutil
import subprocess

import pytest

from ingest.reading import read_log
from tests.ingest.log_files import HEADER, LINE, SESSIONS, column, filled, sessions, why_unreadable

REQUIRED = dict(zip(HEADER, LINE, strict=True))


def taken(content):
    return read_log("week12.csv", content).taken


@pytest.mark.parametrize(
    ("codec", "mark", "name"),
    [
        ("utf-8", b"", "UTF-8"),
        ("utf-8", b"\xef\xbb\xbf", "UTF-8 with BOM"),
        ("utf-16-le", b"\xff\xfe", "UTF-16"),
        ("utf-16-be", b"\xfe\xff", "UTF-16"),
        ("utf-16-le", b"", "UTF-16"),
        ("utf-16-be", b"", "UTF-16"),
        ("cp1252", b"", "Windows-1252"),
    ],
)
def test_a_coach_with_an_umlaut_arrives_in_every_encoding(codec, mark, name):
    """Byte order marks: the Unicode Standard, section 23.8."""
    reading = read_log("week12.csv", mark + sessions(coach=["Jürgen Weiß – “Jü”"]).encode(codec))

    assert (reading.taken.encoding, reading.lines["coach"][0]) == (name, "Jürgen Weiß – “Jü”")


def test_euro_sign_and_curly_quotes_are_read_by_the_published_table_of_windows_1252():
    """CP1252.TXT of the Unicode consortium: 0x80 is U+20AC, 0x84 is U+201E, 0x93 is U+201C, 0x9F is U+0178."""
    content = sessions(note=["?"]).encode().replace(b"?", b"\xfc\x80\x84\x93\x9f")

    assert column(content, "note") == ["ü\u20ac\u201e\u201c\u0178"]


@pytest.mark.parametrize("byte", [0x81, 0x8D, 0x8F, 0x90, 0x9D])
def test_a_byte_that_windows_1252_leaves_undefined_is_named_with_its_line(byte):
    """CP1252.TXT of the Unicode consortium marks these five as undefined."""
    content = sessions(note=["fine", "?"]).encode().replace(b"?", bytes([0xFC, byte]))

    assert f"byte 0x{byte:02X} on line 3" in why_unreadable(content)


def test_one_damaged_letter_does_not_turn_the_other_letters_of_a_utf_8_file_into_nonsense():
    content = sessions(coach=["Jürgen", "Björn"], note=["", "?"]).encode().replace(b"?", b"\xfc")

    assert "byte 0xFC on line 3" in why_unreadable(content)


@pytest.mark.parametrize(("separator", "name"), [(",", "comma"), (";", "semicolon"), ("\t", "tab")])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_any_separator_and_any_line_end_give_the_same_lines(separator, name, line_end):
    reading = read_log("week12.csv", sessions(separator=separator, line_end=line_end, feed=["1", "2"]).encode())

    assert filled(reading) == [REQUIRED | {"feed": "1"}, REQUIRED | {"feed": "2"}]
    assert reading.lines["line"].to_list() == [2, 3]
    assert reading.taken.separator == name


def test_the_header_tells_the_separator_even_where_another_sign_is_more_frequent():
    content = sessions(separator=";", note=["a,b,c,d,e,f,g,h,i,j,k,l,m,n,o,p"]).encode()

    assert column(content, "note") == ["a,b,c,d,e,f,g,h,i,j,k,l,m,n,o,p"]


@pytest.mark.parametrize(
    ("separator", "first"), [(";", "sep=;"), ("\t", "SEP=\t"), (",", '"sep=,"'), (";", "\ufeffsep=;")]
)
def test_a_first_line_that_names_the_separator_is_obeyed(separator, first):
    content = f"{first}\r\n{sessions(separator=separator)}".encode()

    assert filled(read_log("week12.csv", content)) == [REQUIRED]
    assert taken(content).header_line == 2


@pytest.mark.parametrize(
    "header",
    [
        "session_date,player,setup,spin,length,balls,good,tempo_bpm",
        "Session Date,PLAYER,Setup,Spin,Length,Balls,Good,Tempo BPM",
        "session-date, player ,set up,spin,length,balls,good,TempoBpm",
        '"session\ndate",player,setup,spin,length,balls,good,"tempo\r\n(bpm"'.replace("(", ""),
        "\u00a0session_date,player\u200b,setup,spin,length,balls,good,tempo__bpm",
    ],
)
def test_column_names_are_known_in_any_case_and_spacing(header):
    content = f"{header}\n{','.join(LINE)},45\n".encode()

    assert filled(read_log("week12.csv", content)) == [REQUIRED | {"tempo_bpm": "45"}]


@pytest.mark.parametrize(
    ("above", "header_line"),
    [
        ("Week 12\n", 2),
        ("Training log\n\nTable-tennis club, hall 2\nplayer,group\n", 5),
        ("\n\n\n\n\n\n\n\n", 9),
        ("a\nb\nc\nd\ne\n", 6),
        ('"a title\non two lines",,,\n', 3),
    ],
)
def test_titles_and_empty_lines_above_the_header_are_passed_over(above, header_line):
    content = (above + SESSIONS).encode()

    assert filled(read_log("week12.csv", content)) == [REQUIRED]
    assert taken(content).header_line == header_line
    assert f"The column names stand on line {header_line}; nothing above was read." in taken(content).sentences


def test_empty_lines_and_columns_at_the_end_are_no_lines_and_no_columns():
    content = sessions(feed=["1", "2"]).replace("\n", ",,,\n") + ",,,,,,\n   \n\u00a0,\t\n\n"

    reading = read_log("week12.csv", content.encode())

    assert filled(reading) == [REQUIRED | {"feed": "1"}, REQUIRED | {"feed": "2"}]
    assert reading.header == (*HEADER, "feed")
    assert reading.malformed == ()


def test_cells_left_away_at_the_end_of_a_line_are_empty():
    content = sessions(minutes=["5"], note=["late"]) + ",".join(LINE) + "\n"

    assert column(content.encode(), "note") == ["late", None]


def test_a_quoted_cell_may_hold_separators_line_breaks_and_doubled_quotes():
    """RFC 4180, section 2, rules 6 and 7."""
    content = sessions(note=['"he said ""long"", twice\r\nand left"', "next"]).encode()

    reading = read_log("week12.csv", content)

    assert reading.lines["note"].to_list() == ['he said "long", twice\r\nand left', "next"]


def test_a_line_is_numbered_as_an_editor_numbers_the_line_where_it_begins():
    content = sessions(note=['"one\ntwo\r\nthree"', "next", '"\n"', "last"]).replace("next", "next\n\n").encode()

    assert read_log("week12.csv", content).lines["line"].to_list() == [2, 5, 8, 10]


def test_cells_are_trimmed_of_every_blank_that_people_paste():
    """U+00A0 and U+202F are the no-break spaces, U+FEFF and U+200B are invisible (the Unicode Standard)."""
    content = sessions(coach=["\u00a0\ufeff M.  Roe\u200b \u202f"], stroke=[" \u2007"]).encode()

    assert column(content, "coach") == ["M.  Roe"]
    assert column(content, "stroke") == [None]


def test_what_was_typed_is_kept_beside_the_plain_text():
    """For the file of refusals: the person who mends a line must recognise it."""
    content = sessions(separator=";", tempo_bpm=["40,5"], note=[' a "quoted" word ']).replace(LINE[0], "2.3.2026")

    reading = read_log("week12.csv", content.encode())

    assert reading.header == (*HEADER, "tempo_bpm", "note")
    assert reading.cells.row(0) == (2, "2.3.2026", *LINE[1:], "40,5", ' a "quoted" word ')


def test_a_line_with_more_cells_than_the_header_is_refused_and_the_others_are_read():
    content = SESSIONS + ",".join([*LINE, "", "early", "x"]) + "\n" + ",".join(LINE) + "\n"

    reading = read_log("week12.csv", content.encode())

    assert [(refusal.line, refusal.seen) for refusal in reading.malformed] == [(3, "early")]
    assert "quotes around a cell that holds the comma" in reading.malformed[0].to_do
    assert reading.lines["line"].to_list() == [2, 4]
    assert reading.cells["line"].to_list() == [2, 3, 4]
    assert reading.cells.row(1) == (3, *LINE, "", "early", "x")


@pytest.mark.parametrize(
    ("note", "line"),
    [
        ('"never closed', 3),
        ('"closed" and then more', 3),
        ('"he said "long""', 3),
        ('"opened\nand closed by the quote that opens,"the next"', 3),
    ],
)
def test_quotes_that_do_not_match_refuse_the_file_from_a_named_line_on(note, line):
    """An open quote swallows lines; which ones, nobody can tell, so that none is taken."""
    content = sessions(note=["fine", note, "fine"]).encode()

    assert f"quotes that do not match, from line {line} on" in why_unreadable(content)


def test_lines_swallowed_between_an_open_quote_and_a_stray_one_do_not_vanish_into_a_note():
    """Both quotes may stand where a quoted cell begins and ends; only the lines between them show the mistake."""
    content = sessions(note=["fine", '"opened', "fine", 'a gap of 2"', "fine"]).encode()

    assert "quotes that do not match, from line 3 on" in why_unreadable(content)


def test_a_note_of_several_lines_may_hold_a_few_separators():
    note = "first, second,\nthird, fourth, fifth,\nsixth"

    assert column(sessions(note=[f'"{note}"']).encode(), "note") == [note]


def test_an_open_quote_in_the_title_is_named_as_what_hides_the_header():
    assert "quotes that do not match, from line 1 on" in why_unreadable(('"Week 12\n' + SESSIONS).encode())


def test_a_quote_within_an_unquoted_cell_is_only_a_sign():
    assert column(sessions(note=['a 2" gap']).encode(), "note") == ['a 2" gap']


def test_columns_that_no_log_knows_are_reported_as_typed():
    content = sessions(Weather=["sun"], **{"": ["stray"], "Hall No.": ["2"]}).encode()

    assert taken(content).ignored_columns == ("Weather", "a column without a name, with 'stray'", "Hall No.")
    assert "Weather" in taken(content).sentences[-1]


def test_a_file_of_refusals_is_read_again_with_what_it_mends_and_without_its_reasons():
    content = sessions(mends=["4f2a:7"], refused_because=['"spin: expected, among others, backspin"']).encode()

    reading = read_log("refused.csv", content)

    assert reading.lines["mends"].to_list() == ["4f2a:7"]
    assert reading.header == (*HEADER, "mends")
    assert reading.cells.columns == ["line", *(f"c{place}" for place in range(8))]
    assert reading.cells.row(0)[1:] == (*LINE, "4f2a:7")
    assert reading.taken.ignored_columns == ()


def test_a_file_that_mends_nothing_has_an_empty_mends_column():
    assert read_log("week12.csv", SESSIONS.encode()).lines["mends"].to_list() == [None]


def test_the_file_is_known_by_the_sha_256_of_its_bytes(tmp_path):
    """Against the system's own sha256sum (GNU coreutils), where there is one."""
    if shutil.which("sha256sum") is None:
        pytest.skip("no sha256sum on this machine")
    path = tmp_path / "week12.csv"
    path.write_bytes(SESSIONS.encode())

    said = subprocess.run(["sha256sum", path], capture_output=True, text=True, check=True).stdout.split()[0]

    assert taken(SESSIONS.encode()).sha256 == said


def test_what_was_taken_is_said_in_plain_sentences():
    content = sessions(separator=";", tempo_bpm=["40,5"], Weather=["sun"]).replace(LINE[0], "2.3.2026").encode()

    assert taken(content).sentences == (
        "week12.csv is a sessions log: CSV in UTF-8, separated by semicolons.",
        "The decimal sign is the comma.",
        "Dates: day first: 2.3.2026 is 2026-03-02.",
        "Columns that this log does not know were not read: Weather.",
    )
