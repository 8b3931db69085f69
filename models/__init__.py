"""The trade, pure: words, records, geometry, flight, statistics. No database, file, screen or clock."""

import os

# Sums of doubles are the same to the last bit only on one thread, and the matrices here are small enough that more
# threads would mostly wait for each other. It is read when numpy is loaded, which is after this.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
