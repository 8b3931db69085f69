"""The mix of balls on sliders, and the grid that it makes."""

from collections.abc import Mapping
from itertools import product

import streamlit as st

from dashboard.drawings.ball_map_frame import Look
from dashboard.drawings.balls import Ball, Met
from dashboard.views.drawn import map_for_both, show
from dashboard.words.phrases import DIMENSION_LABELS, balls, label
from ingest.references import LARGEST_GRID
from models.mix import WORDS, Mix, combinations
from models.settings import Settings

STEP = 5
MAP_WIDTH = 620.0


def ask_mix(key: str, first: Mix) -> dict[str, dict[str, float]]:
    """In what the balls shall differ, and how much of each value; what is not moved keeps its exact share."""
    chosen = st.pills(
        "In what shall the balls differ?",
        list(WORDS),
        default=list(first),
        format_func=DIMENSION_LABELS.__getitem__,
        selection_mode="multi",
        key=f"{key}-dimensions",
        help="What is not picked may be anything. Two or three are enough to begin with.",
    )
    return {name: _ask_shares(key, name, first.get(name) or _even(name)) for name in WORDS if name in chosen}


def _even(dimension: str) -> dict[str, float]:
    return dict.fromkeys(WORDS[dimension], 100 / len(WORDS[dimension]))


def _ask_shares(key: str, dimension: str, first: Mapping[str, float]) -> dict[str, float]:
    with st.container(border=True):
        st.markdown(f"**{DIMENSION_LABELS[dimension]}**")
        with st.grid(min_column_width=150):
            moved = {value: _ask_share(f"{key}-{dimension}-{value}", value, share) for value, share in first.items()}
    begun = {value: _to_step(share) for value, share in first.items()}
    return {value: float(share) for value, share in moved.items()} if moved != begun else dict(first)


def _ask_share(key: str, value: str, share: float) -> int:
    return st.slider(label(value), 0, 100, _to_step(share), STEP, format="%d%%", key=key)


def _to_step(share: float) -> int:
    """The nearest mark of a slider; what is wanted at all is never shown as nothing."""
    return max(STEP * round(share / STEP), STEP if share > 0 else 0)


def tell_grid(mix: Mix, settings: Settings) -> None:
    """How many combinations the mix makes, how many balls they ask for, and where they stand on the table."""
    cells = combinations(mix)
    if not cells:
        st.warning("Each thing in which balls differ needs at least one value above 0.", icon=":material/tune:")
        return
    asked = balls(cells * settings.covered_balls)
    st.markdown(
        f"**{cells:,} combinations.** To cover them all a player meets at least {asked} in {settings.window_days} days."
    )
    if cells > LARGEST_GRID:
        st.warning(
            f"A mix may make at most {LARGEST_GRID} combinations. Pick fewer things in which balls differ, or take "
            "values out with a share of 0.",
            icon=":material/tune:",
        )
        return
    show(map_for_both(_cells(mix), Look(player="player"), MAP_WIDTH, "The combinations that are wanted"))


def _cells(mix: Mix) -> list[Met]:
    wanted = [[(name, value) for value, share in values.items() if share > 0] for name, values in mix.items()]
    return [Met(Ball(**dict(words)), "empty") for words in product(*wanted)]
