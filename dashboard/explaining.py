"""What a figure is, in words that have one home: the comments of the published tables and the club's settings."""

import re
from collections.abc import Mapping

from dashboard.figures import Figures
from models.settings import Settings


def explained(about: str, meanings: Mapping[str, str], figures: Figures, settings: Settings) -> str:
    """Markdown: what the table is, what each of its columns means, and the settings that are used in it."""
    lines = [f"- **{in_words(column)}**: {in_words(meanings[column])}" for column in figures.columns]
    lines += [f"- Setting **{in_words(name)}** = {getattr(settings, name)}: {_describe(name)}" for name in figures.uses]
    note = ["", "A setting is a threshold that the club may change; it has no published basis."] if figures.uses else []
    return "\n".join([in_words(about), "", *lines, *note])


def in_words(text: str) -> str:
    """Names of columns as one reads them: `pairs_covered of pairs` -> `pairs covered of pairs`."""
    return re.sub(r"\bcells(?=\b|_)", "combinations", re.sub(r"(?<=[a-z])_(?=[a-z])", " ", text))


def _describe(name: str) -> str:
    return str(Settings.model_fields[name].description)
