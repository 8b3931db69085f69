"""What a figure is, in words that have one home: the comments of the published tables and the club's settings."""

import re
from collections.abc import Iterable, Mapping

from dashboard.words.figures import Figures
from models.settings import Settings

WHO_AND_WHEN = ("club_id", "week", "player_id")
NO_BASIS = "A setting is a threshold that the club may change; it has no published basis."


def explained(about: str, meanings: Mapping[str, str], figures: Figures, settings: Settings) -> str:
    """Markdown: what the table is, what each of its columns means, and the settings that are used in it."""
    columns = figures.columns or tuple(name for name in meanings if name not in WHO_AND_WHEN)
    uses = figures.uses or _settings_named(meanings[name] for name in columns)
    lines = [f"- **{name}**: {meaning}" for name, meaning in defined(meanings, columns)]
    lines += [f"- Setting **{name}** = {text}" for name, text in settings_told(settings, uses)]
    note = ["", NO_BASIS] if uses else []
    return "\n".join([in_words(about), "", *lines, *note])


def _settings_named(meanings: Iterable[str]) -> tuple[str, ...]:
    words = {word for meaning in meanings for word in re.findall(r"\w+", meaning)}
    return tuple(name for name in Settings.model_fields if name in words)


def defined(meanings: Mapping[str, str], columns: tuple[str, ...]) -> list[tuple[str, str]]:
    """Each column with what it means, as one reads them."""
    return [(in_words(column), in_words(meanings[column])) for column in columns]


def settings_told(settings: Settings, names: tuple[str, ...]) -> list[tuple[str, str]]:
    """Each setting with its value and what it decides: `("window days", "28: days that count as recent, ...")`."""
    return [(in_words(name), f"{getattr(settings, name)}: {_describe(name)}") for name in names]


def in_words(text: str) -> str:
    """Names of columns as one reads them: `pairs_covered of pairs` -> `pairs covered of pairs`."""
    return re.sub(r"\bcells(?=\b|_)", "combinations", re.sub(r"(?<=[a-z])_(?=[a-z])", " ", text))


def _describe(name: str) -> str:
    return str(Settings.model_fields[name].description)
