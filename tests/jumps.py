"""How much of a page jumps while it is drawn, by the Layout Instability API (wicg.github.io/layout-instability)."""

from playwright.sync_api import Page, expect

GOOD = 0.1
"""Under this is good (Core Web Vitals, web.dev/articles/cls, from memory)."""

_SUM = """() => new Promise(told => {
    let sum = 0;
    new PerformanceObserver(list => list.getEntries().forEach(one => { if (!one.hadRecentInput) sum += one.value; }))
        .observe({type: 'layout-shift', buffered: true});
    setTimeout(() => told(sum), 300);
})"""

_ON_ITS_WAY = "[data-testid=stMain] [data-testid=stSkeleton]"
_PATIENCE_MS = 60_000


def jumped(page: Page) -> float:
    """The sum of all shifts since the page was opened; waits until nothing of it is on its way any more."""
    expect(page.locator(_ON_ITS_WAY)).to_have_count(0, timeout=_PATIENCE_MS)
    return float(page.evaluate(_SUM))
