"""Tables whose rows are written once. A trigger refuses an UPDATE, whoever sends it; migrations set it up."""

POSTGRESQL = """
CREATE OR REPLACE FUNCTION {table}_unchanging() RETURNS trigger AS $$
BEGIN RAISE EXCEPTION '{sentence}' USING ERRCODE = 'integrity_constraint_violation'; END;
$$ LANGUAGE plpgsql;
CREATE TRIGGER {table}_unchanging BEFORE UPDATE ON {table}
FOR EACH ROW EXECUTE FUNCTION {table}_unchanging();
"""
SQLITE = """
CREATE TRIGGER {table}_unchanging BEFORE UPDATE ON {table}
BEGIN SELECT RAISE(ABORT, '{sentence}'); END;
"""


def refuse_changes(schema_editor, table: str, sentence: str) -> None:
    """Install the trigger; `table` and `sentence` come from a migration, never from outside."""
    text = POSTGRESQL if schema_editor.connection.vendor == "postgresql" else SQLITE
    with schema_editor.connection.cursor() as cursor:
        cursor.execute(text.format(table=table, sentence=sentence))


def allow_changes(schema_editor, table: str) -> None:
    """Take the trigger away again."""
    on = f" ON {table}" if schema_editor.connection.vendor == "postgresql" else ""
    with schema_editor.connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER IF EXISTS {table}_unchanging{on}")
