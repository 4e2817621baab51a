"""The one place where a posting comes into force and its signs are ordered, moved or taken down.

Only adopt and restrict_now call it, each inside its own transaction with the structure held.
"""

from datetime import date

from inspections.models import Recommendation
from inspections.queries.inspections import posting_in_force
from inspections.rules.posting import APPROACHES, EMERGENCY_SIGN, TAKE_DOWN, PostingTerms, panels
from inspections.vocabulary.states import RecommendationState
from inventory.models import Person, Posting, Sign, Structure
from inventory.vocabulary.structures import Restriction, SignState

STANDING_SIGNS = (SignState.ORDERED, SignState.CONFIRMED, SignState.MISSING)


def put_in_force(
    *,
    structure: Structure,
    terms: PostingTerms,
    source: str,
    reason: str,
    by: Person,
    on: date,
    order_number: str = "",
) -> Posting:
    """Supersede the posting in force and make the new one, with the signs it needs."""
    before = posting_in_force(structure)
    if before is not None:
        before.superseded_on = on
        before.save(update_fields=["superseded_on"])
        _supersede_decisions(before)
    posting = Posting.objects.create(
        structure=structure,
        **terms.as_dict(),
        reason=reason[:500],
        order_number=order_number,
        source=source,
        adopted_by=by,
        decided_on=on,
    )
    _set_signs(posting, terms, before)
    if all_signs_stand(posting):
        posting.in_force_from = on
        posting.save(update_fields=["in_force_from"])
    return posting


def all_signs_stand(posting: Posting) -> bool:
    """True where no sign is still to be set, replaced or taken down."""
    return not posting.signs.filter(state__in=[SignState.ORDERED, SignState.MISSING]).exists()


def is_take_down(sign: Sign) -> bool:
    """True for an order to take a sign down."""
    return sign.legend.startswith(TAKE_DOWN)


def _supersede_decisions(posting: Posting) -> None:
    for decided in Recommendation.objects.select_for_update().filter(
        posting=posting, state__in=[RecommendationState.ADOPTED, RecommendationState.IN_FORCE]
    ):
        decided.state = RecommendationState.SUPERSEDED
        decided.revision += 1
        decided.save(update_fields=["state", "revision"])


def _set_signs(posting: Posting, terms: PostingTerms, before: Posting | None) -> None:
    """The same panel stays where it stands; another is ordered; what is no longer wanted is to be taken down."""
    wanted = panels(terms)
    old = list(before.signs.filter(state__in=STANDING_SIGNS)) if before is not None else []
    kept = [sign for sign in old if (sign.code, sign.legend) in wanted]
    Sign.objects.filter(pk__in=[sign.pk for sign in kept]).update(posting=posting)
    standing = {(sign.code, sign.legend) for sign in kept}
    new = [panel for panel in wanted if panel not in standing]
    Sign.objects.bulk_create(
        [
            Sign(posting=posting, approach=place, code=code, legend=legend)
            for code, legend in new
            for place in APPROACHES
        ]
    )
    for sign in old:
        if sign not in kept:
            _retire(sign, posting, replaced=_is_replaced(sign, new, terms))


def _is_replaced(sign: Sign, new: list[tuple[str, str]], terms: PostingTerms) -> bool:
    """True where a sign of its kind, for all trucks or for emergency vehicles, takes its place; or the road closes."""
    same = [code for code, _legend in new if (code == EMERGENCY_SIGN) == (sign.code == EMERGENCY_SIGN)]
    return bool(same) or terms.restriction == Restriction.CLOSED


def _retire(sign: Sign, posting: Posting, replaced: bool) -> None:
    """A sign never seen standing leaves with its order; one that stands is taken down when its successor is set.

    Where nothing succeeds it, the crew gets an order to take it down.
    """
    may_stand = sign.confirmed_on is not None
    legend = sign.legend if is_take_down(sign) else TAKE_DOWN + sign.legend
    if (may_stand and not replaced) or is_take_down(sign):
        Sign.objects.create(posting=posting, approach=sign.approach, code=sign.code, legend=legend[:120])
    sign.state = SignState.REMOVED
    sign.save(update_fields=["state"])
