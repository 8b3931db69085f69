"""The session sheet: choices to ring and boxes to count in, for one player or for six; typed back in its order."""

from typing import Any, Literal

from dashboard import questions
from dashboard.paper.sheets import Sheet, sheet
from dashboard.questions import Desk
from dashboard.words.cautions import BEFORE_YOU_MOVE_IT, MOVING_A_FEEDER, WHO_DECIDES
from dashboard.words.phrases import label
from ingest.written_block import WHO_AND_WHEN
from ingest.written_lines import asked_as
from models.records import SessionLine
from models.words import WordList
from models.written_line import COUNTED, RINGED, keys_of

PaperSize = Literal["a4", "us-letter"]

BLOCKS = {1: 6, 6: 3}
"""How many blocks stand on a sheet for so many players."""

HOW_TO = (
    "Ring what is fed; what nobody decided stays as it is. Count good balls in fives; then write the counts. It is "
    "typed back on the page “Type a sheet”, a line for each block: the setup, the letters of what is ringed, counts."
)


def session_sheet(desk: Desk, players: int = 1, size: PaperSize = "a4") -> Sheet:
    """An empty sheet with the club's setups, for so many players (1 or 6). Raises NothingPublished."""
    setups = questions.setup_names(desk)
    return sheet(
        desk,
        "Session sheet" if players == 1 else f"Session sheet for {players} players",
        "session_sheet.typ",
        foot="good + net + long + wide + missed = balls",
        paper=size,
        who_and_when=[asked_as(column) for column in WHO_AND_WHEN if players == 1 or column.name != "player"],
        players=players,
        blocks=BLOCKS[players],
        ringed=[{"title": "Setup", "choices": [(code, "") for code in setups]}, *map(_choices, RINGED)],
        counted=[label(column) for column in COUNTED],
        figures=["Tempo, balls/min (t)", "Minutes (m)"],
        setups_title="Setups",
        setups=[*setups.items()],
        how_to=HOW_TO,
        expects=[f"Rule for {rule.column}: {rule.expected}." for rule in SessionLine.rules],
        cautions_title=BEFORE_YOU_MOVE_IT,
        cautions=[*MOVING_A_FEEDER, WHO_DECIDES],
    )


def _choices(words: WordList) -> dict[str, Any]:
    """A row of choices: each word with the key that is typed for it."""
    return {
        "title": (words.title or words.name).removesuffix(", finely").capitalize(),
        "choices": [(label(word), key) for word, key in keys_of(words).items()],
    }
