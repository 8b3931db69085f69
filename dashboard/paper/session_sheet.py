"""The session sheet: what the form asks for, to be filled in by hand beside the table and typed in later."""

from dashboard import questions
from dashboard.paper.sheets import Sheet, sheet
from dashboard.questions import Desk
from dashboard.words.cautions import BEFORE_YOU_MOVE_IT, MOVING_A_FEEDER, WHO_DECIDES
from dashboard.words.phrases import label
from ingest.written_block import WHO_AND_WHEN, asked_as
from models.records import Column, SessionLine, columns_of
from models.shapes import Code, Number, OneOf, Text, WholeNumber

LINES = 10

ROOM: dict[type, float] = {OneOf: 1.6, Code: 1.4, Number: 1.2, WholeNumber: 0.9, Text: 3.0}
ROOM_FOR_STROKES = 1.4
"""How wide a column is, compared with one for a number; balls may be counted in strokes."""

IN_THE_LINES = tuple(column for column in columns_of(SessionLine) if column not in WHO_AND_WHEN)


def session_sheet(desk: Desk) -> Sheet:
    """An empty sheet with the club's setups. Raises NothingPublished."""
    setups = questions.setup_names(desk)
    return sheet(
        desk,
        "Session sheet",
        "session_sheet.typ",
        foot="What is written here goes in on the page “Write a block”. A star: is needed.",
        who_and_when=[asked_as(column) for column in WHO_AND_WHEN],
        columns=[{"title": asked_as(column), "width": _room(column)} for column in IN_THE_LINES],
        lines=LINES,
        setups_title="Setups",
        setups=[*setups.items()],
        takes_title="What goes into the columns",
        takes=[(asked_as(one), _takes(one)) for one in IN_THE_LINES],
        expects=[(f"Rule for {rule.column}:", rule.expected) for rule in SessionLine.rules],
        cautions_title=BEFORE_YOU_MOVE_IT,
        cautions=[*MOVING_A_FEEDER, WHO_DECIDES],
    )


def _room(column: Column) -> float:
    return ROOM_FOR_STROKES if column.shape.unit == "balls" else ROOM[type(column.shape)]


def _takes(column: Column) -> str:
    if isinstance(column.shape, OneOf):
        return f"{column.help}: {', '.join(map(label, column.shape.words.names))}"
    return column.help
