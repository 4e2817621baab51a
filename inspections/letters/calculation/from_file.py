"""The sheet of a bridge rated from a file: what the file says stands in place of a record."""

from collections.abc import Mapping
from datetime import datetime

from inspections.reckoning.rating_file import Bridge

from .sheet import SheetData


def sheet_of_answer(*, bridge: Bridge, answer: Mapping, file_name: str, at: datetime) -> SheetData:
    """The sheet of an answer of ``rate_bridge``; ``at`` is the moment of the rating, and its day if none is given."""
    snapshot = bridge.snapshot
    return SheetData(
        number=bridge.name,
        title=bridge.name,
        rating_number="file",
        as_of=at.date() if answer["as_of"] is None else snapshot.as_of,
        made_at=at,
        cause=f"Rated from the file {file_name}",
        digest=answer["digest"],
        kernel_version=answer["kernel_version"],
        versions=answer["table_versions"],
        cases=[case.as_dict() for case in snapshot.cases],
        caps=[cap.as_dict() for cap in snapshot.caps],
        policy=snapshot.policy.as_dict(),
        results=answer["results"],
        trace=answer["trace"],
        is_rated=answer["is_rated"],
        reasons=answer["reasons"],
        flags=answer["flags"],
    )
