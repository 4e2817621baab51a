"""What ops/serve asks of the site before it starts; runs inside .venv: python -m ops.prepare.

Looks at the database, brings its tables up to date, collects the static files, and prints one line of JSON about the
register. What is wrong is one sentence on the error stream and code 2.
"""

import json
import os
import sys

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "ops.settings")


class Unready(Exception):
    """The sentence to show."""


def _start_site() -> None:
    import django
    from django.core.exceptions import ImproperlyConfigured

    try:
        django.setup()
    except ImproperlyConfigured as problem:
        raise Unready(str(problem)) from problem


def database_name() -> str:
    """The database in words, without its password."""
    from django.db import connection

    kept = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"SQLite {kept['NAME']}"
    return f"PostgreSQL {kept['NAME']} on {kept['HOST'] or 'the local socket'}"


def look_at_database() -> None:
    """Refuse a database that cannot be reached, cannot be written, or was written by a newer release."""
    from django.db import DatabaseError, connection
    from django.db.migrations.loader import MigrationLoader

    try:
        connection.ensure_connection()
        loader = MigrationLoader(connection)
    except DatabaseError as problem:
        first = str(problem).strip().splitlines()[0]
        raise Unready(
            f"The database cannot be opened ({database_name()}: {first}): "
            "check DATABASE_URL, or unset it to use SQLite in the state folder."
        ) from problem
    known = {label for label, _ in loader.disk_migrations}
    newer = sorted(
        f"{app}.{name}"
        for app, name in loader.applied_migrations
        if app in known and (app, name) not in loader.disk_migrations and (app, name) not in loader.replacements
    )
    if newer:
        raise Unready(
            f"The database was written by another release of this site (it holds {newer[-1]}, unknown here): "
            "start that release, or restore a backup made before it."
        )


def migrate() -> None:
    from django.core.management import call_command
    from django.db import DatabaseError

    try:
        call_command("migrate", interactive=False, verbosity=0)
    except DatabaseError as problem:
        first = str(problem).strip().splitlines()[0]
        raise Unready(
            f"The tables of {database_name()} could not be brought up to date ({first}): "
            "nothing was started; see ops/runbook.md, Upgrade."
        ) from problem


def register() -> dict:
    """What the register holds: names of agencies, and whether one is a demonstration."""
    from django.db import connection

    from inventory.models import Agency, Person

    agencies = list(Agency.objects.values_list("name", "is_demonstration"))
    return {
        "agencies": [name for name, _ in agencies],
        "demonstration": any(shown for _, shown in agencies),
        "people": Person.objects.filter(is_active=True).count(),
        "database": database_name(),
        "vendor": connection.vendor,
    }


def main() -> int:
    try:
        _start_site()
        from django.core.management import call_command

        look_at_database()
        migrate()
        call_command("collectstatic", interactive=False, verbosity=0)
        print(json.dumps(register()))
    except Unready as refusal:
        print(refusal, file=sys.stderr)
        return 2
    except OSError as problem:
        print(f"{problem.strerror}: {problem.filename}; see that this user may write there.", file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
