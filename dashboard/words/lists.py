"""What stands on the pages where the club's lists are changed."""

from dashboard.rows.lists import CoveredRow


def code_and_name(code: str, name: str) -> str:
    """A thing of a list as it is picked: `back centre (BC)`, or its code alone."""
    return code if name == code else f"{name} ({code})"


def covered_told(row: CoveredRow) -> str:
    """How much of a grid is covered: `26 of 54`, or that there is nothing to measure against."""
    if row.cells is None or row.cells_covered is None:
        return "no target, or no log yet"
    return f"{row.cells_covered} of {row.cells}"
