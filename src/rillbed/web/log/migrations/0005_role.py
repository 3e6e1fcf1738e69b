from django.db import migrations, models


class Migration(migrations.Migration):
    """Whoever kept a loop owns it."""

    dependencies = [("log", "0004_keeper")]

    operations = [
        migrations.AddField(
            model_name="keeper",
            name="role",
            field=models.CharField(
                choices=[("reader", "reader"), ("helper", "helper"), ("owner", "owner")], default="owner", max_length=8
            ),
        ),
    ]
