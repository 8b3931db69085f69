"""The places of a map whose cells are too small for a finger, each as a map of its own that opens by touch."""

from collections.abc import Sequence
from dataclasses import replace

from dashboard.drawings.arranged import arranged
from dashboard.drawings.ball_map import ball_map, place_told
from dashboard.drawings.ball_map_frame import Frame, Look
from dashboard.drawings.balls import Met
from dashboard.drawings.markup import Markup, element

TOUCH_A_PLACE = "Touch a place to open it."


def opened_places(cells: Sequence[Met], look: Look, width: float) -> list[Markup]:
    """What stands below such a map, shut until a place is touched; nothing where a map as wide has cells to touch."""
    grid = arranged(cells, look.hand)
    if Frame(grid, width).is_touched_by_cell:
        return []
    large = replace(look, next_balls=(), player="", shows_counts=True)
    places = [(depth, side) for depth in grid.depths for side in grid.sides]
    opened = (_opened(cells, large, width, depth, side) for depth, side in places)
    return [element("div", TOUCH_A_PLACE, class_="hl-quiet"), *opened]


def _opened(cells: Sequence[Met], look: Look, width: float, depth: str | None, side: str | None) -> Markup:
    own = [one for one in cells if (one.ball.depth, one.ball.side) == (depth, side)]
    told = place_told(depth, side)
    title = element("b", told[:1].upper() + told[1:])
    place = f"{depth or ''} {side or ''}".strip()
    return element("div", title, ball_map(own, width, look, title=told), class_="hl-shut", data_opened=place)
