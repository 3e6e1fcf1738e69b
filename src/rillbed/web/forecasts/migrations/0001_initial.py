import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("log", "0002_invented"),
    ]

    operations = [
        migrations.CreateModel(
            name="StoredForecast",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("key", models.CharField(max_length=64)),
                ("on", models.DateField()),
                ("upto", models.BigIntegerField()),
                ("made_at", models.DateTimeField()),
                ("answer", models.JSONField(null=True)),
                ("problem", models.TextField(blank=True)),
                (
                    "loop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="forecasts", to="log.loop"
                    ),
                ),
            ],
            options={
                "ordering": ("-pk",),
                "constraints": [models.UniqueConstraint(fields=("loop", "key"), name="one_forecast_per_digest")],
            },
        ),
    ]
