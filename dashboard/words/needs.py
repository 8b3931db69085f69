"""Why a player needs the coach, in words: a few for a small card, a sentence for a large one."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import cast

from dashboard.rows.coach import NeedRow
from dashboard.words.phrases import balls, balls_so, combination, day, in_100, label
from models.needs import Reason
from models.settings import Settings
from models.words import DIMENSION

TITLES: Mapping[Reason, str] = {
    "one_place": "One place only",
    "one_spin": "One spin only",
    "one_tempo": "One tempo only",
    "falls_on_change": "Falls when the ball changes",
    "spin_tied": "Spin tied to place",
    "no_log": "No log",
    "few_balls": "Too few balls to judge",
    "no_target": "No target",
    "not_lately": "Much not met lately",
    "few_covered": "Little covered",
    "all_well": "All well",
}

FILTERS: Mapping[str, tuple[Reason, ...]] = {
    "One place, spin or tempo": ("one_place", "one_spin", "one_tempo"),
    "Falls when it changes": ("falls_on_change",),
    "Spin tied to place": ("spin_tied",),
    "Not judged": ("no_log", "few_balls", "no_target"),
    "Not lately": ("not_lately",),
    "Little covered": ("few_covered",),
    "All well": ("all_well",),
}
"""Reasons that are looked for together."""


def short(need: NeedRow, settings: Settings, seen_from: date) -> str:
    """A reason in a few words: `backspin only`, `no log for 5 weeks`, `18 not lately`."""
    texts = {
        "one_place": f"{_words(need)} only",
        "one_spin": f"{label(need.spin_family or '')} only",
        "one_tempo": f"{need.tempo_band} balls only",
        "no_log": _without_log(need, seen_from),
        "few_balls": f"{need.balls} of {settings.rate_balls} balls",
        "not_lately": f"{need.cells} not lately",
    }
    return texts.get(need.reason) or TITLES[cast(Reason, need.reason)].lower()


def sentence(need: NeedRow, settings: Settings, seen_from: date) -> str:
    """A reason with its figures."""
    return _SENTENCES[cast(Reason, need.reason)](need, settings, seen_from)


def _words(need: NeedRow) -> str:
    """Where from, what spin, what tempo: as far as the reason is about it."""
    about = {name: getattr(need, name, None) for name in DIMENSION.names}
    return combination(about | {"spin_family": None, "spin": None})


def _nearly_all(need: NeedRow) -> str:
    share, wanted = need.share or 0, "" if need.balls == need.window_balls else "wanted "
    texts = balls(need.balls).replace(" ", f" {wanted}", 1)
    return f"All {texts}" if share == 1 else f"{in_100(share)} of {texts}"


def _falls(need: NeedRow) -> str:
    lost, least, most = (f"{share or 0:.0%}".removesuffix("%") for share in (need.share, need.low, need.high))
    return f"{lost} fewer in 100 land right after a change (range {least} to {most}; {balls(need.balls)})."


def _tied(need: NeedRow) -> str:
    such, place = balls_so("spin_family", need.spin_family or ""), _words(need)
    of_spin, others = in_100(need.share or 0), in_100(need.other_share or 0)
    if of_spin == "100 in 100" and others == "0 in 100":
        return f"All {such} came {place}, and no others."
    return f"Of {such}, {of_spin} came {place}; of all others {others}."


def _without_log(need: NeedRow, seen_from: date) -> str:
    if need.last_logged_on is None:
        return "no log yet"
    return f"no log for {(seen_from - need.last_logged_on).days // 7} weeks"


def _no_log(need: NeedRow, seen_from: date) -> str:
    if need.last_logged_on is None:
        return "No log yet."
    return f"No log since {day(need.last_logged_on, seen_from)}. Ill, away, or a lost sheet?"


def _few_balls(need: NeedRow, settings: Settings) -> str:
    return f"{balls(need.balls)} in {settings.window_days} days; it takes {settings.rate_balls} to judge."


def _not_lately(need: NeedRow, settings: Settings) -> str:
    return (
        f"{need.cells} wanted kinds of ball were met before, but not in {settings.window_days} days: "
        f"{in_100(need.share or 0)} of the mix."
    )


_SENTENCES: Mapping[Reason, Callable[[NeedRow, Settings, date], str]] = {
    "one_place": lambda need, _, __: f"{_nearly_all(need)} came {_words(need)}.",
    "one_spin": lambda need, _, __: f"{_nearly_all(need)} had {label(need.spin_family or '')}.",
    "one_tempo": lambda need, _, __: f"{_nearly_all(need)} came at a {need.tempo_band} tempo.",
    "falls_on_change": lambda need, _, __: _falls(need),
    "spin_tied": lambda need, _, __: _tied(need),
    "no_log": lambda need, _, seen_from: _no_log(need, seen_from),
    "few_balls": lambda need, settings, _: _few_balls(need, settings),
    "no_target": lambda _, __, ___: "Nothing says which balls this player should meet.",
    "not_lately": lambda need, settings, _: _not_lately(need, settings),
    "few_covered": lambda need, _, __: f"{need.cells_covered} of {need.cells_wanted} wanted kinds of ball are covered.",
    "all_well": lambda _, __, ___: "No reason holds.",
}
