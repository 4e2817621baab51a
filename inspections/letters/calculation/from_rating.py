"""A stored rating to the plain values of its sheet; the row never changes, so neither does the sheet."""

from inspections.models import Rating

from .sheet import SheetData


def sheet_of_rating(rating: Rating) -> SheetData:
    """The sheet of a rating row; what the structure is called is read from its record."""
    structure, inspection = rating.structure, rating.inspection
    made_by = f"inspection by {inspection.inspector}" if inspection is not None and inspection.inspector else ""
    return SheetData(
        number=structure.number,
        title=structure.title,
        route=", ".join(part for part in (structure.road_name, structure.route_number) if part),
        place=", ".join(part for part in (structure.feature_crossed, structure.location) if part),
        agency=str(structure.agency),
        rating_number=str(rating.pk),
        as_of=rating.as_of,
        made_at=rating.made_at,
        made_by=made_by,
        cause=rating.cause,
        digest=rating.digest,
        kernel_version=rating.kernel_version,
        versions=rating.table_versions,
        cases=rating.snapshot.get("cases") or [],
        policy=(rating.snapshot.get("policy") or {}) | (rating.snapshot.get("loss_policy") or {}),
        results=rating.results,
        trace=rating.trace,
        is_rated=rating.is_rated,
        reasons=rating.reasons,
        flags=rating.flags,
    )
