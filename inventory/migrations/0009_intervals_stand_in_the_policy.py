from django.db import migrations


class Migration(migrations.Migration):

    dependencies = [
        ("inventory", "0008_intervals_for_every_length"),
    ]

    operations = [
        migrations.RemoveField(model_name="agency", name="routine_months"),
        migrations.RemoveField(model_name="agency", name="bar_check_months"),
    ]
