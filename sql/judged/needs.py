"""Who needs the coach, and why: the reasons of each active player, as of the last week in the log.
One place, spin or tempo: nearly all balls of the window had it (the setting single_share) though the target wants
others. Falls when the ball changes: the verdict of report.variety_cost. Spin tied to place: the place tells much of the
spin (mutual information over entropy, Cover & Thomas 2006, 2.3, at least the setting tie_share), more than a shuffle of
the stands does but once in a hundred times (the setting tie_chance; a stand is all that came from one place in one
session). Not lately: much of the wanted mix was met before, but not in the window (the setting stale_share). Few
covered: less of the grid than the setting variety_short_share. Kinds of reasons weigh in the order one_place, one_spin,
falls_on_change, spin_tied, no_log, one_tempo, few_balls, no_target, not_lately, few_covered, which has no published
basis; within a kind the stronger comes first. The share is, of one place, spin or tempo, that of the balls that had it;
of a tie, that of the balls of the spin that came from the place; of falls_on_change, the points of success lost; of
not_lately, that of the wanted mix; of few_covered, that of the grid that is covered.
grain: club_id, player_id, reason
columns:
    club_id: short name of the club
    player_id: the club's code for the player
    reason: why the player needs the coach, one of the kinds above; all_well where there is none
    rank: 1 is the player's reason that weighs most
    weight: the kind of the reason (whole part; all_well has 0) and its strength within the kind (fraction)
    balls: balls that the reason is about, of the window; of falls_on_change the first ones after a change
    share: of the balls, the mix, the grid or the success, as the kind of reason says (share of 1; empty: not judged)
    other_share: spin_tied: of the balls of other spins that came from that place (share of 1; empty: any other reason)
    low: falls_on_change: lower end of the 95 % range of the points lost (share of 1; empty: any other reason)
    high: falls_on_change: upper end of that range (share of 1; empty: any other reason)
    cells: not_lately: wanted combinations not met lately; few_covered: those covered (empty: any other reason)
    depth: back, middle, near: where from (empty: not about it)
    side: forehand, centre, backhand: from which side (empty: not about it)
    spin_family: backspin, no_spin, topspin: which spin (empty: not about it)
    tempo_band: slow, medium, fast: which tempo (empty: not about it)
checks:
    stop: rank >= 1
    stop: weight >= 0
    stop: (reason = 'all_well') = (weight = 0)
    stop: (reason = 'falls_on_change') = (low is not null)
    stop: (reason = 'spin_tied') = (other_share is not null)
    stop: (reason in ('not_lately', 'few_covered')) = (cells is not null)
    stop: (reason in ('no_log', 'few_balls', 'no_target', 'all_well')) = (share is null)
    stop: (reason in ('one_place', 'spin_tied')) = (coalesce(depth, side) is not null)
    stop: (reason in ('one_spin', 'spin_tied')) = (spin_family is not null)
    stop: (reason = 'one_tempo') = (tempo_band is not null)
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Any

import polars as pl

from models.groups import FloatArray
from models.needs import Need, Reason, in_order, only_one
from models.settings import Settings
from models.spin_tie import Pair, Stands, balls_by_place, spin_tie, strongest_pair
from models.words import SPIN, SPIN_FAMILY
from sql.judging import Evidence, numbered

VERSION = 1
READS = ("report.variety_cost",)

Row = dict[str, Any]

_FAMILY_OF = {word.name: word.family for word in SPIN.words}
_ONLY: dict[Reason, tuple[str, ...]] = {
    "one_place": ("depth", "side"),
    "one_spin": ("spin_family",),
    "one_tempo": ("tempo_band",),
}
_NOT_JUDGED: dict[str, Reason] = {
    "no_log": "no_log",
    "no_recent_log": "no_log",
    "few_balls": "few_balls",
    "no_target": "no_target",
}
"""The reason of each standing but "judged"."""
_PLACES = (("depth",), ("side",), ("depth", "side"))
"""In which ways a place is named: the plainest that ties as much."""

SCHEMA = {
    "club_id": pl.String,
    "player_id": pl.String,
    "reason": pl.String,
    "rank": pl.Int64,
    "weight": pl.Float64,
    "balls": pl.Int64,
    "share": pl.Float64,
    "other_share": pl.Float64,
    "low": pl.Float64,
    "high": pl.Float64,
    "cells": pl.Int64,
    "depth": pl.String,
    "side": pl.String,
    "spin_family": pl.String,
    "tempo_band": pl.String,
}


def judge(evidence: Evidence) -> pl.DataFrame:
    """The reasons of every active player."""
    standings = _last_week(evidence, "report.standing")
    cells = _by_player(_last_week(evidence, "report.coverage"))
    costs = {row["player_id"]: row for row in evidence.rows("report.variety_cost").to_dicts()}
    stands = _window_stands(evidence)
    rows = []
    for row in standings.join(_active(evidence), on="player_id", how="semi").to_dicts():
        player = row["player_id"]
        found = _needs(evidence, row, cells.get(player, []), costs.get(player), stands.get(player))
        rows += [_record(evidence, player, rank, need) for rank, need in enumerate(in_order(found), start=1)]
    return pl.DataFrame(rows, schema=SCHEMA)


def _record(evidence: Evidence, player: str, rank: int, need: Need) -> Row:
    named = {"club_id": evidence.settings.club_id, "player_id": player, "rank": rank, "weight": need.weight}
    return {name: value for name, value in (vars(need) | named).items() if name in SCHEMA}


def _last_week(evidence: Evidence, table: str) -> pl.DataFrame:
    return evidence.rows(table).filter(pl.col("week") == pl.lit(evidence.last_week, dtype=pl.Date))


def _active(evidence: Evidence) -> pl.DataFrame:
    return evidence.rows("core.players").filter("is_active").select("player_id")


def _by_player(rows: pl.DataFrame) -> dict[str, list[Row]]:
    return {str(player): own.to_dicts() for (player,), own in rows.group_by("player_id", maintain_order=True)}


def _window_stands(evidence: Evidence) -> dict[str, pl.DataFrame]:
    """The stands of each player in the window that ends with the last week."""
    rows = evidence.rows("core.stand_balls")
    if evidence.last_week is not None:
        window = timedelta(days=evidence.settings.window_days - 7)
        rows = rows.filter(pl.col("week") >= evidence.last_week - window)
    return {str(player): own for (player,), own in rows.group_by("player_id", maintain_order=True)}


def _needs(
    evidence: Evidence, standing: Row, cells: Sequence[Row], cost: Row | None, stands: pl.DataFrame | None
) -> Iterator[Need]:
    """Every reason that holds for one player. Who cannot be judged has that for the only reason."""
    reason = _NOT_JUDGED.get(standing["standing"])
    if reason is not None:
        yield _not_judged(evidence, standing, reason)
        return
    yield from _only_ones(evidence.settings, cells)
    if cost is not None and cost["verdict"] == "falls":
        yield _falling(cost)
    if stands is not None:
        yield from _tied(evidence, stands)
    yield from _lacking(evidence.settings, cells)


def _not_judged(evidence: Evidence, standing: Row, reason: Reason) -> Need:
    """The longer without a log, or the fewer balls, the stronger."""
    days, balls = standing["days_since_log"], standing["balls"]
    if reason == "no_log":
        return Need(reason, 1.0 if days is None else days / (days + evidence.settings.window_days), balls=balls)
    return Need(reason, 1 - balls / evidence.settings.rate_balls, balls=balls)


def _only_ones(club: Settings, cells: Sequence[Row]) -> Iterator[Need]:
    """Nearly all balls of the window from one place, with one spin, or at one tempo."""
    for reason, names in _ONLY.items():
        values = {_value(cell, names): _words(cell, names) for cell in cells}
        balls = dict.fromkeys(values, 0)
        for cell in cells:
            balls[_value(cell, names)] += cell["balls"]
        only = only_one(balls, values, club.single_share)
        if only:
            value, share = only
            wanted = sum(cell["wanted_share"] for cell in cells if _value(cell, names) == value)
            need = Need(reason, 1 - wanted, balls=sum(balls.values()), share=share)
            yield _about(need, values[value])


def _about(need: Need, words: dict[str, str | None]) -> Need:
    """The reason with the words that it is about."""
    return replace(
        need,
        depth=words.get("depth"),
        side=words.get("side"),
        spin_family=words.get("spin_family"),
        tempo_band=words.get("tempo_band"),
    )


def _words(cell: Row, names: tuple[str, ...]) -> dict[str, str | None]:
    """A combination's words in these dimensions; of a fine spin its family."""
    family = cell["spin_family"] or _FAMILY_OF.get(cell["spin"])
    return {name: family if name == "spin_family" else cell[name] for name in names}


def _value(cell: Row, names: tuple[str, ...]) -> str:
    return "/".join(word or "" for word in _words(cell, names).values())


def _falling(cost: Row) -> Need:
    lost, low, high = cost["cost"], cost["low"], cost["high"]
    return Need("falls_on_change", lost, balls=cost["first_balls"], share=lost, low=low, high=high)


def _tied(evidence: Evidence, stands: pl.DataFrame) -> Iterator[Need]:
    """The pair of place and spin that is tied most, where the tie is beyond chance and not small."""
    club = evidence.settings
    wide = stands.pivot(
        "spin_family", index=["session_id", "depth", "side"], values="balls", aggregate_function="sum"
    ).fill_null(0)
    spins = [spin for spin in SPIN_FAMILY.names if spin in wide.columns]
    balls = wide.select(spins).cast(pl.Float64).to_numpy()
    tie = spin_tie(Stands(numbered(wide, "depth", "side"), balls), evidence.seed)
    if tie is None or tie.chance > club.tie_chance or tie.share_told < club.tie_share:
        return
    pair, place = max((_pair(wide, balls, names) for names in _PLACES), key=lambda found: found[0].added_bits)
    shares = (pair.share_from_place, pair.share_of_others)
    need = Need("spin_tied", tie.share_told, balls=int(balls.sum()), share=shares[0], other_share=shares[1])
    yield _about(need, place | {"spin_family": spins[pair.spin]})


def _pair(wide: pl.DataFrame, balls: FloatArray, names: tuple[str, ...]) -> tuple[Pair, Row]:
    """The strongest pair where a place is named so, and the words of its place."""
    place = numbered(wide, *names)
    pair = strongest_pair(balls_by_place(place, balls))
    return pair, wide.select(names).row(int((place == pair.place).argmax()), named=True)


def _lacking(club: Settings, cells: Sequence[Row]) -> Iterator[Need]:
    """Much that is no longer met, or little that is covered."""
    balls = sum(cell["balls"] for cell in cells)
    stale = [cell for cell in cells if cell["status"] == "stale"]
    share = sum(cell["wanted_share"] for cell in stale)
    if share >= club.stale_share:
        yield Need("not_lately", share, balls=balls, share=share, cells=len(stale))
    covered = sum(cell["status"] == "covered" for cell in cells)
    if cells and covered / len(cells) < club.variety_short_share:
        yield Need("few_covered", 1 - covered / len(cells), balls=balls, share=covered / len(cells), cells=covered)
