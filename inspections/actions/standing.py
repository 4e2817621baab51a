"""The one row by which lists, map and exports know a structure: kept here, read everywhere."""

from datetime import date

from django.db import transaction

from inspections.assembly.bars import bar_pressures
from inspections.models import Rating
from inspections.queries.inspections import last_codes, last_inspection, open_proposal, posting_in_force
from inspections.queries.ratings import current_rating
from inspections.rules.condition import condition_class
from inspections.rules.pressed import needs_of
from inventory.models import Posting, Standing, Structure
from inventory.queries.completeness import missing_of
from inventory.vocabulary.structures import Restriction, SignState

COMPONENTS = ("deck_rating", "superstructure_rating", "substructure_rating", "culvert_rating")


@transaction.atomic
def refresh_standing(*, structure: Structure, as_of: date) -> Standing:
    """Rewrite what ratings, inspections, postings and bars say of a structure; reminders and detours are others'."""
    Standing.objects.get_or_create(structure=structure)
    standing = Standing.objects.select_for_update().get(structure=structure)
    _condition(standing, structure)
    rating = current_rating(structure)
    _factor(standing, rating)
    _restriction(standing, posting_in_force(structure))
    standing.decision_awaited = open_proposal(structure) is not None
    pressures = bar_pressures(structure=structure, as_of=as_of)
    standing.bar_state = pressures.standing_with(needs_of(rating.results if rating else {}))
    standing.least_pressure_psi = pressures.least_psi
    last = last_inspection(structure)
    standing.last_inspected_on = last.field_completed_on if last else standing.last_inspected_on
    top = structure.surfacing.filter(laid_on__lte=as_of, removed_on__isnull=True).order_by("laid_on", "id").last()
    standing.surface_material = top.material if top else ""
    # The rule looks at the standing as it will be, bar state and surface included.
    structure.standing = standing
    standing.missing_count = len(missing_of(structure))
    standing.updated_on = as_of
    standing.save()
    return standing


def _condition(standing: Standing, structure: Structure) -> None:
    given = last_codes(structure, COMPONENTS)
    if not given:
        return
    for name in COMPONENTS:
        setattr(standing, name, given.get(name, getattr(standing, name)))
    judged = condition_class(
        deck=standing.deck_rating,
        superstructure=standing.superstructure_rating,
        substructure=standing.substructure_rating,
        culvert=standing.culvert_rating,
    )
    standing.condition_class, standing.lowest_rating = judged.condition, judged.lowest


def _factor(standing: Standing, rating: Rating | None) -> None:
    if rating is None:
        return
    standing.least_factor = rating.least_factor
    standing.governing = rating.governing
    standing.rated_on = rating.as_of if rating.is_rated else None


def _restriction(standing: Standing, posting: Posting | None) -> None:
    if posting is None:
        standing.restriction, standing.sign_words = Restriction.UNKNOWN.value, ""
        standing.posted_ton, standing.emergency_gross_ton, standing.sign_awaited = None, None, False
        return
    standing.restriction = posting.restriction
    standing.sign_words = "" if posting.restriction == Restriction.OPEN else posting.words[:120]
    tons = [posting.single_ton, posting.single_unit_ton, posting.combination_ton, posting.double_ton]
    given = [ton for ton in tons if ton is not None]
    standing.posted_ton = 0.0 if posting.restriction == Restriction.CLOSED else min(given, default=None)
    standing.emergency_gross_ton = posting.emergency_gross_ton
    standing.sign_awaited = posting.signs.filter(state__in=[SignState.ORDERED, SignState.MISSING]).exists()
