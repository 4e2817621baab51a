"""Since when a restriction is known to be needed: the days of the law run from there, however often rated again."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from inspections.models import Recommendation
from inspections.rules.posting import is_less_restrictive, terms_of
from inspections.vocabulary.states import RecommendationState


def need_shown_on(structure_ids: Iterable[int]) -> dict[int, date]:
    """Recommendation id to the day on which a rating first showed the need of it.

    A proposal that another took the place of before anybody decided goes on in that one, where it let nothing heavier
    cross: 23 CFR 650.313(l) [memory] counts from the rating that shows the need, and a second rating does not unsay it.
    """
    by_structure: dict[int, list[Recommendation]] = defaultdict(list)
    for row in Recommendation.objects.filter(structure__in=list(structure_ids)).order_by("structure", "id"):
        by_structure[row.structure_id].append(row)
    return {row.pk: _since(rows[: place + 1]) for rows in by_structure.values() for place, row in enumerate(rows)}


def _since(rows: list[Recommendation]) -> date:
    """Of the last of them; `rows` by age."""
    last, since = rows[-1], rows[-1].made_on
    for earlier in reversed(rows[:-1]):
        put_aside_by_nobody = earlier.state == RecommendationState.WITHDRAWN and earlier.decided_by_id is None
        if not put_aside_by_nobody or is_less_restrictive(terms_of(earlier), terms_of(last)):
            break
        since = min(since, earlier.made_on)
    return since
