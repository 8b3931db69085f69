"""HTML from plain values, for the tables that Streamlit's own are too slow or too plain for."""

from html import escape


class Markup(str):
    """Text that is HTML already; any other text is escaped when it is put into an element."""

    __slots__ = ()


def element(name: str, *inside: str, **attributes: str | int | None) -> Markup:
    """An HTML element. A trailing underscore is taken off an attribute's name; one that is None is left out."""
    attributes_text = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(str(value))}"'
        for key, value in attributes.items()
        if value is not None
    )
    return Markup(f"<{name}{attributes_text}>{joined(*inside)}</{name}>")


def joined(*parts: str) -> Markup:
    """Parts one after the other, each escaped unless it is markup."""
    return Markup("".join(part if isinstance(part, Markup) else escape(part) for part in parts))
