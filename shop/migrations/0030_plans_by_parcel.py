import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("shop", "0029_parcels_in_consignments")]

    operations = [
        migrations.RemoveField(model_name="order", name="current_plan"),
        migrations.AlterModelOptions(
            name="parcel",
            options={"ordering": ["consignment", "number"], "verbose_name": "parcel", "verbose_name_plural": "parcels"},
        ),
        migrations.RemoveField(model_name="parcel", name="order"),
        migrations.AlterField(
            model_name="parcel",
            name="consignment",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="parcels",
                to="shop.consignment",
                verbose_name="consignment",
            ),
        ),
        migrations.AddConstraint(
            model_name="parcel",
            constraint=models.UniqueConstraint(fields=("consignment", "number"), name="parcel_once_per_consignment"),
        ),
    ]
