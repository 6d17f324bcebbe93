from django.db import migrations

CLOSED = {"packed": "packed", "sent": "sent"}
OPEN_JOBS = ("waiting", "running")


def gather(apps, schema_editor):
    """Every plan so far was the only one of its order: each becomes a consignment of one parcel."""
    orders, consignments, rows, plans, jobs = (
        apps.get_model("shop", name).objects for name in ("Order", "Consignment", "Parcel", "BoxPlan", "Job")
    )
    for key, order_key, shop_key, created in plans.order_by("pk").values_list("pk", "order", "shop", "created"):
        order = orders.get(pk=order_key)
        current = order.current_plan_id == key
        parcels = list(rows.filter(plan=key).order_by("number"))
        if not parcels and not current:
            continue
        consignment = consignments.create(order=order, shop_id=shop_key)
        consignments.filter(pk=consignment.pk).update(created=created)
        if not parcels:
            parcels = [rows.create(order=order, plan_id=key, shop_id=shop_key, number=1)]
        state = CLOSED.get(order.state, "planned") if current else "planned"
        for parcel in parcels:
            rows.filter(pk=parcel.pk).update(consignment=consignment, state=state)
        if current:
            orders.filter(pk=order.pk).update(consignment=consignment)
    for job in jobs.filter(state__in=OPEN_JOBS):
        payload = dict(job.payload)
        if "instead_of" in payload:
            payload["instead_of"] = [] if payload["instead_of"] is None else [payload["instead_of"]]
        if "plan" in payload:
            payload["plans"] = [payload.pop("plan")]
        jobs.filter(pk=job.pk).update(payload=payload)


def scatter(apps, schema_editor):
    """Back to one plan an order: where it has several parcels, the plan of the one of the lowest number."""
    orders, rows, jobs = (apps.get_model("shop", name).objects for name in ("Order", "Parcel", "Job"))
    for parcel in rows.select_related("consignment").order_by("-number"):
        order_key = parcel.consignment.order_id
        rows.filter(pk=parcel.pk).update(order=order_key)
        orders.filter(pk=order_key, consignment=parcel.consignment_id).update(current_plan=parcel.plan_id)
    # Asked for again, they are asked for in the words of then.
    jobs.filter(state__in=OPEN_JOBS).update(state="cancelled")


class Migration(migrations.Migration):
    dependencies = [("shop", "0028_consignments")]

    operations = [migrations.RunPython(gather, scatter)]
