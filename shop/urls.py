"""Addresses of the shop."""

from __future__ import annotations

from django.contrib import admin
from django.contrib.auth.views import LogoutView
from django.urls import include, path

from shop import api
from shop.first_owner import first_owner
from shop.log_in import LogIn

api_urls = [
    path("pieces/", api.PieceList.as_view(), name="api-pieces"),
    path("pieces/<int:pk>/", api.PieceOne.as_view(), name="api-piece"),
    path("orders/", api.OrderList.as_view(), name="api-orders"),
    path("orders/<int:number>/", api.OrderOne.as_view(), name="api-order"),
    path("orders/<int:number>/plan/", api.OrderPlan.as_view(), name="api-plan"),
    path("jobs/<int:pk>/", api.JobOne.as_view(), name="api-job"),
    path("<path:rest>", api.Nothing.as_view(), name="api-nothing"),
]

handler403 = "shop.views.errors.not_allowed"
handler404 = "shop.views.errors.not_found"

urlpatterns = [
    path("", include("shop.views.addresses")),
    path("admin/", admin.site.urls),
    path("api/", include(api_urls)),
    path("log-in/", LogIn.as_view(), name="login"),
    path("log-out/", LogoutView.as_view(), name="logout"),
    path("first-owner/<str:token>/", first_owner, name="first-owner"),
]
