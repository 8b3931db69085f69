"""Invented players by the thousand: what the judgements say of them, beside what is true."""

import models  # noqa: F401 - before numpy is loaded, which then works on one thread: more would wait for each other
