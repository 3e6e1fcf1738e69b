from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("log", "0001_initial"),
    ]

    operations = [
        migrations.AddField(
            model_name="loop",
            name="invented",
            field=models.BooleanField(default=False),
        ),
    ]
