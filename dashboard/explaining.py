"""What a figure is, in words that have one home: the comments of the published tables and the club's settings."""

from collections.abc import Mapping, Sequence

from models.settings import Settings


def explained(about: str, meanings: Mapping[str, str], columns: Sequence[str], settings: Settings, *used: str) -> str:
    """Markdown: what the table is, what each of its columns means, and the settings that are used in it."""
    lines = [f"- **{_shown(column)}**: {meanings[column]}" for column in columns]
    lines += [f"- Setting **{_shown(name)}** = {getattr(settings, name)}: {_describe(name)}" for name in used]
    note = ["", "A setting is a threshold that the club may change; it has no published basis."] if used else []
    return "\n".join([about, "", *lines, *note])


def _shown(column: str) -> str:
    return column.replace("cells", "combinations").replace("_", " ")


def _describe(name: str) -> str:
    return str(Settings.model_fields[name].description)
