"""Builds the demonstration county from one seed and one date."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from random import Random

from dateutil.relativedelta import relativedelta
from django.db import transaction
from django.utils import timezone

from inspections.models import ElementState, Inspection
from inventory.models import (
    Agency,
    Bar,
    Jack,
    MemberGroup,
    Posting,
    Railing,
    Sign,
    Span,
    Standing,
    Structure,
    SubstructureUnit,
    SurfacingLayer,
    Treatment,
    Work,
)

from . import checks, field_plan, history, timber
from .bars import BarRow, bar_row
from .critical import critical_findings, enter_contacts
from .equipment import enter_jacks
from .ground import Crossing, crossings, lon_lat
from .lines import draw_ground
from .outcome import Today, let_last_inspection_run, refresh_all
from .people import make_agency, make_people
from .plan import PLANS, Plan
from .schedule import own_schedules, start_policy
from .setting import record_setting
from .stream import streams
from .stressing import READ_BEFORE, stressing_days
from .vehicles import enter_vehicles

SEED = 20261124


@dataclass
class Made:
    """One structure with the dates its later history hangs on."""

    plan: Plan
    structure: Structure
    opened: date
    stressed: list[date]
    last_inspected_on: date | None
    row: BarRow | None = None


@dataclass
class Office:
    """What every structure is raised with."""

    agency: Agency
    people: dict
    jacks: list[Jack]
    today: date
    seed: int


def moment(day: date, hour: int = 10) -> datetime:
    return timezone.make_aware(datetime.combine(day, time(hour)))


def seed_county(*, today: date, seed: int = SEED) -> tuple[Agency, list[dict]]:
    """The whole county in one transaction, or nothing. Returns the agency and the sign-ins to print.

    The same seed and date give the same rows, passwords apart.
    """
    random = Random(seed)
    with transaction.atomic():
        agency = make_agency()
        people, sign_ins = make_people(agency)
        enter_vehicles(agency=agency, by=people["engineer"], at=moment(today, 7))
        start_policy(agency=agency, at=moment(today, 7))
        enter_contacts(agency, people, moment(today, 7))
        draw_ground(agency=agency, by=people["office"], at=moment(today, 7))
        jacks = enter_jacks(agency=agency, by=people["supervisor"], at=moment(today, 7), today=today)
        office = Office(agency, people, jacks, today, seed)
        places = _places(random)
        made = [
            _raise_structure(office, index, plan, place, random)
            for index, (plan, place) in enumerate(zip(PLANS, places, strict=False))
        ]
    day = Today(today=today, people=people)
    for item in made:
        let_last_inspection_run(item, day, jacks, random)
    checks.last_checks(made, day, jacks)
    stressing_days(made, day, jacks, seed)
    own_schedules(made, day)
    critical_findings(made, people, today, seed)
    streams(made, people, today, moment)
    refresh_all(agency, [item.structure for item in made], day)
    field_plan.enter_and_plan(agency=agency, people=people, today=today, moment=moment)
    return agency, sign_ins


def _places(random: Random) -> list[Crossing]:
    found = crossings()
    random.shuffle(found)
    if len(found) < len(PLANS):
        raise RuntimeError(f"The ground has {len(found)} crossings for {len(PLANS)} structures: add a stream.")
    return found


def _raise_structure(office: Office, index: int, plan: Plan, place: Crossing, random: Random) -> Made:
    today = office.today
    opened = min(date(plan.year, random.randint(5, 10), random.randint(1, 28)), today - timedelta(days=40))
    structure = _structure(office.agency, index, plan, place, opened, random)
    Standing.objects.create(structure=structure)
    stressed: list[date] = []
    last, row = None, None
    if plan.story != "no_members":
        _spans(structure, plan)
        if plan.system.startswith("stress_laminated"):
            stressed = history.stressing_dates(opened, today, plan.story)
            row = bar_row(structure.spans.get(), stressed, plan.story, office.seed, today)
        last = _past(structure, plan, opened, row, office, random)
    elif plan.system != "unknown":
        Span.objects.create(structure=structure, index=1, length_ft=plan.span_ft, system=plan.system)
    return Made(plan, structure, opened, stressed, last, row)


def _structure(agency, index: int, plan: Plan, place: Crossing, opened: date, random: Random) -> Structure:
    width = timber.width_of(plan.year)
    lon, lat = lon_lat(place.x_mi, place.y_mi)
    placed = plan.story != "no_position"
    length = plan.span_ft * plan.spans + 2
    return Structure.objects.create(
        agency=agency,
        number=f"LK-{index + 1:03d}",
        road_name=place.road,
        feature_crossed=place.stream,
        location=f"{random.choice((0.2, 0.4, 0.7, 1.1))} mi {random.choice('NESW')} of section corner",
        system=plan.system,
        owner_code="02",
        maintenance_code="02",
        lon_deg=lon if placed else None,
        lat_deg=lat if placed else None,
        bearing_deg=place.bearing_deg,
        year_built=plan.year,
        installed_on=opened,
        length_ft=length,
        max_span_ft=plan.span_ft,
        span_count=plan.spans,
        roadway_width_ft=width.roadway_ft,
        deck_width_ft=width.deck_ft,
        lanes=width.lanes,
        skew_deg=random.choice((0, 0, 0, 5, 10)),
        adt=random.choice((15, 30, 45, 80, 120, 260)),
        adt_year=2023,
        truck_pct=random.choice((3, 5, 8, 12)),
        detour_mi=random.choice((4, 4, 6, 6, 8, 10)),
        is_bridge_length=length > 20,
        over_water=True,
        interval_months=24,
    )


def _spans(structure: Structure, plan: Plan) -> None:
    width = timber.width_of(plan.year)
    grade = "No.1" if plan.year > 1960 else "No.2"
    for index in range(1, plan.spans + 1):
        span = Span(
            structure=structure,
            index=index,
            length_ft=plan.span_ft,
            system=plan.system,
            lanes_loaded=width.lanes,
            continuous_with_next=plan.runs_through and index < plan.spans,
            skew_deg=structure.skew_deg or 0,
            camber_in=round(plan.span_ft / 30, 1) if plan.system.startswith(("glulam", "stress")) else None,
            butt_jointed=plan.span_ft > 20 if plan.system == "stress_laminated" else False,
        )
        members = timber.members_of(span, width, plan.year, grade)
        span.save()
        if plan.story == "no_grade":
            for member in members:
                member.grade = member.species = ""
        MemberGroup.objects.bulk_create(members)
        if plan.system.startswith("stress_laminated"):
            system, bars = timber.stressing(span)
            system.save()
            Bar.objects.bulk_create(bars)


def _past(structure, plan: Plan, opened: date, row: BarRow | None, office: Office, random: Random) -> date:
    """Everything up to the last inspection, whose day is returned."""
    people, today = office.people, office.today
    stressed, is_set = row.stressed if row else [], plan.story == "just_set"
    layers = history.surfacing(structure, opened, today, plan.story, random)
    SurfacingLayer.objects.bulk_create(layers)
    Treatment.objects.bulk_create(history.treatments(structure, opened, today, random))
    Work.objects.bulk_create(history.works(structure, opened, stressed, layers, people["crew"], is_recorded=is_set))
    Railing.objects.create(structure=structure, side="both", kind="timber post and rail", weight_plf=35)
    for label in ("West abutment", "East abutment") if structure.bearing_deg else ("South abutment", "North abutment"):
        SubstructureUnit.objects.create(structure=structure, label=label, kind="abutment", material="timber")
    for number in range(1, plan.spans):
        SubstructureUnit.objects.create(
            structure=structure, label=f"Bent {number}", kind="pile_bent", material="timber", pile_count=5
        )
    _past_postings(structure, plan, opened, people["engineer"], people["crew"], today)
    last = last_inspection_day(plan, opened, today, random)
    first = date(today.year - 25, random.randint(4, 10), random.randint(1, 28))
    inspector, engineer = people["t.oakes"], people["engineer"]
    inspections, elements = history.past_inspections(structure, opened, first, last, inspector, engineer, random)
    Inspection.objects.bulk_create(inspections)
    ElementState.objects.bulk_create(elements)
    if is_set:
        chance = Random(f"{office.seed} setting")
        record_setting(
            structure=structure, stressed=stressed, opened=opened, people=people, random=chance, moment=moment
        )
    if row is not None and plan.story != "no_readings":
        checks.past_checks(row, plan, last, people, office.jacks, today)
    return last


def last_inspection_day(plan: Plan, opened: date, today: date, random: Random) -> date:
    """Within the interval, except where one was missed; bars are read before a stressing day is planned."""
    months = 32 if plan.story == "overdue" else random.randint(2, 22)
    day = today - relativedelta(months=months) - timedelta(days=random.randint(0, 20))
    if plan.story in ("awaiting_review", "sent_back", "awaiting_decision", "sign_unseen"):
        day = today - timedelta(days=random.randint(5, 35))
    if (plan.system, plan.year) in READ_BEFORE:
        day = today - timedelta(days=random.randint(52, 75))
    return max(day, min(opened + timedelta(days=20), today - timedelta(days=2)))


def _past_postings(structure, plan: Plan, opened: date, engineer, crew, today: date) -> None:
    """Open since it was built; a long-posted bridge had a higher limit once."""
    was_posted = plan.story in ("posted", "closed", "sign_missing")
    turned = max(opened, date(today.year - 14, 6, 3))
    Posting.objects.create(
        structure=structure,
        restriction="open",
        source="adopted",
        adopted_by=engineer,
        decided_on=opened,
        in_force_from=opened,
        superseded_on=turned if was_posted else None,
        reason="Rated at opening.",
    )
    if was_posted:
        older = Posting.objects.create(
            structure=structure,
            restriction="posted",
            single_ton=20,
            source="adopted",
            adopted_by=engineer,
            decided_on=turned,
            in_force_from=turned + timedelta(days=9),
            order_number=f"H-{turned.year}-07",
            reason="Older trucks governed.",
        )
        for approach in ("from the start of the route", "from the end of the route"):
            Sign.objects.create(
                posting=older,
                approach=approach,
                code="R12-1",
                legend="WEIGHT LIMIT 20 TONS",
                state="confirmed",
                set_on=turned + timedelta(days=9),
                confirmed_on=turned + timedelta(days=9),
                confirmed_by=crew,
            )
