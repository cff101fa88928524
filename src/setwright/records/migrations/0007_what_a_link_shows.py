from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("records", "0006_large_logs_are_read_in_part"),
    ]

    operations = [
        migrations.AddField(
            model_name="share",
            name="about",
            field=models.JSONField(blank=True, default=dict),
        ),
    ]
