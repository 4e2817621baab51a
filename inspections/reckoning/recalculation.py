"""Standing ratings computed again by the present kernel and tables, saving nothing: what would change, by how much."""

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import Future, ProcessPoolExecutor
from multiprocessing import get_context

from inspections.rules.recalculation import posting_words, renewed_values, why_touched
from inventory.mechanics.rating import KERNEL_VERSION
from inventory.mechanics.tables import table_versions

AHEAD = 25
"""Jobs waiting for each worker process: enough that none stands idle, few enough to be held."""


def present_versions() -> tuple[str, dict[str, str]]:
    """Kernel version and table versions a rating made now would carry."""
    return KERNEL_VERSION, table_versions()


def causes_of(rating: Mapping) -> list[str]:
    """Why a rating would be made otherwise now; `rating` holds kernel_version, table_versions and snapshot."""
    kernel, tables = present_versions()
    _snapshot, renewed = renewed_values(rating["snapshot"])
    return why_touched(rating=rating, kernel_version=kernel, table_versions=tables, renewed=renewed)


def change_made(old: Mapping, new: Mapping) -> tuple[list[str], dict]:
    """Why and how a structure that newer formulas or tables rated anew already changed; no reasons where none did."""
    told = why_touched(rating=old, kernel_version=new["kernel_version"], table_versions=new["table_versions"])
    if not told:
        return [], {}
    told.append(f"It was rated anew with the record of {new['as_of']:%d %b %Y}; what the record gained counts as well.")
    return told, {"old": _told(old, old["flags"]), "new": _told(new, new["flags"]), "rated_anew": True}


def rate_again(rating: Mapping) -> dict:
    """The change of one rating: {"old": ..., "new": ...}, each is_rated, least_factor, governing, posting, reasons.

    A plain function of plain values, so that another process can call it. The inputs are those of the stored snapshot,
    design values from the published table taken as it stands today.
    """
    from inspections.assembly.snapshot import Snapshot
    from inspections.reckoning.rating import rate_snapshot

    snapshot, _renewed = renewed_values(rating["snapshot"])
    outcome = rate_snapshot(Snapshot.from_dict(snapshot))
    new = {name: getattr(outcome, name) for name in ("is_rated", "least_factor", "governing", "reasons", "results")}
    return {"old": _told(rating, rating["flags"]), "new": _told(new, outcome.flags)}


def _told(answer: Mapping, flags: list[str]) -> dict:
    words = posting_words(
        is_rated=answer["is_rated"], results=answer["results"], reasons=answer["reasons"], flags=flags
    )
    return {
        "is_rated": answer["is_rated"],
        "least_factor": answer["least_factor"],
        "governing": answer["governing"],
        "posting": words,
        "reasons": list(answer["reasons"])[:5],
    }


def rate_all_again(ratings: Iterable[Mapping], *, workers: int = 1) -> Iterator[tuple[Mapping, dict | str]]:
    """(rating, change) one by one in the order given, or (rating, sentence) where the calculation itself failed."""
    if workers <= 1:
        for rating in ratings:
            yield rating, _safely(rating)
        return
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn"), initializer=_start) as pool:
        waiting: deque = deque()
        for rating in ratings:
            waiting.append((rating, pool.submit(_safely, rating)))
            # A county's ratings are not held in memory all at once.
            if len(waiting) >= AHEAD * workers:
                yield _answered(*waiting.popleft())
        while waiting:
            yield _answered(*waiting.popleft())


def _answered(rating: Mapping, answer: Future) -> tuple[Mapping, dict | str]:
    return rating, answer.result()


def _start() -> None:
    """A fresh process knows nothing of the site yet; it opens no database."""
    import django

    django.setup()


def _safely(rating: Mapping) -> dict | str:
    try:
        return rate_again(rating)
    except Exception as problem:  # one bridge must not stop the county: it is reported beside the others
        return f"{type(problem).__name__}: {problem}"[:500]
