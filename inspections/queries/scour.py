"""What is on record of scour: the newest appraisal, the plan in force, and what was rated and seen since."""

from collections.abc import Iterable
from datetime import date

from django.db.models import Exists, OuterRef, Q

from inspections.models import Inspection, ScourAppraisal, ScourPlan
from inspections.queries.inspections import RELIED_ON
from inspections.rules.scour import ScourDuties, ScourFacts, scour_duties
from inspections.vocabulary.findings import InspectionKind
from inventory.models import Person, Structure, SubstructureUnit
from inventory.queries.structures import structures_for
from inventory.vocabulary.structures import Status


def plan_in_force(structure: Structure) -> ScourPlan | None:
    return structure.scour_plans.filter(ended_on__isnull=True).select_related("appraisal", "adopted_by").first()


def scour_facts(structure: Structure, as_of: date) -> ScourFacts:
    """One structure as the rule sees it."""
    return scour_facts_of([structure], as_of)[structure.pk]


def scour_facts_of(structures: Iterable[Structure], as_of: date) -> dict[int, ScourFacts]:
    """Many structures as the rule sees them, in a fixed number of queries."""
    structures = list(structures)
    ids = [structure.pk for structure in structures]
    newest: dict[int, ScourAppraisal] = {}
    for row in ScourAppraisal.objects.filter(structure__in=ids, on__lte=as_of).order_by("on", "id"):
        newest[row.structure_id] = row
    plans = {row.structure_id: row for row in ScourPlan.objects.filter(structure__in=ids, ended_on__isnull=True)}
    unknown = set(
        SubstructureUnit.objects.filter(structure__in=ids, foundation_known=False).values_list("structure", flat=True)
    )
    rated, seen = _rated(ids, as_of)
    return {
        structure.pk: _facts(
            structure, as_of, newest.get(structure.pk), plans.get(structure.pk),
            structure.pk in unknown, rated.get(structure.pk), seen.get(structure.pk),
        )
        for structure in structures
    }  # fmt: skip


def scour_owed(person: Person, as_of: date) -> list[tuple[Structure, ScourDuties]]:
    """Structures in service that owe an appraisal, a plan or a review, the gravest first, then by number."""
    appraised = ScourAppraisal.objects.filter(structure=OuterRef("pk"))
    rows = list(
        structures_for(person)
        .filter(status=Status.IN_SERVICE)
        .filter(~Q(over_water=False) | Q(over_water__isnull=True) | Exists(appraised))
        .select_related("agency")
        .order_by("agency", "number")
    )
    facts = scour_facts_of(rows, as_of)
    owed = [(structure, scour_duties(facts[structure.pk])) for structure in rows]
    return sorted((pair for pair in owed if pair[1].sentences), key=lambda pair: (not pair[1].needs_plan,))


def _rated(ids: list[int], as_of: date) -> tuple[dict[int, tuple[date, str]], dict[int, date]]:
    """The newest scour rating with its day, and the newest scour monitoring visit."""
    rated, seen = {}, {}
    bears = ~Q(scour_rating="") | Q(kind=InspectionKind.SCOUR)
    rows = Inspection.objects.filter(bears, structure__in=ids, state__in=RELIED_ON, field_completed_on__lte=as_of)
    rows = rows.order_by("field_completed_on", "id")
    for pk, kind, on, code in rows.values_list("structure", "kind", "field_completed_on", "scour_rating"):
        if code:
            rated[pk] = (on, code)
        if kind == InspectionKind.SCOUR:
            seen[pk] = on
    return rated, seen


def _facts(structure, as_of, appraisal, plan, is_unknown, rated, seen_on) -> ScourFacts:
    since = rated is not None and appraisal is not None and rated[0] >= appraisal.on
    return ScourFacts(
        as_of=as_of,
        over_water=structure.over_water,
        result=appraisal.result if appraisal else "",
        appraised_on=appraisal.on if appraisal else None,
        has_plan=plan is not None,
        plan_review_on=plan.review_on if plan else None,
        foundations_unknown=is_unknown,
        last_seen_on=seen_on,
        scour_rating=rated[1] if since else "",
    )
