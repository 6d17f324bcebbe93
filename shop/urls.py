"""Addresses of the shop."""

from __future__ import annotations

from django.contrib import admin
from django.contrib.auth.views import LogoutView
from django.urls import include, path

from shop.access.first_owner import first_owner
from shop.access.login import ThrottledLoginView

handler403 = "shop.views.errors.not_allowed"
handler404 = "shop.views.errors.not_found"

urlpatterns = [
    path("", include("shop.views.urls")),
    path("admin/", admin.site.urls),
    path("api/", include("shop.api.urls")),
    path("log-in/", ThrottledLoginView.as_view(), name="login"),
    path("log-out/", LogoutView.as_view(), name="logout"),
    path("first-owner/<str:token>/", first_owner, name="first-owner"),
]
