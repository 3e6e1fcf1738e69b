import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


def everybody(apps, schema_editor):
    """Before this, every account saw every loop; whoever has one keeps seeing them."""
    people = apps.get_model(*settings.AUTH_USER_MODEL.split("."))
    keeper = apps.get_model("log", "Keeper")
    here = schema_editor.connection.alias
    for loop in apps.get_model("log", "Loop").objects.using(here):
        new = [keeper(loop=loop, person=person) for person in people.objects.using(here)]
        keeper.objects.using(here).bulk_create(new)


class Migration(migrations.Migration):
    dependencies = [("log", "0003_append_only"), migrations.swappable_dependency(settings.AUTH_USER_MODEL)]

    operations = [
        migrations.CreateModel(
            name="Keeper",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "loop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="keepers", to="log.loop"
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="keeps",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "constraints": [models.UniqueConstraint(fields=("loop", "person"), name="one_keeper_once")],
            },
        ),
        migrations.RunPython(everybody, migrations.RunPython.noop),
    ]
