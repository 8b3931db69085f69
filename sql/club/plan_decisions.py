"""What is decided of players' balls for a day: one decision for each ball; those of past days go with the next."""

import json
from collections import defaultdict
from datetime import date

from models.locks import Decision, Locks
from models.worth import Cell
from sql.club.file import ClubConnection, all_or_nothing


def decide(
    connection: ClubConnection,
    player: str,
    day: date,
    ball: Cell,
    decided: Decision | None,
    *,
    maker: int | None,
    today: date,
) -> None:
    """Decide of a ball, in place of what was decided before; None takes that back."""
    named = json.dumps(ball)
    with all_or_nothing(connection):
        connection.execute(
            "delete from plan_decisions where player = ? and (day < ? or (day = ? and ball = ?))",
            [player, today.isoformat(), day.isoformat(), named],
        )
        if decided:
            connection.execute(
                "insert into plan_decisions (player, day, ball, decided, account) values (?, ?, ?, ?, ?)",
                [player, day.isoformat(), named, decided, maker],
            )


def locks_on(connection: ClubConnection, day: date) -> dict[str, Locks]:
    """What is decided for a day, by player."""
    rows = connection.execute("select player, ball, decided from plan_decisions where day = ?", [day.isoformat()])
    balls: dict[str, dict[str, set[Cell]]] = defaultdict(lambda: {"must": set(), "not_today": set()})
    for row in rows.fetchall():
        ball = tuple((dimension, word) for dimension, word in json.loads(row["ball"]))
        balls[row["player"]][row["decided"]].add(ball)
    return {player: Locks(frozenset(own["must"]), frozenset(own["not_today"])) for player, own in balls.items()}
