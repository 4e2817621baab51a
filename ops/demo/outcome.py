"""The last inspection of every structure runs through the office's own actions, as far as its story goes."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from inspections.actions import adopt, rate, receive, remind, restrict_now, review, signs, standing
from inspections.actions.forecast import forecast_bars, pool_bars
from inspections.models import OwedRating, Recommendation
from inventory.models import Person

from .checks import jack_of
from .found import findings
from .history import component_ratings, element_quantities

UNDECIDED = ("awaiting_decision", "no_readings")


@dataclass
class Today:
    today: date
    people: dict[str, Person]

    def at(self, day: date, hour: int = 14) -> datetime:
        return timezone.make_aware(datetime.combine(day, time(hour)))


def let_last_inspection_run(item, day: Today, jacks, random) -> None:
    """Draft, submit, rate, review, adopt and confirm; stories stop on the way."""
    plan, structure, done_on = item.plan, item.structure, item.last_inspected_on
    if done_on is None:
        _rate_all_owed(structure, day, day.today)
        return
    inspector = day.people["t.oakes"]
    inspection = receive.open_inspection(structure=structure, kind="routine", by=inspector, at=day.at(done_on, 8))
    age = (done_on - item.opened).days / 365.25
    jack = jack_of(done_on, jacks, day.today, expired=plan.story == "sent_back")
    quantities = element_quantities(structure, age)
    fields = {
        "field_completed_on": done_on,
        "team": "Oakes, Sorrel",
        "weather": random.choice(("clear", "overcast", "light rain", "clear, wind")),
        "air_temp_f": float(random.randint(38, 84)),
        **component_ratings(age, plan.story, True, random),
    }
    inspection = receive.save_draft(
        inspection=inspection,
        revision=inspection.revision,
        fields=fields,
        findings=findings(structure, plan.story, done_on, item.row, jack, random),
        elements=[quantities] if quantities else [],
        by=inspector,
        at=day.at(done_on, 15),
    )
    if plan.story == "draft":
        _rate_all_owed(structure, day, done_on)
        return
    receive.submit_inspection(inspection=inspection, revision=inspection.revision, by=inspector, at=day.at(done_on, 16))
    _rate_all_owed(structure, day, done_on)
    inspection.refresh_from_db()
    engineer = day.people["engineer"]
    if plan.story == "awaiting_review":
        return
    if plan.story == "sent_back":
        review.send_back(
            inspection=inspection,
            reason="Photograph the slip at midspan and give the step height on both sides.",
            by=engineer,
            at=day.at(done_on + timedelta(days=2)),
        )
        return
    review.accept_inspection(inspection=inspection, by=engineer, at=day.at(done_on + timedelta(days=3)))
    _decide(item, day, done_on + timedelta(days=4))


def _rate_all_owed(structure, day: Today, on: date) -> None:
    if not OwedRating.objects.filter(structure=structure, state="owed").exists():
        rate.owe_rating(structure=structure, cause="First rating", at=day.at(on, 17))
    for owed in OwedRating.objects.filter(structure=structure, state="owed"):
        rate.settle_owed_rating(owed_id=owed.pk, at=day.at(on, 17))


def _decide(item, day: Today, on: date) -> None:
    """The engineer adopts, and the crew sees the signs standing, unless the story stops before."""
    story, structure, engineer = item.plan.story, item.structure, day.people["engineer"]
    if story == "closed":
        restrict_now.restrict_now(
            structure=structure,
            restriction="closed",
            single_ton=None,
            reason="A stringer broken through at midspan and the next one rotten: barricades set the same day.",
            by=day.people["supervisor"],
            at=day.at(on),
        )
    proposal = Recommendation.objects.filter(structure=structure, state="proposed").first()
    if proposal is None or story in UNDECIDED:
        return
    adopt.adopt_recommendation(
        recommendation=proposal,
        revision=proposal.revision,
        by=engineer,
        at=day.at(on + timedelta(days=1)),
        order_number=f"H-{on.year}-{item.structure.pk % 90 + 10}",
        otherwise=None,
        reason="",
    )
    if story == "sign_unseen":
        return
    posting = structure.postings.filter(superseded_on__isnull=True).first()
    for sign in posting.signs.all() if posting else ():
        signs.confirm_sign(
            sign=sign, on=on + timedelta(days=9), by=day.people["crew"], at=day.at(on + timedelta(days=9))
        )
    if story == "sign_missing" and posting and posting.signs.exists():
        seen = day.today - timedelta(days=12)
        signs.report_sign_missing(sign=posting.signs.first(), on=seen, by=day.people["crew"], at=day.at(seen))


def refresh_all(agency, structures, day: Today) -> None:
    """Forecasts of bar force, standing rows and reminders as of today; ratings that a forecast owes."""
    at = day.at(day.today, 5)
    pool_bars(agency=agency, at=at)
    forecast_bars(structure_ids=[s.pk for s in structures], at=at)
    for owed in OwedRating.objects.filter(structure__agency=agency, state="owed").order_by("pk"):
        rate.settle_owed_rating(owed_id=owed.pk, at=at)
    for structure in structures:
        standing.refresh_standing(structure=structure, as_of=day.today)
    remind.refresh_reminders(structure_ids=[s.pk for s in structures], as_of=day.today, at=day.at(day.today, 6))
