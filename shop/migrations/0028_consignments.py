import django.core.validators
import django.db.models.deletion
from django.db import migrations, models

ONE = django.core.validators.MinValueValidator(1)


class Migration(migrations.Migration):
    dependencies = [("shop", "0027_orders_cut_together")]

    operations = [
        migrations.CreateModel(
            name="Consignment",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "by_hand",
                    models.BooleanField(
                        default=False,
                        help_text="A person said what goes in which parcel: planned again, it stays so.",
                        verbose_name="split by hand",
                    ),
                ),
                ("created", models.DateTimeField(auto_now_add=True, verbose_name="made at")),
                (
                    "order",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="consignments",
                        to="shop.order",
                        verbose_name="order",
                    ),
                ),
                (
                    "shop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.shop",
                        verbose_name="shop",
                    ),
                ),
            ],
            options={
                "verbose_name": "consignment",
                "verbose_name_plural": "consignments",
                "ordering": ["-created", "-pk"],
            },
        ),
        migrations.AddField(
            model_name="order",
            name="consignment",
            field=models.OneToOneField(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="current_of",
                to="shop.consignment",
                verbose_name="current consignment",
            ),
        ),
        migrations.AlterField(
            model_name="order",
            name="state",
            field=models.CharField(
                choices=[
                    ("draft", "taken"),
                    ("planned", "planned"),
                    ("packing", "partly packed"),
                    ("packed", "packed"),
                    ("sent", "sent"),
                    ("cancelled", "cancelled"),
                ],
                default="draft",
                max_length=9,
                verbose_name="state",
            ),
        ),
        migrations.AddField(
            model_name="boxplan",
            name="parcel_number",
            field=models.PositiveIntegerField(default=1, validators=[ONE], verbose_name="parcel"),
        ),
        migrations.AddField(
            model_name="boxplan",
            name="parcel_count",
            field=models.PositiveIntegerField(default=1, validators=[ONE], verbose_name="of so many parcels"),
        ),
        migrations.AddField(
            model_name="parcel",
            name="consignment",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="parcels",
                to="shop.consignment",
                verbose_name="consignment",
            ),
        ),
        migrations.AddField(
            model_name="parcel",
            name="state",
            field=models.CharField(
                choices=[("planned", "planned"), ("packed", "packed"), ("sent", "sent")],
                default="planned",
                max_length=9,
                verbose_name="state",
            ),
        ),
        migrations.AlterField(
            model_name="parcel",
            name="order",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="parcels",
                to="shop.order",
                verbose_name="order",
            ),
        ),
        migrations.RemoveConstraint(model_name="parcel", name="parcel_once_per_plan"),
        migrations.AddField(
            model_name="orderevent",
            name="parcel",
            field=models.ForeignKey(
                blank=True,
                help_text="Empty where it concerns no one parcel, or happened before parcels were told apart.",
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="events",
                to="shop.parcel",
                verbose_name="parcel",
            ),
        ),
        migrations.RemoveConstraint(model_name="stocktaking", name="stock_taken_once_per_order"),
        migrations.AddField(
            model_name="stocktaking",
            name="number",
            field=models.PositiveIntegerField(default=1, validators=[ONE], verbose_name="parcel"),
        ),
        migrations.AddConstraint(
            model_name="stocktaking",
            constraint=models.UniqueConstraint(
                condition=models.Q(("given_back_at__isnull", True)),
                fields=("order", "number"),
                name="stock_taken_once_per_parcel",
            ),
        ),
    ]
