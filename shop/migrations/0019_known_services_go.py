"""Where the services go that shops were given before rules had a place to say so."""

from django.db import migrations

WHERE = {
    ("UPS", "Ground, United States"): ("home", "US"),
    ("UPS", "abroad"): ("abroad", "US"),
    ("UPS", "economy with postal last mile, United States"): ("home", "US"),
    ("FedEx", "Ground and Home, United States"): ("home", "US"),
    ("FedEx", "Express"): ("anywhere", "US"),
    ("USPS", "Priority Mail"): ("home", "US"),
    ("USPS", "Ground Advantage"): ("home", "US"),
    ("DHL", "Express"): ("abroad", ""),
    ("post, letter post abroad", "small packet"): ("abroad", ""),
    ("post, parcel abroad", "parcel, 1.5 m"): ("abroad", ""),
}


def say_where(apps, schema_editor):
    """Rules that say nothing of it yet, by the names they came with; what a shop has said itself is left alone."""
    rules = apps.get_model("shop", "RateRule").objects.filter(reach="anywhere", sent_from="", only_to="")
    for (carrier, service), (reach, sent_from) in WHERE.items():
        rules.filter(carrier=carrier, service=service).update(reach=reach, sent_from=sent_from)


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0018_feet"),
    ]

    operations = [
        # Going back, the columns themselves go.
        migrations.RunPython(say_where, migrations.RunPython.noop),
    ]
