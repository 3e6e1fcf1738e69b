from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("forecasts", "0001_initial")]

    operations = [
        migrations.AddField(
            model_name="storedforecast",
            name="made_with",
            field=models.CharField(default="", max_length=64),
        ),
    ]
