"""A rating is written once: the database itself refuses to change it."""

from django.db import migrations

from inventory.models.unchanging import allow_changes, refuse_changes

TABLE, SENTENCE = "inspections_rating", "a rating is never changed: a re-run is a new row"


def guard(apps, schema_editor):
    refuse_changes(schema_editor, TABLE, SENTENCE)


def unguard(apps, schema_editor):
    allow_changes(schema_editor, TABLE)


class Migration(migrations.Migration):
    dependencies = [("inspections", "0002_initial")]
    operations = [migrations.RunPython(guard, unguard)]
