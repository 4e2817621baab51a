"""What the inspection clocks are told: days, ratings as last coded, what people asked for, what happened."""

from dataclasses import dataclass
from datetime import date

COMPONENTS = ("deck", "superstructure", "substructure", "culvert")
SCOUR = "scour"
WATER_PARTS = ("underwater", "channel", "protection", SCOUR)
PART_WORDS = {SCOUR: "observed scour", "protection": "channel protection", "underwater": "underwater part"}


@dataclass(frozen=True, kw_only=True)
class NeedFact:
    """An interval of its own that a person set for one kind of inspection of one structure, in force."""

    kind: str
    interval_months: int
    reason: str
    set_on: date
    first_due_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class VisitFact:
    """A visit owed because something happened and not set aside; `cause` in words."""

    kind: str
    cause: str
    happened_on: date
    due_on: date
    words: str = ""


@dataclass(frozen=True, kw_only=True)
class InspectionFacts:
    """What the record says. `is_federal` is true for more than 20 ft and where the length is not known.

    `last_routine_on` is the day the field portion of the last initial or routine inspection was finished, the others
    the last of their kind. `ratings` holds (part, code 0 to 9), each as last coded; the parts are named above.
    `built_on` is the opening, or the first day of the year it was built.
    """

    registered_on: date
    is_federal: bool = True
    opened_on: date | None = None
    built_on: date | None = None
    last_routine_on: date | None = None
    last_underwater_on: date | None = None
    last_in_depth_on: date | None = None
    last_special_on: date | None = None
    last_damage_on: date | None = None
    last_scour_on: date | None = None
    ratings: tuple[tuple[str, int], ...] = ()
    interval_on_record_months: int | None = None
    needs: tuple[NeedFact, ...] = ()
    visits: tuple[VisitFact, ...] = ()

    def need(self, kind: str) -> NeedFact | None:
        """What a person asked for of this kind."""
        return next((need for need in self.needs if need.kind == kind), None)

    def rated_at_most(self, code: int, parts: tuple[str, ...]) -> list[tuple[str, int]]:
        """Those of the parts rated `code` or less, the lowest first."""
        return sorted(((part, n) for part, n in self.ratings if part in parts and n <= code), key=lambda row: row[1])


def part_words(part: str) -> str:
    """A part as a sentence names it."""
    return PART_WORDS.get(part, part)
