"""Posting terms: what may be adopted, what a sign must say, which of two is the harder.

Weight-limit signs R12-1 (one gross limit) and R12-5 (three classes): MUTCD 2003 section 2B.49 [checked]; ROAD CLOSED
R11-2 [memory]. Smallest posting 3 tons, below it the structure is closed: 23 CFR 650.313 and MBE 6A.8.1 [memory]. Never
above the operating rating: FHWA quoting MBE 6B.7.1 [checked]. Legal gross 80,000 lb: 23 U.S.C. 127 [checked-2nd].
"""

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass

from inventory.vocabulary.structures import Restriction

LEAST_TON = 3.0
LEGAL_GROSS_TON = 40.0
CLASS_OF_VEHICLE = {
    "TYPE3": "single_unit_ton",
    "SU4": "single_unit_ton",
    "SU5": "single_unit_ton",
    "SU6": "single_unit_ton",
    "SU7": "single_unit_ton",
    "TYPE3S2": "combination_ton",
    "TYPE3-3": "double_ton",
}
CLASS_FIELDS = ("single_unit_ton", "combination_ton", "double_ton")
CLASS_WORDS = {
    "single_unit_ton": "single-unit trucks",
    "combination_ton": "combinations with one trailer",
    "double_ton": "combinations with two trailers",
}
GENERAL_CLASSES = ("legal", "shv", "county")
APPROACHES = ("from the start of the route", "from the end of the route")
TAKE_DOWN = "TAKE DOWN: "


@dataclass(frozen=True, kw_only=True)
class PostingTerms:
    """A restriction in short tons of 2,000 lb: one gross limit, or one for each of three classes of truck."""

    restriction: str
    single_ton: float | None = None
    single_unit_ton: float | None = None
    combination_ton: float | None = None
    double_ton: float | None = None

    @property
    def words(self) -> str:
        if self.restriction != Restriction.POSTED:
            return Restriction.label_of(self.restriction).lower()
        if self.single_ton is not None:
            return f"posted at {self.single_ton:g} tons"
        return "posted at " + " / ".join("-" if ton is None else f"{ton:g}" for ton in self.class_tons) + " tons"

    @property
    def class_tons(self) -> tuple[float | None, ...]:
        return self.single_unit_ton, self.combination_ton, self.double_ton

    def as_dict(self) -> dict:
        return asdict(self)


def terms_of(row: object) -> PostingTerms:
    """The terms held by anything with the fields of a posting or a recommendation."""
    return PostingTerms(**{name: getattr(row, name) for name in PostingTerms.__dataclass_fields__})


def faults_of(terms: PostingTerms) -> list[str]:
    """Sentences saying what makes these terms unfit for a sign, whatever the rating."""
    if terms.restriction == Restriction.UNKNOWN:
        return ["Decide on open, posted or closed: 'not known' cannot be adopted."]
    if terms.restriction not in (Restriction.OPEN, Restriction.POSTED, Restriction.CLOSED):
        return [f"'{terms.restriction}' is not a restriction: choose open, posted or closed."]
    given = [ton for ton in (terms.single_ton, *terms.class_tons) if ton is not None]
    if terms.restriction != Restriction.POSTED:
        return [f"'{terms.words}' takes no tons: leave the weight limits empty."] if given else []
    if not given:
        return ["A posting needs a weight limit: give one gross limit, or the limits of the truck classes."]
    faults = []
    if terms.single_ton is not None and any(ton is not None for ton in terms.class_tons):
        faults.append("Give either one gross limit or the limits of the truck classes, not both.")
    for ton in given:
        if ton != ton or ton < LEAST_TON:
            faults.append(
                f"{ton:g} tons is below {LEAST_TON:g} tons, the smallest posting: the structure must be closed."
            )
        elif ton > LEGAL_GROSS_TON:
            faults.append(f"{ton:g} tons is above the legal gross weight of {LEGAL_GROSS_TON:g} tons.")
        elif ton != int(ton):
            faults.append(f"{ton:g} is not a whole number of tons; a sign shows whole tons.")
    return list(dict.fromkeys(faults))


def above_operating(terms: PostingTerms, vehicles: Iterable[Mapping]) -> list[str]:
    """Sentences for every vehicle these terms would let cross above its operating rating.

    `vehicles` are the kernel's vehicle ratings as plain mappings: vehicle, name, vehicle_class, gross_tons,
    operating_factor, operating_tons. A vehicle whose operating factor is 1 or more may cross at its full weight.
    """
    if terms.restriction == Restriction.CLOSED:
        return []
    faults = []
    for row in vehicles:
        if row["vehicle_class"] not in GENERAL_CLASSES or row["operating_factor"] >= 1.0:
            continue
        limit = limit_for(terms, row["vehicle"])
        allowed = row["gross_tons"] if limit is None else min(limit, row["gross_tons"])
        if allowed > row["operating_tons"] + 1e-9:
            faults.append(
                f"{row['name']} could cross at {allowed:.3g} tons, above its operating rating of "
                f"{row['operating_tons']:.1f} tons."
            )
    return faults


def limit_for(terms: PostingTerms, vehicle: str) -> float | None:
    """The limit in tons that these terms set for a rating vehicle; None where they set none."""
    if terms.restriction != Restriction.POSTED:
        return None
    if terms.single_ton is not None:
        return terms.single_ton
    if vehicle in CLASS_OF_VEHICLE:
        return getattr(terms, CLASS_OF_VEHICLE[vehicle])
    given = [ton for ton in terms.class_tons if ton is not None]
    return max(given) if len(given) == len(CLASS_FIELDS) else None


def is_less_restrictive(terms: PostingTerms, than: PostingTerms) -> bool:
    """True where `terms` would let any class of truck cross heavier than `than` does. Not known restricts nothing."""
    return any(mine > theirs for mine, theirs in zip(_ceilings(terms), _ceilings(than), strict=True))


def _ceilings(terms: PostingTerms) -> tuple[float, float, float]:
    if terms.restriction == Restriction.CLOSED:
        return (0.0, 0.0, 0.0)
    if terms.restriction != Restriction.POSTED:
        return (float("inf"),) * 3
    if terms.single_ton is not None:
        return (terms.single_ton,) * 3
    return tuple(float("inf") if ton is None else ton for ton in terms.class_tons)


def panel(terms: PostingTerms) -> tuple[str, str] | None:
    """The sign's code and legend at each approach; None where no sign is needed."""
    if terms.restriction == Restriction.CLOSED:
        return "R11-2", "ROAD CLOSED"
    if terms.restriction != Restriction.POSTED:
        return None
    if terms.single_ton is not None:
        return "R12-1", f"WEIGHT LIMIT {terms.single_ton:g} TONS"
    return "R12-5", "WEIGHT LIMIT " + " / ".join("-" if ton is None else f"{ton:g} T" for ton in terms.class_tons)
