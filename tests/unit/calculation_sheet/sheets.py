"""Sheets of invented spans, made as a rating makes them, without a database."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

from inspections.assembly.snapshot import Snapshot
from inspections.letters.calculation import SheetData
from inspections.reckoning.rating import rate_snapshot
from inventory.mechanics.rating import RatingPolicy, SpanCase
from tests.unit.mechanics.spans import ASPHALT_3_IN, stringer_span, surface, void

VEHICLES = ("H15", "HS20", "TYPE3", "TYPE3S2", "TYPE3-3", "SU4", "SU5", "SU6", "SU7", "EV2", "EV3")


def sheet_of(*cases: SpanCase, vehicles=VEHICLES, policy: RatingPolicy | None = None, caps=(), **changes) -> SheetData:
    """The sheet of a rating of ``cases``; ``changes`` are fields of the sheet."""
    policy = policy or RatingPolicy()
    snapshot = Snapshot(as_of=date(2026, 6, 15), cases=cases, policy=policy, vehicles=tuple(vehicles), caps=caps)
    outcome = rate_snapshot(snapshot)
    sheet = SheetData(
        number="Q-17",
        title="Mill Road over Otter Creek",
        rating_number="42",
        as_of=date(2026, 6, 15),
        made_at=datetime(2026, 6, 15, 12, 0),
        digest=snapshot.digest,
        kernel_version=outcome.kernel_version,
        versions=outcome.table_versions,
        cases=[case.as_dict() for case in cases],
        caps=[cap.as_dict() for cap in caps],
        policy=policy.as_dict(),
        results=outcome.results,
        trace=outcome.trace,
        is_rated=outcome.is_rated,
        reasons=outcome.reasons,
        flags=outcome.flags,
    )
    return replace(sheet, **changes)


def worked_example() -> SpanCase:
    """D1 of the worked examples: 6 x 16 in stringers at 2 ft under plank, 18 ft."""
    return stringer_span()


def damaged_span() -> SpanCase:
    """Inner, outer and one hollow stringer, with bearings, asphalt and railing."""
    base = stringer_span(count=12, bearing_length_in=8.0, surfacing=(ASPHALT_3_IN,), railing_plf=100.0)
    inner = replace(base.members[0], label="inner stringers")
    outer = replace(base.members[0], label="outer stringers", exterior=True)
    hollow = replace(base.members[0], label="stringer 5", losses=(void(offset_in=1.0), surface(1.0)))
    return replace(base, members=(inner, outer, hollow))


NEWER_RESULTS = ("governing_cases", "load_factor")
NEWER_FIELDS = ("method", "wearing_effect", "dc_factor", "dw_factor", "live_factor", "resistance_factor")


def as_stored_before(results: dict) -> dict:
    """Results as kernels before the second method kept them: allowable stress alone, no governing case followed."""
    spans = []
    for span in results["spans"]:
        rows = [row for row in span["results"] if row["method"] == "ASR"]
        spans.append({**span, "results": [{k: v for k, v in row.items() if k not in NEWER_FIELDS} for row in rows]})
    return {**{k: v for k, v in results.items() if k not in NEWER_RESULTS}, "spans": spans}
