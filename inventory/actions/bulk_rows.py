"""Many new rows of one table in one statement, for imports: the values go to the database without model objects.

An object for each row costs ten times what the database needs. The caller hands plain values in the order of the
fields it names; every other field gets its default. Foreign keys are named by their column (`agency_id`). Constraints
hold as always: they are the database's.
"""

from collections.abc import Iterable, Sequence
from typing import Any

from django.db import connections, router
from django.db.models import Model


def insert_rows(model: type[Model], names: Sequence[str], rows: Iterable[Sequence[Any]]) -> None:
    """Insert rows of text, numbers, booleans, None and ready JSON text; call it inside a transaction."""
    database = router.db_for_write(model)
    connection = connections[database]
    others = [field for field in model._meta.concrete_fields if not _is_automatic(field) and field.attname not in names]
    blank = model()
    tail = tuple(field.get_db_prep_save(field.pre_save(blank, True), connection) for field in others)
    columns = [_column(model, name) for name in names] + [field.column for field in others]
    quote = connection.ops.quote_name
    table, named = quote(model._meta.db_table), ", ".join(map(quote, columns))
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            with cursor.copy(f"COPY {table} ({named}) FROM STDIN") as copy:
                for row in rows:
                    copy.write_row((*row, *tail))
            return
        places = ", ".join(["%s"] * len(columns))
        cursor.executemany(f"INSERT INTO {table} ({named}) VALUES ({places})", [(*row, *tail) for row in rows])


def _is_automatic(field) -> bool:
    return field.primary_key and not field.is_relation


def _column(model: type[Model], name: str) -> str:
    return next(field.column for field in model._meta.concrete_fields if field.attname == name)
