from typing import Any

from django.db import migrations, models


def fill(apps: Any, schema_editor: Any) -> None:
    """What a row corrects, from what was written in it."""
    rows = apps.get_model("records", "LogRow").objects
    for row in rows.filter(data__has_key="corrects").only("data").iterator():
        rows.filter(id=row.id).update(corrects=row.data["corrects"] or None)


class Migration(migrations.Migration):
    dependencies = [
        ("records", "0005_whom_a_link_is_for"),
    ]

    operations = [
        migrations.AddField(
            model_name="logrow",
            name="corrects",
            field=models.CharField(max_length=64, null=True),
        ),
        migrations.RunPython(fill, migrations.RunPython.noop),
        migrations.AddIndex(
            model_name="logrow",
            index=models.Index(fields=["trainee", "-id"], name="records_log_trainee_1565df_idx"),
        ),
        migrations.AddIndex(
            model_name="logrow",
            index=models.Index(
                condition=models.Q(("corrects", None), _negated=True),
                fields=["trainee", "corrects"],
                name="rows that correct",
            ),
        ),
    ]
