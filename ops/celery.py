"""The celery application: a carrier of nudges and the clock of the sweeps. Rows in a state are the queue."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "ops.settings")
app = Celery("spanledger")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks(["inspections", "maps"])


@app.on_after_finalize.connect
def set_clock(sender, **_):
    """Beat: every sweep looks for rows in a state that says work is owed."""
    from django.conf import settings

    sender.add_periodic_task(settings.SWEEP_SECONDS, sender.signature("inspections.sweep_owed_ratings"))
    sender.add_periodic_task(settings.SWEEP_SECONDS, sender.signature("inspections.hold_stressing_days"))
    sender.add_periodic_task(settings.SWEEP_SECONDS, sender.signature("inspections.sweep_receipts"))
    sender.add_periodic_task(settings.SWEEP_SECONDS * 5, sender.signature("inspections.sweep_reminders"))
    sender.add_periodic_task(settings.SWEEP_SECONDS * 5, sender.signature("inspections.sweep_recalculations"))
    # Once a day there is work for it; the other rounds find nothing, unless a policy changed or a message was lost.
    sender.add_periodic_task(settings.SWEEP_SECONDS * 5, sender.signature("inspections.sweep_forecasts"))
