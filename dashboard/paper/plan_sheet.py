"""A kept plan on paper: each block as a drawing, how to set the feeder, boxes to tick, and a code for the phone."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any, Literal

from dashboard import questions
from dashboard.paper.addresses import table_block
from dashboard.paper.planned_kind import kind_on_paper
from dashboard.paper.qr import qr_drawing
from dashboard.paper.sheets import NotOnPaper, Sheet, sheet
from dashboard.questions import Desk
from dashboard.rows.feeding import SetupRow
from dashboard.services import plans
from dashboard.words.cautions import IN_SHORT
from dashboard.words.phrases import balls, label
from dashboard.words.plan import kept_in_short, setup_called
from models.kept_plan import KeptBlock, KeptPlan
from models.settings import Settings
from models.stance import Handedness, Place, distance_cm
from models.words import OUTCOME

Size = Literal["a4", "us-letter"]
SIZES: dict[str, Size] = {"a4": "a4", "letter": "us-letter"}
"""What a paper is called in an address and by a command."""

MOST_TICKS = 60
"""So many balls have a circle each; of more, every five are a stroke in a box."""

HOW_TO_TICK = (
    "A filled circle is a good ball, a crossed one is not. Arrow over the ball: topspin; under it: backspin; hollow: "
    "no spin. Dots on the line: the tempo. Ring with a dot: it lands; small ring: second bounce. Feet: be ready. Left "
    "and right are the player's."
)
COUNTS = "good + net + long + wide + missed = balls"


def plan_sheet(desk: Desk, player: str, today: date, address: str | None, size: Size = "a4") -> Sheet:
    """The next kept plan of a player. `address`: under which phones reach the club's pages; None leaves out the codes.

    Raises NotPermitted, NothingPublished, NotOnPaper.
    """
    plan = plans.next_kept(desk, player, today)
    row = next((row for row in questions.players(desk) if row.player_id == player), None)
    if plan is None or row is None:
        raise NotOnPaper(f"No plan is kept for {player}. Make one on the page “Next session”, and keep it.")
    settings = questions.settings(desk)
    feeders = {one.setup_id: one for one in questions.setups_now(desk, row.handedness)}
    blocks = list(_blocks(desk, plan, row.handedness, feeders, settings))
    lettered(blocks)
    for at, block in enumerate(blocks, start=1):
        block["code"] = qr_drawing(table_block(address, player, plan.meant_for, at)) if address else None
    return sheet(
        desk,
        row.name,
        "plan_sheet.typ",
        foot=COUNTS,
        paper=size,
        day=f"{plan.meant_for:%A} {plan.meant_for.day} {plan.meant_for:%B %Y}",
        in_short=kept_in_short(plan),
        caution=f"Before each move of the feeder: {IN_SHORT}",
        blocks=blocks,
        outcomes=[label(word) for word in OUTCOME.names],
        how_to_tick=HOW_TO_TICK + (" The code opens the block on the phone." if address else ""),
    )


def _blocks(
    desk: Desk, plan: KeptPlan, hand: Handedness, feeders: Mapping[str, SetupRow], settings: Settings
) -> Iterator[dict[str, Any]]:
    before: SetupRow | None = None
    for number, block in enumerate(plan.blocks, start=1):
        feeder = feeders.get(str(block.kinds[0].feed["setup"]))
        is_new = number == 1 or feeder != before
        yield {
            "number": number,
            "place": _place(block, feeder, before if number > 1 else None) if is_new else None,
            "title": _title(block),
            "minutes": f"about {max(round(block.minutes), 1)} min",
            "kinds": [kind_on_paper(desk, one, feeder, hand, settings) for one in block.kinds],
            "calls": _calls(block),
            "balls": block.balls,
            "circles": block.balls if block.balls <= MOST_TICKS else 0,
        }
        before = feeder


def _place(block: KeptBlock, feeder: SetupRow | None, before: SetupRow | None) -> dict[str, str]:
    code = str(block.kinds[0].feed["setup"])
    if feeder is None:
        return {"called": code, "way": "this setup is no longer there"}
    called = setup_called(code, {code: feeder.name})
    if before is None:
        return {"called": called, "way": "begin here"}
    away_cm = distance_cm(Place(before.x_cm, before.y_cm), Place(feeder.x_cm, feeder.y_cm))
    return {"called": called, "way": f"move the feeder {away_cm:.0f} cm" if away_cm >= 1 else "the same place"}


def _title(block: KeptBlock) -> str:
    if block.calls:
        return f"Closing mix, {balls(block.balls)} in this order"
    if len(block.kinds) > 1:
        return f"{len(block.kinds)} balls {'in turn' if block.order == 'serial' else 'mixed'}, {balls(block.balls)}"
    return balls(block.balls)


def _calls(block: KeptBlock) -> list[str]:
    """The order of a closing mix in fives, a letter for each kind; none for any other block."""
    letters = [LETTERS[call] for call in block.calls]
    return ["".join(letters[at : at + 5]) for at in range(0, len(letters), 5)]


LETTERS = "ABCDEFGH"


def lettered(blocks: Sequence[dict[str, Any]]) -> None:
    """Give the kinds of each block that has several their letters."""
    for block in blocks:
        if len(block["kinds"]) > 1:
            for letter, kind in zip(LETTERS, block["kinds"], strict=False):
                kind["letter"] = letter
