"""Plans that a club keeps as patterns, each under a name: blocks without any player, to be used again for others."""

import json

from models.kept_plan import described, kept_blocks
from models.plan_pattern import OF_PATTERN, Pattern
from models.planned import Plan
from sql.club.file import ClubConnection, all_or_nothing, now_utc


def keep(connection: ClubConnection, name: str, plan: Plan) -> None:
    """Keep the blocks of a plan under a name, in place of an earlier pattern of that name."""
    blocks = [described(block) for block in plan.blocks]
    for block in blocks:
        for kind in block["kinds"]:
            kind["why"] = OF_PATTERN  # Why a player lacked it is that player's.
    with all_or_nothing(connection):
        connection.execute("delete from plan_patterns where name = ?", [name])
        connection.execute(
            "insert into plan_patterns (name, made_at, described) values (?, ?, ?)",
            [name, now_utc(), json.dumps(blocks)],
        )


def drop(connection: ClubConnection, number: int) -> None:
    """Take a pattern out."""
    connection.execute("delete from plan_patterns where pattern = ?", [number])


def patterns(connection: ClubConnection) -> tuple[Pattern, ...]:
    """Every pattern, in the order of the names; after an erasure two may be called alike."""
    rows = connection.execute("select pattern, name, described from plan_patterns order by name, pattern").fetchall()
    return tuple(Pattern(row["pattern"], row["name"], kept_blocks(json.loads(row["described"]), [])) for row in rows)
