"""The small tables on a player's page."""

from collections.abc import Mapping, Sequence
from datetime import date
from itertools import groupby
from typing import Any

from dashboard import marks, wording
from dashboard.markup import Markup, element, joined
from dashboard.phrases import day, in_100, label
from models.settings import Settings

Row = Mapping[str, Any]


def key_figures(me: Row, *, is_judged: bool) -> Markup:
    """The numbers that decide first, each with what it is a number of."""
    figures = [
        (f"{me['cells_covered']} of {me['cells']}", "combinations covered"),
        (f"{me['pairs_covered']} of {me['pairs']}" if me["pairs"] else "–", "pairs covered"),
        (_effective(me, is_judged=is_judged), "as if so many trained equally"),
        (f"{me['balls']:,}", "balls"),
        (f"{me['sessions']:,}", "sessions"),
    ]
    items = [element("div", element("b", number), element("span", what), role="listitem") for number, what in figures]
    return joined([_FIGURES_STYLE, element("div", *items, class_="figures", role="list")])


def _effective(me: Row, *, is_judged: bool) -> str:
    if not is_judged or me["effective_conditions"] is None:
        return "–"
    return f"{me['effective_conditions']:.1f} of {me['cells']}"


def counted(row: Row) -> str:
    """A value with its counts, as a chart's label: `topspin · 389 of 546`."""
    if row["rate"] is None:
        return f"{label(row['value'])} · {row['balls']}, not enough yet"
    return f"{label(row['value'])} · {row['good']:,} of {row['balls']:,}"


def errors(rows: Sequence[Row], settings: Settings) -> Markup:
    """Mistakes by spin: how many of the noted balls, and where these are enough, as so many in a hundred."""
    outcomes = list(dict.fromkeys(row["outcome"] for row in rows))
    head = element("tr", *(element("th", text, scope="col") for text in ("Spin", *map(label, outcomes), "Balls noted")))
    body = []
    for spin, group in groupby(rows, key=lambda row: row["spin"]):
        found = {row["outcome"]: row for row in group}
        noted = next(iter(found.values()))["noted_balls"]
        cells = [_share_cell(found[outcome], settings) for outcome in outcomes]
        body.append(
            element(
                "tr",
                element("th", label(spin), scope="row", class_="left"),
                *cells,
                element("td", f"{noted:,}", class_="number"),
            )
        )
    return marks.table(element("thead", head), element("tbody", *body), label="Mistakes by spin")


def _share_cell(row: Row, settings: Settings) -> Markup:
    number = f"{row['balls']:,}"
    if row["noted_balls"] < settings.rate_balls:
        return element("td", number)
    return element(
        "td", number, element("small", in_100(row["share"])), class_="fill", style=f"--share:{row['share']:.0%}"
    )


def orders(rows: Sequence[Row], seen_from: date) -> Markup:
    """The order of the balls, session by session."""
    titles = ("Session", "Balls one by one", "Kinds of ball", "Changed", "Order seen")
    head = element("tr", *(element("th", text, scope="col") for text in titles))
    body = [
        element(
            "tr",
            element("th", day(row["session_date"], seen_from), scope="row", class_="left"),
            element("td", f"{row['balls']:,}", class_="number"),
            element("td", f"{row['conditions']}", class_="number"),
            element("td", "–" if row["switch_rate"] is None else in_100(row["switch_rate"]), class_="number"),
            element("td", wording.order_seen(row), class_="why"),
        )
        for row in rows
    ]
    return marks.table(element("thead", head), element("tbody", *body), label="Order of the balls")


_FIGURES_STYLE = Markup("""<style>
.figures { display: flex; flex-wrap: wrap; gap: 0.6rem 2.2rem; }
.figures div { display: flex; flex-direction: column; }
.figures b { font-size: 1.5rem; font-weight: 600; font-variant-numeric: tabular-nums; }
.figures span { font-size: 0.9rem; }
</style>""")
