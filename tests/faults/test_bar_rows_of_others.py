"""Stressing days, jacks, bars and setting records of another agency or another structure: no address reaches them."""

from uuid import uuid4

from inspections.models import LoggedPull
from inspections.rules.stressing.order import planned
from inventory.models import Bar
from tests.faults.test_bar_forms_never_break import day_in_use, deck_with_day, setting_record
from tests.makers.county import make_county
from tests.makers.stressing import make_jack
from tests.makers.stressing_log import coming, plan_of

RECORD = ("", "sheet/", "edit/", "beams/", "checklist/", "opening/", "steps/1/", "steps/1/back/")
DAY = ("", "log/", "release/", "withdraw/", "resume/", "finish/", "logged/", "reopen/", "sheet/", "sheet.pdf")


def test_no_role_reaches_the_bars_of_others(county, now):
    other, own_jack = make_county("Marrow County", "003"), make_jack(county.agency)
    jack = make_jack(other.agency)
    own, _ = deck_with_day(county, now, "A-1", own_jack)
    theirs, _ = deck_with_day(other, now, "B-1", jack)
    own_day, day = (
        day_in_use(county, now, "A-2", own_jack, pulls=1),
        day_in_use(other, now, "B-2", jack, pulls=1),
    )
    record, own_record = (
        setting_record(deck, people["crew"], now) for deck, people in ((theirs, other.people), (own, county.people))
    )
    bar = Bar.objects.filter(system__span__structure=theirs).first().pk
    entry = LoggedPull.objects.get(day=day).pk
    mixed = ((own.pk, record.pk), (theirs.pk, record.pk), (own_day.structure_id, own_record.pk))
    addresses = [
        f"/jacks/{jack.pk}/edit/",
        f"/jacks/{jack.pk}/retire/",
        f"/structures/{own.pk}/bars/{bar}/aside/",
        f"/structures/{own.pk}/bars/{bar}/release/",
        f"/structures/{theirs.pk}/bars/",
        f"/structures/{theirs.pk}/stressing/plan/",
        f"/stressing/{own_day.pk}/log/{entry}/take-back/",
        *(f"/stressing/{day.pk}/{tail}" for tail in DAY),
        *(f"/structures/{pk}/setting/{record_pk}/{tail}" for pk, record_pk in mixed for tail in RECORD),
    ]
    reached = []
    for role in ("engineer", "crew", "office", "supervisor", "reviewer"):
        client = county.client(role)
        for address in addresses:
            for method in (client.get, client.post):
                if method(address, {"reason": "x", "revision": "1"}).status_code not in (403, 404, 405):
                    reached.append(f"{role} {address}")
    assert not reached


def test_an_entrys_mark_of_another_day_writes_nothing_and_the_same_one_twice_writes_once(county, now):
    other = make_county("Marrow County", "003")
    day = day_in_use(county, now, "A-1", make_jack(county.agency))
    known = LoggedPull.objects.get(day=day_in_use(other, now, "B-1", make_jack(other.agency), pulls=1))
    slot, client = coming(day), county.client("crew")
    gauge = f"{planned(plan_of(day), slot)[1].gauge_psi:.0f}"
    sent = {"pull_number": slot.pull_number, "bar_index": slot.bar_index, "gauge_psi": gauge}
    answer = client.post(f"/stressing/{day.pk}/log/", sent | {"identity": str(known.identity)})
    assert answer.status_code == 409 and "Marrow" not in answer.content.decode()
    assert not LoggedPull.objects.filter(day=day).exists()
    sent["identity"] = str(uuid4())
    assert [client.post(f"/stressing/{day.pk}/log/", sent).status_code for _ in range(2)] == [302, 302]
    assert LoggedPull.objects.filter(day=day).count() == 1
