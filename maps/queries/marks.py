"""Structures as the county sheet shows them: marks, groups of marks, counts, owed work."""

from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Avg, Count, F, FloatField, Max, Min, Q, QuerySet
from django.db.models.functions import Cast, Floor

from inventory.models import Structure
from inventory.vocabulary.structures import ON_STRINGERS, WITH_BARS, ConditionClass, Restriction, System
from maps.geometry import Bounds

MARKS_IN_VIEW = 2000  # above this the sheet shows groups
SHAPES = {
    "stringers": "on stringers",
    "deck": "laminated deck or panels",
    "bars": "with bars across",
    "other": "other or not recorded",
}


def shape_of(system: str) -> str:
    """Which of the four deck symbols stands for a system."""
    if system in WITH_BARS:
        return "bars"
    if system in ON_STRINGERS:
        return "stringers"
    return "other" if system in (System.OTHER, System.UNKNOWN, "") else "deck"


@dataclass(frozen=True)
class Mark:
    """One structure on the sheet; `days_left` is negative where owed work is late."""

    pk: int
    number: str
    title: str
    system: str
    status: str
    lon_deg: float | None
    lat_deg: float | None
    bearing_deg: float | None
    max_span_ft: float | None
    year_built: int | None
    condition: str
    lowest_rating: int | None
    least_factor: float | None
    governing: str
    restriction: str
    sign_words: str
    sign_awaited: bool
    due_on: date | None
    due_words: str
    days_left: int | None

    @property
    def shape(self) -> str:
        return shape_of(self.system)

    @property
    def symbol(self) -> str:
        return f"deck-{self.shape}-{self.condition}"

    @property
    def late(self) -> bool:
        return self.days_left is not None and self.days_left < 0

    @property
    def due_in_words(self) -> str:
        return days_in_words(self.days_left)

    @property
    def plate(self) -> str:
        """What the plate beside the mark says; nothing only where no restriction is on record."""
        if self.restriction == Restriction.POSTED:
            # The plate is short: the limit of trucks, or one word; the list and the words beside it say the rest.
            trucks = self.sign_words.partition("; ")[0]
            if trucks.startswith("emergency"):
                return "emergency"
            return trucks if any(letter.isdigit() for letter in trucks) else "posted"
        return {Restriction.CLOSED: "closed", Restriction.OPEN: ""}.get(self.restriction, "?")

    @property
    def system_words(self) -> str:
        return System.label_of(self.system)

    @property
    def condition_words(self) -> str:
        return ConditionClass.label_of(self.condition)

    @property
    def restriction_words(self) -> str:
        if self.restriction == Restriction.POSTED:
            words = f"Posted {self.sign_words}".strip()
            return words + (", sign not yet confirmed" if self.sign_awaited else "")
        return {"unknown": "Restriction not known"}.get(self.restriction, Restriction.label_of(self.restriction))


def days_in_words(days_left: int | None) -> str:
    """How late or how soon, short enough for a margin; beyond two years in whole years."""
    if days_left is None:
        return ""
    if days_left < -730:
        return f"late {-days_left // 365} yr"
    if days_left < 0:
        return f"late {-days_left} d"
    if days_left > 730:
        return f"in {days_left // 365} yr"
    return "today" if days_left == 0 else f"in {days_left} d"


_FIELDS = (
    "pk", "number", "name", "road_name", "feature_crossed", "system", "status",
    "lon_deg", "lat_deg", "bearing_deg", "max_span_ft", "year_built",
    "standing__condition_class", "standing__lowest_rating", "standing__least_factor", "standing__governing",
    "standing__restriction", "standing__sign_words", "standing__sign_awaited",
    "standing__next_due_on", "standing__next_due_words",
)  # fmt: skip


def marks_of(structures: QuerySet[Structure], as_of: date) -> list[Mark]:
    """The marks of a queryset, in its order; one query."""
    return [_mark(row, as_of) for row in structures.values_list(*_FIELDS)]


def _mark(row: tuple, as_of: date) -> Mark:
    pk, number, name, road, feature, *rest = row
    system, status, lon, lat, bearing, span, year = rest[:7]
    condition, lowest, least, governing, restriction, words, awaited, due_on, due_words = rest[7:]
    title = Structure(number=number, name=name, road_name=road, feature_crossed=feature).title
    return Mark(
        pk, number, title, system, status, lon, lat, bearing, span, year,
        condition or ConditionClass.NOT_RATED.value, lowest, least, governing or "",
        restriction or Restriction.UNKNOWN.value, words or "", bool(awaited),
        due_on, due_words or "", None if due_on is None else (due_on - as_of).days,
    )  # fmt: skip


def chosen_structures(filtered: QuerySet[Structure]) -> QuerySet[Structure]:
    """The same rows as a filtered list, without its joins and order, so that sums count each structure once."""
    return Structure.objects.filter(pk__in=filtered.order_by().values("pk"))


def structures_within(structures: QuerySet[Structure], bounds: Bounds | None) -> QuerySet[Structure]:
    """Those with a position in the window; without a window, those with any position."""
    structures = structures.filter(lon_deg__isnull=False, lat_deg__isnull=False)
    if bounds is None:
        return structures
    structures = structures.filter(lat_deg__gte=bounds.south, lat_deg__lte=bounds.north)
    if bounds.crosses_180:
        return structures.filter(Q(lon_deg__gte=bounds.west) | Q(lon_deg__lte=bounds.east))
    return structures.filter(lon_deg__gte=bounds.west, lon_deg__lte=bounds.east)


@dataclass(frozen=True)
class Group:
    """Structures of one grid cell, drawn as one mark at their mean place."""

    lon_deg: float
    lat_deg: float
    count: int
    poor: int
    posted: int
    closed: int
    bounds: Bounds


def groups_of(structures: QuerySet[Structure], cell_deg: float) -> list[Group]:
    """Structures gathered into square cells of `cell_deg` degrees; one query."""
    rows = (
        structures.order_by()
        .annotate(
            column=Floor(Cast(F("lon_deg") / cell_deg, FloatField())),
            row=Floor(Cast(F("lat_deg") / cell_deg, FloatField())),
        )
        .values("column", "row")
        .annotate(
            lon=Avg("lon_deg"), lat=Avg("lat_deg"), count=Count("pk"),
            poor=Count("pk", filter=Q(standing__condition_class=ConditionClass.POOR)),
            posted=Count("pk", filter=Q(standing__restriction=Restriction.POSTED)),
            closed=Count("pk", filter=Q(standing__restriction=Restriction.CLOSED)),
            west=Min("lon_deg"), south=Min("lat_deg"), east=Max("lon_deg"), north=Max("lat_deg"),
        )
        .order_by("row", "column")
    )  # fmt: skip
    return [
        Group(
            r["lon"], r["lat"], r["count"], r["poor"], r["posted"], r["closed"],
            Bounds(r["west"], r["south"], r["east"], r["north"]),
        )
        for r in rows
    ]  # fmt: skip


@dataclass(frozen=True)
class Tally:
    """What the margin of the sheet counts."""

    count: int
    unplaced: int
    open: int
    posted: int
    closed: int
    unknown: int
    late: int
    soon: int
    bounds: Bounds | None


def tally_of(structures: QuerySet[Structure], as_of: date, soon_days: int = 90) -> Tally:
    """Counts and extent of the chosen structures in one query; `soon` counts what falls due within `soon_days`."""
    due = "standing__next_due_on"
    sums = structures.order_by().aggregate(
        count=Count("pk"),
        placed=Count("pk", filter=Q(lon_deg__isnull=False, lat_deg__isnull=False)),
        open=Count("pk", filter=Q(standing__restriction=Restriction.OPEN)),
        posted=Count("pk", filter=Q(standing__restriction=Restriction.POSTED)),
        closed=Count("pk", filter=Q(standing__restriction=Restriction.CLOSED)),
        late=Count("pk", filter=Q(**{f"{due}__lt": as_of})),
        soon=Count("pk", filter=Q(**{f"{due}__gte": as_of, f"{due}__lte": as_of + timedelta(days=soon_days)})),
        west=Min("lon_deg"), south=Min("lat_deg"), east=Max("lon_deg"), north=Max("lat_deg"),
    )  # fmt: skip
    known = sums["open"] + sums["posted"] + sums["closed"]
    edges = (sums["west"], sums["south"], sums["east"], sums["north"])
    return Tally(
        count=sums["count"], unplaced=sums["count"] - sums["placed"],
        open=sums["open"], posted=sums["posted"], closed=sums["closed"], unknown=sums["count"] - known,
        late=sums["late"], soon=sums["soon"], bounds=None if None in edges else Bounds(*edges),
    )  # fmt: skip


def owed_marks(structures: QuerySet[Structure], as_of: date, limit: int = 8) -> list[Mark]:
    """The most urgent owed work of the chosen structures, latest first."""
    owed = structures.filter(standing__next_due_on__isnull=False)
    return marks_of(owed.order_by("standing__next_due_on", "number")[:limit], as_of)
