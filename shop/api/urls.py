"""Addresses of the API."""

from __future__ import annotations

from django.urls import path

from shop.api import views

urlpatterns = [
    path("pieces/", views.PieceList.as_view(), name="api-pieces"),
    path("pieces/<int:pk>/", views.PieceOne.as_view(), name="api-piece"),
    path("orders/", views.OrderList.as_view(), name="api-orders"),
    path("orders/<int:number>/", views.OrderOne.as_view(), name="api-order"),
    path("orders/<int:number>/plan/", views.OrderPlan.as_view(), name="api-plan"),
    path("orders/<int:number>/parcels/<int:parcel>/plan/", views.ParcelPlan.as_view(), name="api-parcel-plan"),
    path("plan-schema/", views.PlanSchema.as_view(), name="api-plan-schema"),
    path("jobs/<int:pk>/", views.JobOne.as_view(), name="api-job"),
    path("<path:rest>", views.ApiNotFound.as_view(), name="api-nothing"),
]
