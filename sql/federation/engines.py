"""By what a federation can be built, and whether that is there."""

import re
import socket
from importlib.util import find_spec
from urllib.parse import urlsplit

from models.refusal import Refused

DUCKDB = "duckdb"
ENGINES = r"duckdb|spark|(spark|sc)://[^/\s:]+:[0-9]+"
PACKAGES = ("pyspark", "sqlglot")
"""What Spark needs here beside this software: its extra 'federation'."""

ANSWERS_WITHIN_S = 10


class UnknownEngine(Refused):
    """No engine is called so."""


class EngineProblem(Refused):
    """The engine cannot be reached, or failed; the text says what and what to do."""


def require_engine(engine: str) -> None:
    """It is one, it answers, and what it needs is installed. Raises UnknownEngine, EngineProblem."""
    if not re.fullmatch(ENGINES, engine):
        raise UnknownEngine(
            f"there is no engine '{engine}'.", to_do="Say duckdb, spark, spark://HOST:PORT or sc://HOST:PORT."
        )
    if engine == DUCKDB:
        return
    _require_answer(engine)
    if missing := [package for package in PACKAGES if find_spec(package) is None]:
        raise EngineProblem(
            f"the engine '{engine}' needs what is not installed: {', '.join(missing)}.",
            to_do="Install Halflong with its extra 'federation'.",
        )


def _require_answer(engine: str) -> None:
    """Somebody listens at the engine's address; Spark itself would go on trying for minutes."""
    address = urlsplit(engine)
    if not address.netloc:
        return
    try:
        socket.create_connection((address.hostname, address.port), ANSWERS_WITHIN_S).close()
    except (OSError, ValueError) as error:
        raise EngineProblem(
            f"nobody answers at '{engine}' ({error}). Nothing was published.",
            to_do="See that the engine runs there and can be reached from here; or build by DuckDB (--engine duckdb).",
        ) from error
