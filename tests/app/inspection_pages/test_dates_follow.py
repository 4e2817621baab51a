"""What a person does on a page moves the structure's dates at once, by a word to the worker after the commit."""

import pytest

from inspections import tasks
from tests.makers.county import make_stringer_bridge

pytestmark = pytest.mark.django_db


def test_restricting_tells_the_worker_after_the_commit(county, monkeypatch, django_capture_on_commit_callbacks):
    told = []
    monkeypatch.setattr(tasks.refresh_dates, "delay", told.append)
    structure = make_stringer_bridge(county.agency)
    form = {"restriction": "closed", "single_ton": "", "reason": "A stringer is broken through."}
    with django_capture_on_commit_callbacks(execute=True):
        answer = county.client("supervisor").post(f"/structures/{structure.pk}/restrict/", form)
    assert answer.status_code == 302
    assert told == [structure.pk]


def test_a_worker_that_cannot_be_told_does_not_stop_the_page(county, monkeypatch, django_capture_on_commit_callbacks):
    def fail(_):
        raise ConnectionError("no broker")

    monkeypatch.setattr(tasks.refresh_dates, "delay", fail)
    structure = make_stringer_bridge(county.agency)
    form = {"restriction": "closed", "single_ton": "", "reason": "A stringer is broken through."}
    with django_capture_on_commit_callbacks(execute=True):
        answer = county.client("supervisor").post(f"/structures/{structure.pk}/restrict/", form)
    assert answer.status_code == 302
    # The sweep does what the word would have done.
    tasks.sweep_reminders()
    assert structure.reminders.filter(kind__in=("sign", "posting")).exists()
