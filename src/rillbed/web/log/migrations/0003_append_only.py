from django.db import NotSupportedError, migrations, models

# The promise of the log is kept by the database itself, whoever writes: a row is never changed, and it goes only
# together with its whole loop, after that loop was marked as being erased.
SAID = "log entry: cannot be changed or removed; write a new entry that supersedes it"
SQLITE = (
    f"""CREATE TRIGGER log_never_changed BEFORE UPDATE ON log_logrow
    BEGIN SELECT RAISE(ABORT, '{SAID}'); END""",
    f"""CREATE TRIGGER log_never_removed BEFORE DELETE ON log_logrow
    WHEN EXISTS (SELECT 1 FROM log_loop WHERE id = OLD.loop_id AND NOT erasing)
    BEGIN SELECT RAISE(ABORT, '{SAID}'); END""",
)
POSTGRESQL = (
    f"""CREATE FUNCTION log_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN
        IF TG_OP = 'TRUNCATE' AND NOT EXISTS (
            SELECT 1 FROM log_logrow JOIN log_loop ON log_loop.id = loop_id WHERE NOT erasing
        ) THEN
            RETURN NULL;
        END IF;
        IF TG_OP = 'DELETE' AND NOT EXISTS (SELECT 1 FROM log_loop WHERE id = OLD.loop_id AND NOT erasing) THEN
            RETURN OLD;
        END IF;
        RAISE EXCEPTION '{SAID}' USING ERRCODE = 'integrity_constraint_violation';
    END $$""",
    """CREATE TRIGGER log_append_only BEFORE UPDATE OR DELETE ON log_logrow
    FOR EACH ROW EXECUTE FUNCTION log_refuse()""",
    """CREATE TRIGGER log_never_emptied BEFORE TRUNCATE ON log_logrow
    FOR EACH STATEMENT EXECUTE FUNCTION log_refuse()""",
)
GUARDS = {"sqlite": SQLITE, "postgresql": POSTGRESQL}


def guard(_, schema_editor):
    vendor = schema_editor.connection.vendor
    if vendor not in GUARDS:
        raise NotSupportedError(f"{vendor}: no triggers are written for it; the log would not be append-only")
    for statement in GUARDS[vendor]:
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [("log", "0002_invented")]

    operations = [
        migrations.AddField(model_name="loop", name="erasing", field=models.BooleanField(default=False)),
        migrations.RunPython(guard),
    ]
