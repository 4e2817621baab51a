"""The night's forecasts of bar force from the shell: manage.py forecast_bars [--agency NAME] [--workers N]."""

from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from datetime import datetime
from multiprocessing import get_context
from time import monotonic

import django
from django.core.management.base import BaseCommand, CommandError
from django.db import connections
from django.utils import timezone

from inspections.actions.forecast import BATCH, forecast_bars, keep_pools
from inspections.actions.remind import refresh_reminders
from inspections.queries.forecasts import policy_revision, structures_with_bars
from inspections.reckoning.forecast_batch import joined_pools, partial_pools
from inventory.models import Agency


class Command(BaseCommand):
    help = (
        "Makes the forecast of bar force of every structure with bars for today: first what the bridges of each kind "
        "say together, then each forecast with its dates and reminders. The worker does the same each night. Safe to "
        "stop and to run again; no posting changes by it."
    )

    def add_arguments(self, parser):
        parser.add_argument("--agency", default="", help="only this agency, by its name")
        parser.add_argument("--workers", type=int, default=1, help="processes to compute with (default 1)")

    def handle(self, *args, agency, workers, **asked):
        if not 1 <= workers <= 64:
            raise CommandError("Give 1 to 64 workers.")
        chosen = self._agencies(agency)
        at, started = timezone.now(), monotonic()
        revisions = {one.pk: policy_revision(one) for one in chosen}
        ids = [pk for one in chosen for pk in structures_with_bars(one).values_list("pk", flat=True)]
        parts = [ids[start : start + BATCH] for start in range(0, len(ids), BATCH)]
        pools = joined_pools(self._each(_pool_part, parts, at, workers, "fitted"))
        rows = keep_pools(revisions=revisions, pools=pools, at=at)
        self.stdout.write(f"{rows} rows of bars in {len(pools)} pools, {monotonic() - started:.1f} s")
        written = told = owed = 0
        for done in self._each(_forecast_part, parts, at, workers, "forecast"):
            written, told, owed = written + done[0], told + done[1], owed + done[2]
        self.stdout.write(
            f"{len(ids)} structures: {written} forecasts written, {told} told of in the history, {owed} ratings owed, "
            f"{monotonic() - started:.1f} s"
        )

    def _agencies(self, name: str) -> list[Agency]:
        if not name:
            return list(Agency.objects.order_by("pk"))
        found = list(Agency.objects.filter(name=name))
        if not found:
            known = ", ".join(Agency.objects.order_by("name").values_list("name", flat=True)[:20])
            raise CommandError(f"No agency {name}; known are {known or 'none'}.")
        return found

    def _each(self, work: Callable, parts: list, at: datetime, workers: int, word: str) -> Iterator:
        """What each part gives, with a line of progress for every tenth of the run."""
        total, done, shown = sum(map(len, parts)), 0, 0
        for part, result in zip(parts, _spread(work, parts, at, workers), strict=True):
            yield result
            done += len(part)
            if 10 * done // max(1, total) > shown:
                shown = 10 * done // total
                self.stdout.write(f"  {done} of {total} {word}")


def _spread(work: Callable, parts: list, at: datetime, workers: int) -> Iterator:
    if workers == 1 or len(parts) < 2:
        yield from (work(part, at) for part in parts)
        return
    # A connection is not shared by two processes: each child opens its own.
    connections.close_all()
    with ProcessPoolExecutor(max_workers=workers, mp_context=get_context("spawn"), initializer=django.setup) as pool:
        yield from pool.map(work, parts, [at] * len(parts))


def _pool_part(ids: list[int], at: datetime) -> dict:
    return partial_pools(ids, timezone.localdate(at))


def _forecast_part(ids: list[int], at: datetime) -> tuple[int, int, int]:
    done = forecast_bars(structure_ids=ids, at=at)
    refresh_reminders(structure_ids=ids, as_of=timezone.localdate(at), at=at)
    return done.written, done.told, done.owed
