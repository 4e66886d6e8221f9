"""Trying every combination: how many are feasible, the best, the trade-off, the nearest misses."""

from __future__ import annotations

from enginemath.change.job import Job
from enginemath.change.search.result import SearchResult
from enginemath.change.search.try_few import search_few
from enginemath.units import Refused

FEW = 10_000
"""Up to here a plain loop is no slower than it takes to import NumPy."""
FEW_PAIRS = 200_000
"""The same where banks are combined, of which few keep to all limits."""


def search(job: Job, top: int) -> SearchResult:
    """Try every combination; an interrupt of a long search keeps what was found so far.

    Args:
        job: the engine and what can be done to it; see `job.job_of`.
        top: number of plans, and of nearest misses, to keep.

    Raises:
        Refused: too many combinations where NumPy is missing, or for several banks at once.
    """
    top = min(top, job.combinations)
    several = len(job.banks) > 1
    few = FEW_PAIRS if several else FEW
    if job.combinations <= few:
        return search_few(job, top)
    try:
        from enginemath.change.search.try_banks import search_banks
        from enginemath.change.search.try_many import search_many
    except ImportError as missing:
        raise Refused(
            f"{job.combinations} combinations are too many here: more than {few} are tried "
            "with NumPy, which is missing; make the steps of the cuts wider"
        ) from missing
    return search_banks(job, top) if several else search_many(job, top)
