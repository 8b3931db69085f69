"""The small tables on a player's page."""

from collections.abc import Sequence
from datetime import date
from itertools import groupby

from dashboard.drawings.markup import Markup, element
from dashboard.rows.coach import BoardRow
from dashboard.rows.feeding import BandRow
from dashboard.rows.judged import MixRow, SittingRow, TrendRow
from dashboard.rows.player import ErrorRow, OrderRow, SuccessRow, VarietyRow
from dashboard.tables import marks
from dashboard.words import judged as wording_judged
from dashboard.words import sentences as wording
from dashboard.words.phrases import change_in_100, change_range_in_100, day, in_100, label, phrase, range_in_100
from models.estimates import Estimate
from models.settings import Settings


def key_figures(me: BoardRow, spread: VarietyRow | None, mix: MixRow | None, trend: TrendRow | None) -> Markup:
    """The numbers that decide first, each with what it is a number of."""
    figures = [
        (f"{me.cells_covered} of {me.cells}", "combinations covered"),
        (f"{me.pairs_covered} of {me.pairs}" if me.pairs else "–", "pairs covered"),
        (_effective(spread), "as if so many trained equally"),
        *_success_on_mix(mix),
        (wording_judged.trend_in_short(trend), "success over the weeks"),
    ]
    items = [element("div", element("b", number), element("span", what), role="listitem") for number, what in figures]
    return element("div", *items, class_="figures", role="list")


def _effective(spread: VarietyRow | None) -> str:
    if spread is None or spread.effective_conditions is None:
        return "–"
    return f"{spread.effective_conditions:.1f} of {spread.cells}"


def _success_on_mix(mix: MixRow | None) -> list[tuple[str, str]]:
    if mix is None or (rate := mix.success) is None:
        return [("–", "success on the wanted mix")]
    return [(in_100(rate.value), f"on the wanted mix ({range_in_100(rate.low, rate.high)})")]


def counted(row: SuccessRow) -> str:
    """A value with its counts, as a chart's label: `topspin · 389 of 546`."""
    if row.rate is None:
        return f"{label(row.value)} · {row.balls}, not enough yet"
    return f"{label(row.value)} · {row.good:,} of {row.balls:,}"


def trended(row: TrendRow) -> str:
    """A value with its verdict, as a chart's label: `topspin · rising`."""
    return f"{label(row.value)} · {wording_judged.trend_in_short(row)}"


def success(rows: Sequence[SuccessRow]) -> Markup:
    """Success by value in figures: counts, worth, rate with its range, and the rate for ranking."""
    titles = ("Balls", "Good of balls", "Worth single balls", "Landed", "For ranking")
    body = [
        element(
            "tr",
            element("th", label(row.value), scope="row", class_="left"),
            element("td", f"{row.good:,} of {row.balls:,}", class_="number"),
            element("td", f"{row.effective_balls:,.0f}", class_="number"),
            _with_range(row.success),
            _with_range(row.shrunk),
        )
        for row in rows
    ]
    return marks.table(marks.column_titles(titles), element("tbody", *body), label="Success in figures")


def _with_range(rate: Estimate | None) -> Markup:
    if rate is None:
        return element("td", "not enough yet", class_="number")
    return element("td", in_100(rate.value), element("small", range_in_100(rate.low, rate.high)), class_="number")


def errors(rows: Sequence[ErrorRow], settings: Settings) -> Markup:
    """Mistakes by spin: how many of the noted balls, and where these are enough, as so many in a hundred."""
    outcomes = list(dict.fromkeys(row.outcome for row in rows))
    titles = ("Spin", *map(label, outcomes), "Balls noted")
    body = []
    for spin, group in groupby(rows, key=lambda row: row.spin):
        found = {row.outcome: row for row in group}
        balls = next(iter(found.values())).noted_balls
        cells = [_share_cell(found[outcome], settings) for outcome in outcomes]
        body.append(
            element(
                "tr",
                element("th", label(spin), scope="row", class_="left"),
                *cells,
                element("td", f"{balls:,}", class_="number"),
            )
        )
    return marks.table(marks.column_titles(titles), element("tbody", *body), label="Mistakes by spin")


def _share_cell(row: ErrorRow, settings: Settings) -> Markup:
    number = f"{row.balls:,}"
    if row.noted_balls < settings.rate_balls:
        return element("td", number)
    about = [element("small", in_100(row.share)), element("small", f"range {range_in_100(row.low, row.high)}")]
    if row.stands_out:
        number = f"▲ {number}"
    return element("td", number, *about, class_="fill", style=f"--share:{row.share:.0%}")


def bands(measure: str, title: str, rows: Sequence[BandRow]) -> Markup:
    """From which angles the balls came, or how soon: each word of the measure, and the balls that came so."""
    body = [
        element(
            "tr",
            element("th", phrase(f"{measure}_band", row.band), scope="row", class_="left"),
            element("td", f"{row.balls:,} of {row.told_balls:,}", class_="number"),
            element("td", _share_told(row.share), class_="number"),
        )
        for row in rows
    ]
    return marks.table(marks.column_titles((title, "Balls", "Share")), element("tbody", *body), label=title)


def orders(rows: Sequence[OrderRow], seen_from: date) -> Markup:
    """The order of the balls, session by session."""
    titles = ("Session", "Balls", "Kinds of ball", "Changed", "Of a shuffle's changes", "To guess (bits)", "Order seen")
    body = [
        element(
            "tr",
            element("th", day(row.session_date, seen_from), scope="row", class_="left"),
            element("td", f"{row.balls:,}", class_="number"),
            element("td", f"{row.conditions}", class_="number"),
            element("td", _share_told(row.switch_rate), class_="number"),
            element("td", _share_told(row.relative_switch_rate), class_="number"),
            element("td", _bits(row.conditional_entropy), class_="number"),
            element("td", wording.order_seen(row), class_="why"),
        )
        for row in rows
    ]
    return marks.table(marks.column_titles(titles), element("tbody", *body), label="Order of the balls")


def _bits(entropy: float | None) -> str:
    return "–" if entropy is None else f"{entropy:.1f}"


def _share_told(share: float | None) -> str:
    return "–" if share is None else in_100(share)


def sittings(rows: Sequence[SittingRow], seen_from: date) -> Markup:
    """The sittings of one test set, each beside the first."""
    titles = ("Sitting", "Days after", "Good of balls", "Against the first", "Smallest change to be seen", "Verdict")
    body = [
        element(
            "tr",
            element("th", day(row.session_date, seen_from), scope="row", class_="left"),
            element("td", f"{row.days_since_first}", class_="number"),
            element("td", f"{row.good:,} of {row.balls:,}", element("small", in_100(row.rate)), class_="number"),
            _change_cell(row),
            element("td", _share_told(row.detectable_change), class_="number"),
            element("td", wording_judged.PROBE_WORDS[row.verdict], class_="why"),
        )
        for row in rows
    ]
    return marks.table(marks.column_titles(titles), element("tbody", *body), label="Sittings of the test set")


def _change_cell(row: SittingRow) -> Markup:
    if (change := row.changed) is None:
        return element("td", "–", class_="number")
    plausible = change_range_in_100(change.low, change.high)
    return element("td", change_in_100(change.value), element("small", plausible), class_="number")
