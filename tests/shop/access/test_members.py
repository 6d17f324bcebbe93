"""Members of the shop: no change by an empty form, never a shop without an owner."""

import pytest
from django.core.exceptions import ValidationError
from django.test import Client
from django.urls import reverse

from shop.forms import RoleForm
from shop.models import Membership, Shop, User


def test_an_empty_form_removes_nobody(client: Client, owner: User, packer: User) -> None:
    client.force_login(owner)
    member = Membership.objects.get(user=packer)
    page = client.post(reverse("change-member", args=[member.pk]), {}, follow=True)
    assert "No role was chosen: nothing is changed." in page.content.decode()
    assert Membership.objects.filter(pk=member.pk).exists()


def test_a_member_who_is_to_go_goes(client: Client, owner: User, packer: User) -> None:
    client.force_login(owner)
    client.post(reverse("change-member", args=[Membership.objects.get(user=packer).pk]), {"role": ""})
    assert not Membership.objects.filter(user=packer).exists()


def test_two_owners_who_each_demote_the_other_leave_one(forge: Shop, owner: User, packer: User) -> None:
    Membership.objects.update(role="owner")
    forms = [RoleForm({"role": "packer"}, membership=member) for member in Membership.objects.all()]
    assert all(form.is_valid() for form in forms)  # both looked before either stored
    forms[0].save()
    with pytest.raises(ValidationError, match="A shop needs an owner"):
        forms[1].save()
    assert Membership.objects.filter(role="owner").count() == 1
