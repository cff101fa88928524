from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("records", "0005_whom_a_link_is_for"),
    ]

    operations = [
        migrations.AddField(
            model_name="share",
            name="about",
            field=models.JSONField(blank=True, default=dict),
        ),
    ]
