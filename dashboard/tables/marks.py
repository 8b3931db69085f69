"""How the tables mark what was met: a sign and a word for each status, and a colour beside them."""

from collections.abc import Iterable, Mapping

from dashboard.drawings.markup import Markup, element, joined
from dashboard.words.sentences import STATUS_WORDS

SIGNS = {"covered": "✓", "touched": "½", "stale": "↺", "empty": "0"}

_MEANINGS = {
    "covered": "enough balls in the window",
    "touched": "met in the window, more to go",
    "stale": "met before, but not in the window",
    "empty": "no such ball in the log yet",
}

_NOT_WANTED = element("span", "· not wanted in this target", role="listitem")


def legend() -> Markup:
    """What the signs of single combinations mean, in one line."""
    return _legend({status: f"{SIGNS[status]}" for status in SIGNS}, STATUS_WORDS)


def board_legend() -> Markup:
    """What the marks of whole values mean, in one line."""
    counted = element(
        "span", element("span", "6/18", class_="mark fill"), " combinations covered, of all with that value"
    )
    return _legend({"stale": f"{SIGNS['stale']} stale", "empty": f"{SIGNS['empty']} never"}, {}, counted)


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
    return joined([STYLE, element("div", inside, class_="marks-frame", tabindex=0, role="region", aria_label=label)])


# Both themes from one text: the page sets color-scheme, light-dark() follows it. Contrast of text on every fill is at
# least 4.5 to 1 in both.
STYLE = Markup("""<style>
.marks-frame { overflow-x: auto; max-width: 100%; }
.marks { border-collapse: separate; border-spacing: 0; font-size: 0.85rem; line-height: 1.25; margin: 0;
  --line: light-dark(#D5DAE0, #3A404A); --page: light-dark(#FFFFFF, #171614); }
.marks th, .marks td { padding: 0.3rem 0.35rem; border: 0 solid var(--line); border-bottom-width: 1px;
  text-align: center; white-space: nowrap; font-variant-numeric: tabular-nums; }
.marks th { font-weight: 600; }
.marks th[scope=row] { text-align: left; vertical-align: top; }
.marks th.left { text-align: left; position: sticky; left: 0; background: var(--page); z-index: 1; }
.marks a, .marks a:visited { color: inherit; text-decoration: underline; text-underline-offset: 0.15em; }
.marks .number { text-align: right; }
.marks small { font-weight: 400; display: block; }
.marks .starts { border-left-width: 2px; border-left-color: light-dark(#98A2AE, #5A6472); }
.marks .begins td, .marks .begins th { border-top: 2px solid light-dark(#98A2AE, #5A6472); }
.marks .why { text-align: left; white-space: normal; font-weight: 600; }
.marks thead th { font-size: 0.8rem; vertical-align: bottom; }
.fill { background: linear-gradient(to right,
  light-dark(#CFE3F1, #1D4A68) var(--share), transparent var(--share)); }
.marks .tiny { padding: 0.2rem 0; min-width: 1.15rem; font-size: 0.75rem; font-weight: 600; }
.marks .upright { writing-mode: vertical-rl; padding: 0.3rem 0; font-size: 0.75rem; font-weight: 400; }
.covered { background: light-dark(#CFE3F1, #1D4A68); color: light-dark(#14181C, #FFFFFF); }
.touched { background: light-dark(#EAF2F8, #16303F); color: light-dark(#14181C, #FFFFFF); }
.stale { background: light-dark(#F3C14B, #E69F00); color: #14181C; }
.empty { background: light-dark(#B0440C, #D55E00); color: light-dark(#FFFFFF, #000000); font-weight: 600; }
.marks .unwanted { opacity: 0.75; }
.mark.fill { --share: 33%; outline: 1px solid light-dark(#98A2AE, #5A6472); }
.mark { display: inline-block; min-width: 1.3rem; padding: 0 0.2rem; border-radius: 0.2rem; text-align: center; }
.marks-legend { display: flex; flex-wrap: wrap; gap: 0.3rem 1.2rem; margin-top: 0.7rem; font-size: 0.85rem; }
</style>""")
