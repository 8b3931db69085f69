"""A browser and its device in plain words, out of what it says of itself: a hint for its owner, never a proof."""

UNKNOWN = "a browser"

_BROWSERS = (
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("SamsungBrowser", "Samsung Internet"),
    ("Firefox/", "Firefox"),
    ("FxiOS", "Firefox"),
    ("CriOS", "Chrome"),
    ("Chrome/", "Chrome"),
    ("Safari/", "Safari"),
)
"""The first that stands in the header names it: many name others too, so that old sites take them for those."""

_DEVICES = (
    ("iPhone", "an iPhone"),
    ("iPad", "an iPad"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("Macintosh", "a Mac"),
    ("CrOS", "a Chromebook"),
    ("Linux", "Linux"),
)


def device_in_words(user_agent: str) -> str:
    """Firefox on Windows. Words of ours only: whatever else the header says is not repeated."""
    browser = next((name for part, name in _BROWSERS if part in user_agent), UNKNOWN)
    device = next((name for part, name in _DEVICES if part in user_agent), None)
    return f"{browser} on {device}" if device else browser
