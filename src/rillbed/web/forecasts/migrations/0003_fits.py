import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("forecasts", "0002_made_with"), ("log", "0004_keeper")]

    operations = [
        migrations.CreateModel(
            name="StoredFit",
            fields=[
                (
                    "loop",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="fit",
                        serialize=False,
                        to="log.loop",
                    ),
                ),
                ("on", models.DateField()),
                ("upto", models.BigIntegerField()),
                ("made_with", models.CharField(max_length=64)),
                ("names", models.JSONField()),
                ("members", models.BinaryField()),
                ("reached", models.FloatField()),
                ("effective", models.FloatField()),
            ],
        ),
    ]
