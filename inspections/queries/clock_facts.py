"""The facts the clocks read, for many structures in a fixed number of queries."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from django.db.models import Q
from django.utils import timezone

from inspections.models import BarForecast, Finding, Recommendation
from inspections.queries.bar_history import Pulled, forces_seen, pulls_of, read_after_pull
from inspections.queries.critical import critical_facts
from inspections.queries.inspection_facts import clock_policy, inspection_facts
from inspections.queries.inspections import RECEIVED
from inspections.queries.need_shown import need_shown_on
from inspections.rules.clocks import (
    BarFact,
    BarsFacts,
    ForecastFact,
    Layer,
    Policy,
    PostingFacts,
    ProposalFacts,
    SignFact,
    StructureFacts,
    SurfaceFacts,
    Treated,
    TreatmentFacts,
    erection_started,
)
from inspections.rules.forecast_band import day_of_ordinal
from inspections.rules.posting import terms_of
from inspections.vocabulary.findings import Change, FindingKind
from inspections.vocabulary.states import RecommendationState
from inventory.models import Posting, Sign, Span, StressingSystem, Structure, SurfacingLayer, Treatment, Work
from inventory.models.bars import Bar
from inventory.queries.inspection_policy import policies_of
from inventory.vocabulary.structures import Restriction, WorkKind

# Found broken: potholes or exposed wood over a tenth of the deck, or in condition state 3 or worse (policy).
BROKEN_AREA_PCT, BROKEN_STATE = 10.0, 3


def clock_facts(structure_ids: Iterable[int]) -> dict[int, tuple[StructureFacts, Policy]]:
    """Facts and owner's policy by structure id, of every structure named that exists."""
    ids = list(structure_ids)
    structures = list(Structure.objects.filter(pk__in=ids).select_related("agency"))
    policies = policies_of(structure.agency_id for structure in structures)
    inspections, critical, works = inspection_facts(structures), critical_facts(ids), _works(ids)
    pulls, forecasts = pulls_of(ids), _forecasts(ids)
    treated, surfaces, bars = _treated(ids), _surfaces(ids), _bars(ids, pulls)
    needed = need_shown_on(ids)
    postings, proposals, decided = _postings(ids, needed), _proposals(ids, needed), _decided(ids)
    facts = {}
    for structure in structures:
        key, registered_on = structure.pk, timezone.localdate(structure.created_at)
        inspection, done = inspections[key], works[key]
        layers, broken = surfaces[key]
        facts[key] = (
            StructureFacts(
                status=structure.status,
                inspection=inspection,
                treatment=TreatmentFacts(
                    registered_on=registered_on,
                    opened_on=structure.installed_on,
                    treated=tuple(treated[key]),
                    worked_on=max(done[WorkKind.TREATMENT], default=None),
                ),
                surface=SurfaceFacts(
                    registered_on=registered_on,
                    has_bars=bool(bars[key]),
                    layers=tuple(layers),
                    resurfaced_on=max(done[WorkKind.RESURFACING], default=None),
                    broken_found_on=tuple(broken),
                    inspected_on=inspection.last_routine_on,
                ),
                bars=tuple(
                    _bars_facts(structure, registered_on, entry, level, pulls[key], forecasts)
                    for entry in bars[key]
                    for level in sorted({bar.level for bar in entry[2]}) or ["mid"]
                ),
                posting=postings.get(key),
                proposal=proposals.get(key),
                posting_decided_on=decided.get(key),
                critical=tuple(critical.get(key, ())),
            ),
            clock_policy(structure.agency, policies[structure.agency_id]),
        )
    return facts


def _works(ids: list[int]) -> dict[int, dict[str, list[date]]]:
    kinds = (WorkKind.RESURFACING, WorkKind.TREATMENT)
    by_structure: dict = defaultdict(lambda: defaultdict(list))
    rows = Work.objects.filter(structure__in=ids, kind__in=[kind.value for kind in kinds])
    for structure_id, kind, done_on in rows.values_list("structure_id", "kind", "done_on"):
        by_structure[structure_id][kind].append(done_on)
    return by_structure


def _treated(ids: list[int]) -> dict[int, list[Treated]]:
    by_structure = defaultdict(list)
    rows = Treatment.objects.filter(structure__in=ids)
    for structure_id, part, kind, preservative, on in rows.values_list(
        "structure_id", "part", "kind", "preservative", "treated_on"
    ):
        by_structure[structure_id].append(Treated(part=part, kind=kind, preservative=preservative, on=on))
    return by_structure


def _surfaces(ids: list[int]) -> dict[int, tuple[list[Layer], list[date]]]:
    by_structure: dict = defaultdict(lambda: ([], []))
    layers = SurfacingLayer.objects.filter(structure__in=ids, removed_on__isnull=True).order_by("laid_on", "id")
    for structure_id, material, laid_on in layers.values_list("structure_id", "material", "laid_on"):
        by_structure[structure_id][0].append(Layer(material=material, laid_on=laid_on))
    broken = Finding.objects.filter(
        Q(area_pct__gte=BROKEN_AREA_PCT) | Q(condition_state__gte=BROKEN_STATE),
        inspection__structure__in=ids,
        inspection__state__in=RECEIVED,
        kind=FindingKind.POTHOLE.value,
    ).exclude(change=Change.GONE.value)
    for structure_id, on in broken.values_list("inspection__structure_id", "inspection__field_completed_on"):
        by_structure[structure_id][1].append(on)
    return by_structure


def _bars(
    ids: list[int], pulls: dict[int, list[Pulled]]
) -> dict[int, list[tuple[StressingSystem, int, tuple[BarFact, ...]]]]:
    """Stressing systems of each structure with span count and bars with their standing readings."""
    after = {key: force for rows in pulls.values() for key, force in read_after_pull(rows).items()}
    readings = defaultdict(list)
    for rows in forces_seen(ids).values():
        for row in rows:
            if not row.is_broken:
                readings[row.bar_id].append((row.on, after.get((row.bar_id, row.on), row.force_lb)))
    after_pull = defaultdict(list)
    for bar_id, on in after:
        after_pull[bar_id].append(on)
    bars = defaultdict(list)
    for bar in Bar.objects.filter(system__span__structure__in=ids).order_by("system", "station_ft", "id"):
        bars[bar.system_id].append(
            BarFact(
                number=bar.number,
                station_ft=bar.station_ft,
                level=bar.level,
                readings=tuple(sorted(readings[bar.pk])),
                after_pull=tuple(sorted(after_pull[bar.pk])),
            )
        )
    spans = defaultdict(int)
    for structure_id in Span.objects.filter(structure__in=ids).values_list("structure_id", flat=True):
        spans[structure_id] += 1
    by_structure = defaultdict(list)
    systems = StressingSystem.objects.filter(span__structure__in=ids).select_related("span").order_by("span__index")
    for system in systems:
        key = system.span.structure_id
        by_structure[key].append((system, spans[key], tuple(bars[system.pk])))
    return by_structure


def _bars_facts(structure: Structure, registered_on: date, entry, level: str, pulls: list[Pulled], forecasts):
    """Of one level: a stressing day pulls the bars of one level, and may not put the clock of another back."""
    system, span_count, all_bars = entry
    bars = tuple(bar for bar in all_bars if bar.level == level)
    mine = [pulled for pulled in pulls if pulled.is_of(system.pk, level)]
    return BarsFacts(
        span_index=system.span.index,
        span_count=span_count,
        # Bars may sit a little beyond the bearings; the deck they squeeze is at least as long as they reach.
        length_ft=max([system.span.length_ft, *(bar.station_ft for bar in all_bars)]),
        spacing_in=system.spacing_in,
        thickness_in=system.stressed_depth_in,
        bars=bars,
        registered_on=registered_on,
        opened_on=structure.installed_on,
        erected_on=erection_started(pulled.on for pulled in mine if pulled.at_erection),
        stressed_on=tuple(sorted({pulled.on for pulled in mine})),
        forecast=forecasts.get((system.pk, level)),
        level=level,
    )


def _forecasts(ids: list[int]) -> dict[tuple[int, str], ForecastFact]:
    """What the forecast of each row of bars asks for, by stressing system and level."""
    rows = BarForecast.objects.filter(structure__in=ids, problem="").order_by("system", "level")
    told = rows.values_list("system_id", "level", "results__own__on", "results__own__why", "results__limit_day")
    return {
        (system_id, level): ForecastFact(
            retension_on=date.fromisoformat(on) if on else None, why=why or "", reaches_limit_on=day_of_ordinal(limit)
        )
        for system_id, level, on, why, limit in told
    }


def _postings(ids: list[int], needed: dict[int, date]) -> dict[int, PostingFacts]:
    signs = defaultdict(list)
    standing = Sign.objects.filter(posting__structure__in=ids, posting__superseded_on__isnull=True)
    for sign in standing.order_by("posting", "approach", "code", "pk"):
        signs[sign.posting_id].append(
            SignFact(
                code=sign.code,
                approach=sign.approach,
                state=sign.state,
                missing_seen_on=sign.missing_seen_on,
                confirmed_on=sign.confirmed_on,
            )
        )
    shown: dict[int, date] = {}
    behind = Recommendation.objects.filter(posting__structure__in=ids, posting__superseded_on__isnull=True)
    for pk, posting_id in behind.values_list("pk", "posting_id"):
        shown[posting_id] = min(needed[pk], shown.get(posting_id, needed[pk]))
    return {
        posting.structure_id: PostingFacts(
            words=posting.words,
            restriction=posting.restriction,
            decided_on=posting.decided_on,
            need_shown_on=shown.get(posting.pk),
            from_record=posting.source == "record",
            signs=tuple(signs[posting.pk]),
        )
        for posting in Posting.objects.filter(structure__in=ids, superseded_on__isnull=True)
    }


def _proposals(ids: list[int], needed: dict[int, date]) -> dict[int, ProposalFacts]:
    rows = Recommendation.objects.filter(structure__in=ids, state=RecommendationState.PROPOSED.value)
    return {
        row.structure_id: ProposalFacts(
            made_on=row.made_on,
            need_shown_on=needed[row.pk],
            words=_proposal_words(row),
            restriction=row.restriction,
            changes_sign=row.changes_sign,
            needs_review_now=row.needs_review_now,
        )
        for row in rows
    }


def _proposal_words(row: Recommendation) -> str:
    """The proposal as the sign would say it."""
    words = Posting(**terms_of(row).as_dict()).words
    plain = {Restriction.CLOSED: "closing", Restriction.OPEN: "no restriction"}
    return words if row.restriction == Restriction.POSTED else plain.get(row.restriction, words.lower())


def _decided(ids: list[int]) -> dict[int, date]:
    """The last day an engineer took up a proposal, as adopted or in force (a withdrawn one decides nothing)."""
    taken_up = (RecommendationState.ADOPTED, RecommendationState.IN_FORCE, RecommendationState.SUPERSEDED)
    rows = Recommendation.objects.filter(
        structure__in=ids, state__in=[state.value for state in taken_up], decided_at__isnull=False
    ).order_by("decided_at", "id")
    return {structure_id: timezone.localdate(at) for structure_id, at in rows.values_list("structure_id", "decided_at")}
