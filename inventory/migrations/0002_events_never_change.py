"""An event is written once: the database itself refuses to change it."""

from django.db import migrations

from inventory.models.unchanging import allow_changes, refuse_changes

TABLE, SENTENCE = "inventory_event", "an event is never changed"


def guard(apps, schema_editor):
    refuse_changes(schema_editor, TABLE, SENTENCE)


def unguard(apps, schema_editor):
    allow_changes(schema_editor, TABLE)


class Migration(migrations.Migration):
    dependencies = [("inventory", "0001_initial")]
    operations = [migrations.RunPython(guard, unguard)]
