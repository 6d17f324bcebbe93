from django.db import migrations, models

LEVELS = {"memory": "from memory", "practice": "common practice"}


def say_how_sure(apps, schema_editor):
    """Rows whose source says itself how sure it is, the least sure last so that it stands."""
    for kind in ("BoardRow", "WoodRow", "FastenerRow"):
        rows = apps.get_model("shop", kind).objects
        for level, words in LEVELS.items():
            rows.filter(source__contains=words).update(sureness=level)


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0023_stock_sheets"),
    ]

    operations = [
        migrations.AddField(
            model_name="boardrow",
            name="sureness",
            field=models.CharField(
                blank=True,
                choices=[
                    ("primary", "read in the original"),
                    ("secondary", "read on another page"),
                    ("memory", "from memory"),
                    ("practice", "common practice, no source"),
                ],
                default="",
                help_text="Empty: not said, as where the shop has measured it itself.",
                max_length=9,
                verbose_name="how sure",
            ),
        ),
        migrations.AddField(
            model_name="fastenerrow",
            name="sureness",
            field=models.CharField(
                blank=True,
                choices=[
                    ("primary", "read in the original"),
                    ("secondary", "read on another page"),
                    ("memory", "from memory"),
                    ("practice", "common practice, no source"),
                ],
                default="",
                help_text="Empty: not said, as where the shop has measured it itself.",
                max_length=9,
                verbose_name="how sure",
            ),
        ),
        migrations.AddField(
            model_name="woodrow",
            name="sureness",
            field=models.CharField(
                blank=True,
                choices=[
                    ("primary", "read in the original"),
                    ("secondary", "read on another page"),
                    ("memory", "from memory"),
                    ("practice", "common practice, no source"),
                ],
                default="",
                help_text="Empty: not said, as where the shop has measured it itself.",
                max_length=9,
                verbose_name="how sure",
            ),
        ),
        migrations.AlterField(
            model_name="allowancerow",
            name="sureness",
            field=models.CharField(
                choices=[
                    ("primary", "read in the original"),
                    ("secondary", "read on another page"),
                    ("memory", "from memory"),
                    ("practice", "common practice, no source"),
                ],
                default="memory",
                max_length=9,
                verbose_name="how sure",
            ),
        ),
        migrations.AlterField(
            model_name="graderule",
            name="sureness",
            field=models.CharField(
                choices=[
                    ("primary", "read in the original"),
                    ("secondary", "read on another page"),
                    ("memory", "from memory"),
                    ("practice", "common practice, no source"),
                ],
                default="memory",
                max_length=9,
                verbose_name="how sure",
            ),
        ),
        migrations.AlterField(
            model_name="pricetable",
            name="sureness",
            field=models.CharField(
                choices=[
                    ("primary", "read in the original"),
                    ("secondary", "read on another page"),
                    ("memory", "from memory"),
                    ("practice", "common practice, no source"),
                ],
                default="memory",
                max_length=9,
                verbose_name="how sure",
            ),
        ),
        migrations.AlterField(
            model_name="raterule",
            name="sureness",
            field=models.CharField(
                choices=[
                    ("primary", "read in the original"),
                    ("secondary", "read on another page"),
                    ("memory", "from memory"),
                    ("practice", "common practice, no source"),
                ],
                default="memory",
                max_length=9,
                verbose_name="how sure",
            ),
        ),
        # Going back, the columns themselves go.
        migrations.RunPython(say_how_sure, migrations.RunPython.noop),
    ]
