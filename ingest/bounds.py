"""How large a file may be: far above any club's log, and small enough that no file can stop the machine."""

MOST_BYTES = 50_000_000
MOST_LINES = 500_000
MOST_COLUMNS = 200
LONGEST_CELL = 10_000
MOST_TITLE_LINES = 5

MOST_WORKBOOK_ROWS = 99_999
"""A workbook is unpacked into a full rectangle in memory, at about 35 bytes a cell: 200 columns of this height are
700 MB. A longer log belongs into a CSV file."""

MOST_WORKBOOK_CELLS = 5_000_000
"""Of a sheet whose cells have no addresses, so that they must be counted one by one."""

MOST_UNPACKED_BYTES = 250_000_000
MOST_WORKBOOK_TEXT = 500_000_000
"""The shared texts of a workbook, each as often as a cell shows it: a file holds a text once, memory once a cell."""
