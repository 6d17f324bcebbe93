"""Django's admin, for the owner. What is never changed or deleted cannot be changed or deleted here either."""

from django.contrib import admin
from django.contrib.auth.models import Group

from shop.admin import making, orders, people, stock

__all__ = ["making", "orders", "people", "stock"]

admin.site.unregister(Group)  # roles are memberships
