"""Posting terms: what may be adopted, what a sign must say, which of two is the harder.

Weight-limit signs R12-1 (one gross limit) and R12-5 (three classes): MUTCD 2003 section 2B.49 [checked]; ROAD CLOSED
R11-2 [memory]. Emergency vehicles have a sign of their own with single axle, tandem and gross (a State's page on load
posting [checked]; its code R12-7 [memory]); their limits 33,500, 62,000 and 86,000 lb: 23 U.S.C. 127(r) [checked-2nd].
Smallest posting 3 tons, below it the structure is closed: 23 CFR 650.313 and MBE 6A.8.1 [memory]. Never
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
"""Ratings made before a vehicle said its own sign class."""
FIELD_OF_SIGN_CLASS = {
    "single_unit": "single_unit_ton",
    "combination": "combination_ton",
    "two_trailers": "double_ton",
}
CLASS_FIELDS = ("single_unit_ton", "combination_ton", "double_ton")
CLASS_WORDS = {
    "single_unit_ton": "single-unit trucks",
    "combination_ton": "combinations with one trailer",
    "double_ton": "combinations with two trailers",
}
EMERGENCY_FIELDS = ("emergency_single_axle_ton", "emergency_tandem_ton", "emergency_gross_ton")
EMERGENCY_WORDS = dict(zip(EMERGENCY_FIELDS, ("single axle", "tandem", "gross"), strict=True))
EMERGENCY_LEGAL_TON = dict(zip(EMERGENCY_FIELDS, (16.75, 31.0, 43.0), strict=True))
EMERGENCY_SIGN = "R12-7"
GENERAL_CLASSES = ("legal", "shv", "county")
APPROACHES = ("from the start of the route", "from the end of the route")
TAKE_DOWN = "TAKE DOWN: "


@dataclass(frozen=True, kw_only=True)
class PostingTerms:
    """A restriction in short tons of 2,000 lb: one gross limit, or one for each of three classes of truck.

    The emergency limits (single axle, tandem, gross) stand on a sign of their own, beside a limit for all or alone.
    """

    restriction: str
    single_ton: float | None = None
    single_unit_ton: float | None = None
    combination_ton: float | None = None
    double_ton: float | None = None
    emergency_single_axle_ton: float | None = None
    emergency_tandem_ton: float | None = None
    emergency_gross_ton: float | None = None

    @property
    def words(self) -> str:
        if self.restriction != Restriction.POSTED:
            return Restriction.label_of(self.restriction).lower()
        emergency = emergency_words(self)
        if not self.limits_trucks:
            return f"posted for emergency vehicles: {emergency}" if emergency else "posted at - / - / - tons"
        limit = f"{self.single_ton:g}" if self.single_ton is not None else _slashed(self.class_tons)
        return f"posted at {limit} tons" + (f"; emergency vehicles {emergency}" if emergency else "")

    @property
    def limits_trucks(self) -> bool:
        """True where there is a limit for all, or for a class of truck."""
        return any(ton is not None for ton in (self.single_ton, *self.class_tons))

    @property
    def emergency_tons(self) -> tuple[float | None, ...]:
        return self.emergency_single_axle_ton, self.emergency_tandem_ton, self.emergency_gross_ton

    @property
    def class_tons(self) -> tuple[float | None, ...]:
        return self.single_unit_ton, self.combination_ton, self.double_ton

    def as_dict(self) -> dict:
        return asdict(self)


def _slashed(tons: Iterable[float | None]) -> str:
    return " / ".join("-" if ton is None else f"{ton:g}" for ton in tons)


def emergency_words(terms: "PostingTerms") -> str:
    """ "single axle 14, tandem 25, gross 35 tons"; empty where emergency vehicles have no limit of their own."""
    given = [
        f"{word} {getattr(terms, name):g}" for name, word in EMERGENCY_WORDS.items() if getattr(terms, name) is not None
    ]
    return f"{', '.join(given)} tons" if given else ""


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
    emergency = any(ton is not None for ton in terms.emergency_tons)
    if terms.restriction != Restriction.POSTED:
        return [f"'{terms.words}' takes no tons: leave the weight limits empty."] if given or emergency else []
    if not given and not emergency:
        return [
            "A posting needs a weight limit: give one gross limit, the limits of the truck classes, or those of "
            "emergency vehicles."
        ]
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
    return list(dict.fromkeys(faults + _emergency_faults(terms)))


def _emergency_faults(terms: PostingTerms) -> list[str]:
    faults = []
    for name, word in EMERGENCY_WORDS.items():
        ton = getattr(terms, name)
        if ton is None:
            continue
        least, most = LEAST_TON if name == "emergency_gross_ton" else 1.0, EMERGENCY_LEGAL_TON[name]
        if ton != ton or not least <= ton <= most:
            faults.append(
                f"Emergency vehicles, {word}: {ton:g} tons is outside {least:g} to {most:g} tons; above it no limit is "
                "needed, below it the structure must be closed."
            )
        elif ton != int(ton):
            faults.append(f"{ton:g} is not a whole number of tons; a sign shows whole tons.")
    gross = terms.emergency_gross_ton
    axles = (terms.emergency_single_axle_ton, terms.emergency_tandem_ton)
    if gross is not None and any(ton is not None and ton > gross for ton in axles):
        faults.append("Emergency vehicles: an axle cannot weigh more than the gross limit.")
    return faults


def above_operating(terms: PostingTerms, vehicles: Iterable[Mapping]) -> list[str]:
    """Sentences for every vehicle these terms would let cross above its operating rating.

    `vehicles` are the kernel's vehicle ratings as plain mappings: vehicle, name, vehicle_class, gross_tons,
    operating_factor, operating_tons, and where load and resistance factors post, posting_factor and ceiling_tons.
    A vehicle whose factor is 1 or more may cross at its full weight.
    """
    if terms.restriction == Restriction.CLOSED:
        return []
    faults = []
    for row in vehicles:
        is_emergency = row["vehicle_class"] == "emergency"
        by_factors = row.get("ceiling_tons") is not None
        highest = row["ceiling_tons"] if by_factors else row["operating_tons"]
        factor = row["posting_factor"] if by_factors else row["operating_factor"]
        if not (is_emergency or row["vehicle_class"] in GENERAL_CLASSES) or factor >= 1.0:
            continue
        if is_emergency:
            limit = _ceilings(terms)[-1]
            highest = max(highest, LEAST_TON)  # no fire engine weighs so little: it cannot cross
        else:
            limit = limit_for(terms, row["vehicle"], row.get("sign_class", ""))
        allowed = row["gross_tons"] if limit is None else min(limit, row["gross_tons"])
        if allowed > highest + 1e-9:
            rated = "rating" if by_factors else "operating rating"
            faults.append(f"{row['name']} could cross at {allowed:.3g} tons, above its {rated} of {highest:.1f} tons.")
    return faults


def limit_for(terms: PostingTerms, vehicle: str, sign_class: str = "") -> float | None:
    """The limit in tons that these terms set for a rating vehicle; None where they set none.

    `sign_class` is the line of a sign of three classes on which it counts; where not given, by the standard vehicle.
    """
    if terms.restriction != Restriction.POSTED:
        return None
    if terms.single_ton is not None:
        return terms.single_ton
    name = FIELD_OF_SIGN_CLASS.get(sign_class) or CLASS_OF_VEHICLE.get(vehicle)
    if name is not None:
        return getattr(terms, name)
    given = [ton for ton in terms.class_tons if ton is not None]
    return max(given) if len(given) == len(CLASS_FIELDS) else None


def is_less_restrictive(terms: PostingTerms, than: PostingTerms) -> bool:
    """True where `terms` would let any class of truck cross heavier than `than` does. Not known restricts nothing."""
    return any(mine > theirs for mine, theirs in zip(_ceilings(terms), _ceilings(than), strict=True))


def _ceilings(terms: PostingTerms) -> tuple[float, ...]:
    """What may cross: by class of truck, then an emergency vehicle's single axle, tandem and gross.

    Without limits of their own emergency vehicles keep the limit for all, or that of single-unit trucks.
    """
    free = float("inf")
    if terms.restriction == Restriction.CLOSED:
        return (0.0,) * 6
    if terms.restriction != Restriction.POSTED:
        return (free,) * 6
    trucks = terms.class_tons if terms.single_ton is None else (terms.single_ton,) * 3
    trucks = tuple(free if ton is None else ton for ton in trucks)
    if all(ton is None for ton in terms.emergency_tons):
        return trucks + (trucks[0],) * 3
    gross = free if terms.emergency_gross_ton is None else terms.emergency_gross_ton
    return trucks + tuple(gross if ton is None else min(ton, gross) for ton in terms.emergency_tons)


def panels(terms: PostingTerms) -> tuple[tuple[str, str], ...]:
    """Code and legend of each sign at each approach; none where no sign is needed."""
    if terms.restriction == Restriction.CLOSED:
        return (("R11-2", "ROAD CLOSED"),)
    if terms.restriction != Restriction.POSTED:
        return ()
    found = []
    if terms.single_ton is not None:
        found.append(("R12-1", f"WEIGHT LIMIT {terms.single_ton:g} TONS"))
    elif terms.limits_trucks:
        tons = " / ".join("-" if ton is None else f"{ton:g} T" for ton in terms.class_tons)
        found.append(("R12-5", f"WEIGHT LIMIT {tons}"))
    given = [f"{word.upper()} {getattr(terms, name):g} T" for name, word in EMERGENCY_WORDS.items()
             if getattr(terms, name) is not None]  # fmt: skip
    if given:
        found.append((EMERGENCY_SIGN, f"EMERGENCY VEHICLE WEIGHT LIMIT {', '.join(given)}"))
    return tuple(found)
