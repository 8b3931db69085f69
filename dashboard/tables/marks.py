"""How the tables mark what was met: a sign and a word for each status, and a colour beside them."""

from collections.abc import Iterable, Mapping

from dashboard.drawings.markup import Markup, element
from dashboard.words.sentences import STATUS_WORDS

SIGNS = {"covered": "✓", "touched": "½", "stale": "↺", "off_plan": "≠", "empty": "0"}

_MEANINGS = {
    "covered": "enough balls in the window",
    "touched": "met in the window, more to go",
    "stale": "met before, but not in the window",
    "off_plan": "met, but in no wanted combination",
    "empty": "no such ball in the log yet",
}

_NOT_WANTED = element("span", "· not wanted in this target", role="listitem")


def legend() -> Markup:
    """What the signs of single combinations mean, in one line."""
    return _legend({status: f"{SIGNS[status]}" for status in STATUS_WORDS}, STATUS_WORDS)


def board_legend() -> Markup:
    """What the marks of whole values mean, in one line."""
    counted = element(
        "span", element("span", "6/18", class_="mark fill"), " combinations covered, of all with that value"
    )
    marks = {"stale": "stale", "off_plan": "off plan", "empty": "never"}
    return _legend({status: f"{SIGNS[status]} {text}" for status, text in marks.items()}, {}, counted)


def _legend(shown: Mapping[str, str], words: Mapping[str, str], *more: Markup) -> Markup:
    entries = [
        element(
            "span",
            element("span", text, class_=f"mark {status}"),
            element("b", f" {words[status]}: ") if status in words else " ",
            _MEANINGS[status],
            role="listitem",
        )
        for status, text in shown.items()
    ]
    return element("div", *more, *entries, _NOT_WANTED, class_="marks-legend", role="list")


def column_titles(titles: Iterable[str]) -> Markup:
    """The head of a table whose columns have one title each."""
    return element("thead", element("tr", *(element("th", title, scope="col") for title in titles)))


def table(*rows_and_head: Markup, label: str) -> Markup:
    """A table in a frame of its own: on a narrow screen the table scrolls, the page does not."""
    inside = element("table", *rows_and_head, class_="marks", aria_label=label)
    return element("div", inside, class_="marks-frame", tabindex=0, role="region", aria_label=label)
