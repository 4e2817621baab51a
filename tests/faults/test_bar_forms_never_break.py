"""The forms of bar force (jacks, policy, bars, setting, plan, release, log, finish), fed with what nobody types.

The walk and the laws of test_forms_never_break: every form found in the markup of its page, no broken page.
"""

import random
import re
from urllib.parse import urlencode

import pytest

from inspections.actions.receive import open_inspection
from inspections.actions.stressing.finish import finish
from inspections.models import StressingDay
from inventory.actions.setting import make_checklist, save_beams, start_setting
from inventory.models import Bar, Structure
from tests.faults.test_forms_never_break import SEED, fault_of, found_forms, trials
from tests.makers.stressing import drafted, make_deck_to_stress, make_jack, released
from tests.makers.stressing_log import log_all, log_one

PAGES = {
    "office": ("/jacks/new/", "/jacks/{jack}/edit/", "/jacks/{jack}/retire/", "/structures/{deck}/bars/{bar}/aside/"),
    "crew": (
        "/structures/{deck}/setting/new/",
        "/structures/{deck}/setting/{record}/",
        "/structures/{deck}/setting/{record}/edit/",
        "/structures/{deck}/setting/{record}/beams/",
        "/structures/{deck}/setting/{record}/steps/{step}/",
        "/stressing/{released}/log/",
        "/stressing/{under_way}/log/",
        "/stressing/{under_way}/finish/",
        "/stressing/{finished}/logged/",
    ),
    "inspector": ("/inspections/{visit}/edit/",),
    "supervisor": ("/stressing/{drafted}/", "/structures/{deck}/stressing/plan/?{plan}"),
    "engineer": (
        "/bars/policy/change/",
        "/structures/{deck}/bars/{bar}/release/",
        "/stressing/{drafted}/",
        "/stressing/{held}/log/",
        "/stressing/{held}/finish/",
    ),
}
ACTIONS = (
    "/jacks/new/", "/edit/", "/retire/", "/aside/", "/release/", "/setting/new/", "/beams/", "/checklist/", "/steps/",
    "/policy/change/", "/log/", "/take-back/", "/resume/", "/finish/", "/reopen/", "/withdraw/", "/stressing/plan/",
)  # fmt: skip
# What the page itself sends to say which pull or how many lines; with it gone, the page cannot know where the rest
# belonged, so it is spoiled alone.
OWN_MARKS = {"pull_number", "bar_index", "identity", "b-TOTAL_FORMS", "b-INITIAL_FORMS"}


def deck_with_day(county, now, number: str, jack) -> tuple[Structure, StressingDay]:
    deck = make_deck_to_stress(county, now)
    Structure.objects.filter(pk=deck.pk).update(number=number)
    return deck, drafted(county, deck, [jack], now)


def day_in_use(county, now, number: str, jack, pulls: int = 0, **seen) -> StressingDay:
    day = released(county, deck_with_day(county, now, number, jack)[1], now)
    for _ in range(pulls):
        log_one(day, county.people["crew"], now, **seen)
    day.refresh_from_db()
    return day


def setting_record(deck: Structure, crew, now):
    """A setting with two beams and its checklist, nothing done yet."""
    record = start_setting(structure=deck, span=deck.spans.get(), fields={"started_on": now.date()}, by=crew, at=now)
    rows = [{"mark": f"T{place}", "place": place, "length_ft": 24, "depth_in": 30} for place in (0, 1)]
    record = save_beams(record=record, revision=record.revision, rows=rows, by=crew, at=now)
    return make_checklist(
        record=record, revision=record.revision, passes=2, each_beam=True, surfacing="better", by=crew, at=now
    )


@pytest.fixture
def filled(county, now, settings, tmp_path):
    """A county with one stressing day in every state, a jack, a setting record; the numbers of the rows by name."""
    settings.STATE_DIR, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    people, jack = county.people, make_jack(county.agency)
    deck, draft = deck_with_day(county, now, "B-1", jack)
    finished = day_in_use(county, now, "B-2", jack)
    log_all(finished, people["crew"], now)
    finished.refresh_from_db()
    finish(day=finished, revision=finished.revision, readings={0: 56_000.0}, reason="As it stands",
           inspector=people["inspector"], by=people["engineer"], at=now)  # fmt: skip
    record = setting_record(deck, people["crew"], now)
    visit = open_inspection(structure=deck, kind="bar_check", by=people["inspector"], at=now)
    return county, {
        "deck": deck.pk,
        "bar": Bar.objects.filter(system__span__structure=deck).first().pk,
        "jack": jack.pk,
        "record": record.pk,
        "step": record.steps.order_by("order").first().order,
        "visit": visit.pk,
        "drafted": draft.pk,
        "released": day_in_use(county, now, "B-3", jack).pk,
        "under_way": day_in_use(county, now, "B-4", jack, pulls=2).pk,
        "held": day_in_use(county, now, "B-5", jack, pulls=1, plate_sunk_in=0.4).pk,
        "finished": finished.pk,
        "plan": urlencode({"try": 1, "purpose": "retension", "target_choice": "design", "jacks": jack.pk,
                           "order": "midspan_outward", "method": "equal_passes", "pass_count": 2}),
    }  # fmt: skip


def test_no_form_of_bar_force_breaks(filled):
    county, numbers = filled
    dice, faults = random.Random(SEED), []
    clients = {role: county.client(role) for role in PAGES}
    # One of each kind: the days of other states hold the same forms beside their own.
    found = {(role, re.sub(r"\d+", "0", form.action)): (page, form) for role, page, form in found_forms(filled, PAGES)}
    for (role, _), (page, form) in found.items():
        for changed in trials(form, dice)[::2]:
            if OWN_MARKS & set(changed) and len(changed) > 1:
                changed = {name: value for name, value in changed.items() if name not in OWN_MARKS}
            if fault := fault_of(clients[role], page, form, changed, numbers["deck"]):
                told = {name: value[:30] for name, value in list(changed.items())[:3]}
                faults.append(f"{role} {form.action} {told}: {fault}")
    assert not faults, f"{len(faults)} faults\n" + "\n".join(faults)
    # Law: none of the forms that bear on bars is missed by the walk.
    actions = " ".join(form.action for _, form in found.values())
    assert not [each for each in ACTIONS if each not in actions], actions
