"""Plans of a player's next session: made of what the player lacks, and kept for the table.

A player has one plan for a day; a new one takes its place. Plans are open to whoever may see the player, and made by
those who train. Whatever is asked or done here raises NotPermitted for anybody else, and NothingPublished.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from dashboard import questions
from dashboard.questions import Desk, require_open
from dashboard.words.phrases import DIMENSIONS
from models import planning
from models.permits import require_planner
from models.planning import Feed, Gap, Plan, PlannedBlock, Stand
from models.stance import Place
from sql.club.file import ClubConnection, all_or_nothing, club_file, now_utc

MOST_GAPS = 400
"""As many combinations as the grid of a target may have."""

Row = Mapping[str, Any]


class NothingToPlan(Exception):
    """There is nothing that a plan could be made of; the text says why."""


@dataclass(frozen=True)
class Proposal:
    """A plan for so many minutes, and what the published tables say of the gaps that it is made of, by rank."""

    player_id: str
    minutes: float
    gaps: Mapping[int, Row]
    setups: Mapping[str, str]
    """The names of the setups by code."""
    plan: Plan


@dataclass(frozen=True)
class KeptKind:
    """One kind of ball in a kept block: as a feed of the ball log, the wanted combination, how many, and why."""

    feed: Feed
    wanted: dict[str, str | None]
    balls: int
    why: str


@dataclass(frozen=True)
class KeptBlock:
    """A block of a kept plan. Done: a block of these balls was begun at the table since the plan was made."""

    order: str
    minutes: float
    kinds: tuple[KeptKind, ...]
    is_done: bool

    @property
    def balls(self) -> int:
        """All balls of the block."""
        return sum(kind.balls for kind in self.kinds)


@dataclass(frozen=True)
class KeptPlan:
    """A plan that waits for its day; the maker is None where it came from the command line, or has left."""

    meant_for: date
    maker: str | None
    minutes: float
    balls: int
    blocks: tuple[KeptBlock, ...]


def proposed(desk: Desk, player_id: str, minutes: float) -> Proposal:
    """A plan of so many minutes for a player, out of report.gaps and the setups as they stand. Raises NothingToPlan."""
    require_planner(desk.reader)
    gaps = dict(enumerate(questions.feed_next(desk, player_id, MOST_GAPS).to_dicts(), start=1))
    setups = questions.setups_met_by(desk, player_id).to_dicts()
    if not gaps or not setups:
        raise NothingToPlan(_why_nothing(desk, player_id, has_setups=bool(setups)))
    plan = planning.plan(map(_gap, gaps, gaps.values()), _stands(setups), minutes, questions.settings(desk))
    if not plan.blocks:
        raise NothingToPlan(_why_no_block(plan, minutes))
    return Proposal(player_id, minutes, gaps, {setup["setup_id"]: setup["name"] for setup in setups}, plan)


def _gap(rank: int, row: Row) -> Gap:
    return Gap(rank, {dimension: row[dimension] for dimension in DIMENSIONS}, row["need_balls"], row["why"])


def _stands(setups: Iterable[Row]) -> list[Stand]:
    return [Stand(s["setup_id"], s["depth"], s["side"], Place(s["x_cm"], s["y_cm"])) for s in setups]


def _why_nothing(desk: Desk, player_id: str, *, has_setups: bool) -> str:
    weeks = questions.weeks(desk)
    if not weeks:
        return "No logs are loaded yet: with the first one it is known what is lacking."
    if questions.coverage(desk, weeks[0], player_id).is_empty():
        return "No target applies to this player, so nothing is wanted that could be planned."
    if not has_setups:
        return "No setups are loaded yet: a plan must know where the feeder can stand."
    return "Every wanted combination is covered, and none is clearly weak. Keep the mix."


def _why_no_block(plan: Plan, minutes: float) -> str:
    if any(one.why == "no_time" for one in plan.left_out):
        return f"Not one block fits into {minutes:g} minute{'' if minutes == 1 else 's'}."
    return "No setup of the club stands where the wanted balls should come from."


def changed(desk: Desk, proposal: Proposal, balls: Mapping[int, int]) -> Plan:
    """The plan with other numbers of balls, by rank of the gap; none leaves it out."""
    return planning.with_balls(proposal.plan, balls, questions.settings(desk))


def keep(desk: Desk, player_id: str, plan: Plan, meant_for: date, today: date) -> None:
    """Keep a plan for a day, in place of an earlier one for that day; the player's plans of past days go.

    Raises NothingToPlan where it has no block.
    """
    require_planner(desk.reader)
    require_open(desk, player_id)
    if not plan.blocks:
        raise NothingToPlan("The plan has no block left, so there is nothing to keep.")
    blocks = json.dumps([described(block) for block in plan.blocks])
    with club_file(desk.folder) as connection, all_or_nothing(connection):
        connection.execute(
            "delete from plans where player = ? and (meant_for = ? or meant_for < ?)",
            [player_id, meant_for.isoformat(), today.isoformat()],
        )
        connection.execute(
            "insert into plans (player, meant_for, account, made_at, minutes, balls, described)"
            " values (?, ?, ?, ?, ?, ?, ?)",
            [player_id, meant_for.isoformat(), desk.reader.account, now_utc(), plan.minutes, plan.balls, blocks],
        )


def drop(desk: Desk, player_id: str, meant_for: date) -> None:
    """Take back the plan for a day."""
    require_planner(desk.reader)
    require_open(desk, player_id)
    with club_file(desk.folder) as connection:
        connection.execute("delete from plans where player = ? and meant_for = ?", [player_id, meant_for.isoformat()])


def next_kept(desk: Desk, player_id: str, today: date) -> KeptPlan | None:
    """The plan for today, or else for the first day after it that has one."""
    require_open(desk, player_id)
    with club_file(desk.folder) as connection:
        row = connection.execute(
            "select p.meant_for, p.made_at, p.minutes, p.balls, p.described, a.name as maker"
            " from plans as p left join accounts as a on p.account = a.account"
            " where p.player = ? and p.meant_for >= ? order by p.meant_for limit 1",
            [player_id, today.isoformat()],
        ).fetchone()
        begun = _begun_since(connection, player_id, row["made_at"]) if row else []
    if row is None:
        return None
    blocks = tuple(_kept_block(told, begun) for told in json.loads(row["described"]))
    return KeptPlan(date.fromisoformat(row["meant_for"]), row["maker"], row["minutes"], row["balls"], blocks)


def described(block: PlannedBlock) -> dict[str, Any]:
    """A block as it is kept, and told to scripts."""
    kinds = [
        {
            "feed": drill.feed,
            "wanted": {dimension: word for dimension, word in drill.gap.words.items() if word is not None},
            "balls": drill.balls,
            "why": drill.gap.why,
        }
        for drill in block.drills
    ]
    return {"order": block.order, "minutes": round(block.minutes, 2), "kinds": kinds}


def _kept_block(told: Row, begun: Sequence[Sequence[Feed]]) -> KeptBlock:
    kinds = tuple(
        KeptKind(kind["feed"], dict.fromkeys(DIMENSIONS) | kind["wanted"], kind["balls"], kind["why"])
        for kind in told["kinds"]
    )
    is_done = any(_are_these([kind.feed for kind in kinds], feeds) for feeds in begun)
    return KeptBlock(told["order"], told["minutes"], kinds, is_done)


def _begun_since(connection: ClubConnection, player_id: str, made_at: str) -> list[list[Feed]]:
    rows = connection.execute(
        "select described from table_blocks where player = ? and begun_at >= ? and state <> 'dropped'",
        [player_id, made_at],
    )
    return [json.loads(row["described"])["feeds"] for row in rows.fetchall()]


def _are_these(planned: Sequence[Feed], fed: Sequence[Feed]) -> bool:
    """The same kinds of ball, whatever was added to their words at the table, and however fast they came."""
    balls = [{column: word for column, word in feed.items() if column != "tempo_bpm"} for feed in planned]
    return len(fed) == len(balls) and all(any(ball.items() <= feed.items() for feed in fed) for ball in balls)
