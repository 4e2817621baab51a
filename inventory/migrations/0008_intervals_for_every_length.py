from django.db import migrations


def take_over_intervals(apps, schema_editor):
    """What a county had set counts for structures of every length, as it did; a policy changed since is left alone."""
    policies = apps.get_model("inventory", "InspectionPolicy")
    for agency in apps.get_model("inventory", "Agency").objects.all():
        policy, _made = policies.objects.get_or_create(agency=agency)
        if policy.revision:
            continue
        policy.routine_months = policy.short_months = agency.routine_months
        policy.bar_check_months = agency.bar_check_months
        policy.save()


class Migration(migrations.Migration):

    dependencies = [
        ("inventory", "0007_when_a_county_inspects"),
    ]

    operations = [
        migrations.RunPython(take_over_intervals, migrations.RunPython.noop),
    ]
