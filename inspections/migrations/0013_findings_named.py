"""Findings entered before have an identity too, so that the next inspection can carry them on."""

import uuid

from django.db import migrations

AT_ONCE = 2000


def name_findings(apps, schema_editor):
    """In pieces: a State's register holds half a million of them."""
    findings = apps.get_model("inspections", "Finding").objects
    while True:
        rows = list(findings.filter(identity=None).only("pk")[:AT_ONCE])
        if not rows:
            return
        for row in rows:
            row.identity = uuid.uuid4()
        findings.bulk_update(rows, ["identity"], batch_size=500)


class Migration(migrations.Migration):
    dependencies = [("inspections", "0012_underwater_reminders")]

    operations = [migrations.RunPython(name_findings, migrations.RunPython.noop)]
