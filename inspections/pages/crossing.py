"""Can this load cross? The answer with what it rests on and what stands against it."""

from datetime import date

from django.utils.safestring import mark_safe

from inspections.assembly.snapshot import Snapshot
from inspections.drawings.factors import factor_words
from inspections.queries.inspections import posting_in_force
from inspections.queries.pages import rating_owed
from inspections.queries.ratings import current_rating
from inspections.reckoning.crossing import LIVE_FACTORS, SOURCE, crossing_of
from inspections.rules.posting import terms_of
from inventory.drawings.axle_train import axle_train
from inventory.models import Structure
from inventory.rules.axle_trains import train_of, weight_warnings
from inventory.vocabulary.structures import Restriction


def standing_context(structure: Structure) -> dict:
    """What the answer would rest on."""
    rating = current_rating(structure)
    return {"rating": rating, "owed": rating_owed(structure), "posting": posting_in_force(structure)}


def answer_context(structure: Structure, *, values: dict, circumstance: str, as_of: date) -> dict:
    """Factors of the load by both methods, its drawing, and every sentence that stands against a crossing."""
    rating = current_rating(structure)
    if rating is None:
        return {"answer": None}
    vehicle = train_of(values)
    answer = crossing_of(Snapshot.from_dict(rating.snapshot), vehicle=vehicle, circumstance=circumstance)
    drawing = axle_train(
        axles_kip=vehicle.axles_kip, spacings_ft=vehicle.spacings_ft, name=vehicle.name, key="crossing"
    )
    return {
        "answer": answer,
        "vehicle": vehicle,
        "lines": [(line, factor_words(line.rating_factor)) for line in answer.lines],
        "against": _against(structure, vehicle.gross_tons),
        "over_limits": weight_warnings(values),
        "live_factor": LIVE_FACTORS[circumstance],
        "source": SOURCE,
        "is_undecided": posting_in_force(structure) is None,
        "drawing": mark_safe(drawing),  # noqa: S308 the writer escapes every text
        "asked_on": as_of,
    }


def _against(structure: Structure, gross_tons: float) -> list[str]:
    """The restriction in force binds whatever the factors say."""
    posting = posting_in_force(structure)
    if posting is None:
        return []
    if posting.restriction == Restriction.CLOSED:
        return ["The structure is closed: nothing may cross."]
    terms = terms_of(posting)
    given = [ton for ton in (terms.single_ton, *terms.class_tons) if ton is not None]
    if given and gross_tons > min(given):
        return [
            f"The restriction in force is {terms.words}; this load weighs {gross_tons:g} tons. Without a permit it may "
            "not cross."
        ]
    return []
