"""The README of the demo club and the list of planted mistakes, written from what was planted."""

import csv
import io
from collections.abc import Sequence

from demo_data.files import CORRECTION_FILE, MISCOUNTED_DAY, MISCOUNTED_FILE, WEB_PAGE_FILE, PlantedMistake
from demo_data.people import PLAYERS
from demo_data.stories import STORIES

_TEXT = """\
# The demo club

Lirrowford, its club, its people, its halls and every ball in these files are invented. Nobody here exists, and nothing
here may be quoted as a finding about training.

`club/` holds the settings, players, feeders, setups and targets (left and right as the players see the feeder), and
where single balls of the robot landed one evening; `logs/` holds {weeks} weeks of logs, written by three hands, with a
workbook from the summer camp, and named so that they load in order. All of it, this page included, is written by

    uv run python -m demo_data.make_demo_club

which gives the same files every time. Change the generator, not the files.

Two players sat a fixed test set three times (`*-test-set.csv`): one is better months later, of the other nobody can
say.

## Who writes how

| file | hand |
|---|---|
| `*-main-hall.csv`, `*-ball-by-ball.csv` | comma, UTF-8, ISO dates; some with a byte order mark, some with empty ends |
| `*-annex.csv` | semicolon, decimal comma, Windows-1252, day first with dots, a title line, words as they are spoken |
| `*-school-gym.csv` | tab, UTF-16, day first with slashes, capital letters in the header, the player first |
| `*-summer-camp.xlsx` | a workbook with true dates and numbers, two sessions a day |

A week without a day after the 12th is dated the ISO way, since its dates could be read both ways.

## The planted stories

| player | name | story |
|---|---|---|
{stories}

Everybody else trains as people do. Their success follows ability, the difficulty of the ball and the luck of the block.

## The planted mistakes

{count} lines are to be refused. The line is counted from 1, title and header included. The same list for machines:
`planted_mistakes.csv`.

| file | line | column | seen | what it is |
|---|---|---|---|---|
{mistakes}

Two whole files are out of order as well:

- `{web_page}` is a web page that a browser saved under the name of a log. It is to be refused whole.
- In `{miscounted}` the misses of {day} were written down as the good balls.
  `{correction}` has the same lines with the right counts; it is to supersede them.
"""


def readme(mistakes: Sequence[PlantedMistake], weeks: int) -> bytes:
    """The page that says what is invented, who is what, and where the mistakes are."""
    name_of = {player.player: player.name for player in PLAYERS}
    return _TEXT.format(
        weeks=weeks,
        stories="\n".join(f"| {s.player} | {name_of[s.player]} | {s.in_words} |" for s in STORIES),
        count=len(mistakes),
        mistakes="\n".join(
            f"| `{m.file}` | {m.line} | {m.mistake.column} | {m.seen or '(empty)'} | {m.mistake.what} |"
            for m in mistakes
        ),
        web_page=WEB_PAGE_FILE,
        miscounted=MISCOUNTED_FILE,
        correction=CORRECTION_FILE,
        day=MISCOUNTED_DAY,
    ).encode()


def mistakes_table(mistakes: Sequence[PlantedMistake]) -> bytes:
    """The planted mistakes as a CSV file."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(("file", "line", "column", "seen", "what"))
    writer.writerows((m.file, m.line, m.mistake.column, m.seen, m.mistake.what) for m in mistakes)
    return text.getvalue().encode()
