"""What a step costs: processor time and memory at its peak, in a process of its own."""

import multiprocessing
import resource
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from time import process_time


@dataclass(frozen=True)
class Cost:
    """Seconds of all processors together, without the start of the process; megabytes at the peak, with it."""

    cpu_s: float
    peak_mb: float


def cost_of(step: Callable[..., object], *arguments: object) -> Cost:
    """Take the step in a new process."""
    fresh = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(max_workers=1, mp_context=fresh) as executor:
        return executor.submit(_measured, step, *arguments).result()


def _measured(step: Callable[..., object], *arguments: object) -> Cost:
    began = process_time()
    step(*arguments)
    spent = process_time() - began
    return Cost(spent, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
