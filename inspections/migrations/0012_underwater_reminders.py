from django.db import migrations


def name_their_kind(apps, schema_editor):
    """Underwater inspections had the kind of routine ones until now. Renamed, what people made of them stays; left as
    they are, the next look at the record would close them as answered by a routine inspection."""
    reminders = apps.get_model("inspections", "Reminder").objects
    reminders.filter(kind="inspection", reason__startswith="Underwater inspection").update(kind="underwater")


class Migration(migrations.Migration):

    dependencies = [
        ("inspections", "0011_channel_foundation"),
    ]

    operations = [
        migrations.RunPython(name_their_kind, migrations.RunPython.noop),
    ]
