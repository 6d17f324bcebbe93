"""Addresses of the screens."""

from __future__ import annotations

from django.urls import path

from shop.views import boxes, customers, orders, rack, settings, shipping, steel, trail

urlpatterns = [
    path("", orders.orders, name="orders"),
    path("orders/new/", orders.new_order, name="new-order"),
    path("orders/<int:number>/", orders.order, name="order"),
    path("orders/<int:number>/lines/", orders.add_line, name="add-line"),
    path("orders/<int:number>/lines/<int:line>/remove/", orders.remove_line, name="remove-line"),
    path("orders/<int:number>/pieces/", orders.take_from_rack, name="take-from-rack"),
    path("orders/<int:number>/pieces/<int:allocation_id>/release/", orders.release, name="release"),
    path("orders/<int:number>/plan/", boxes.plan_box, name="plan-box"),
    path("orders/<int:number>/offers/first/", boxes.take_offer, {"index": None}, name="take-first"),
    path("orders/<int:number>/offers/<int:index>/", boxes.take_offer, name="take-offer"),
    path("orders/<int:number>/progress/", boxes.box_progress, name="box-progress"),
    path("orders/<int:number>/jobs/<int:pk>/cancel/", boxes.cancel_job, name="cancel-job"),
    path("orders/<int:number>/papers/", boxes.print_papers, name="print-papers"),
    path("orders/<int:number>/all-papers/<str:size>/", boxes.all_papers, name="all-papers"),
    path("orders/<int:number>/cut-files/", boxes.cut_files, name="cut-files"),
    path("orders/<int:number>/pack/", boxes.pack, name="pack"),
    path("orders/<int:number>/weigh-empty/", boxes.weigh_empty, name="weigh-empty"),
    path("orders/<int:number>/weigh-in/", boxes.weigh_in, name="weigh-in"),
    path("orders/<int:number>/send/", shipping.send, name="send-order"),
    path("orders/<int:number>/take-sent-back/", shipping.take_sent_back, name="take-sent-back"),
    path("orders/<int:number>/unpack/", boxes.move_on, {"step": "unpack"}, name="unpack-order"),
    path("orders/<int:number>/cancel/", boxes.move_on, {"step": "cancel"}, name="cancel-order"),
    path("papers/<int:pk>/", boxes.paper, name="paper"),
    path("customers/", customers.customers, name="customers"),
    path("customers/new/", customers.new_customer, name="new-customer"),
    path("customers/<int:pk>/", customers.customer, name="customer"),
    path("rack/", rack.pieces, name="rack"),
    path("rack/new/", rack.new_piece, name="new-piece"),
    path("rack/<int:pk>/", rack.piece, name="piece"),
    path("rack/<int:pk>/measure/", rack.measure, name="measure"),
    path("rack/<int:pk>/readings/", rack.add_reading, name="add-reading"),
    path("rack/<int:pk>/readings/<int:reading>/strike/", rack.strike_reading, name="strike-reading"),
    path("rack/<int:pk>/retire/", rack.retire, name="retire"),
    path("rack/<int:pk>/bring-back/", rack.bring_back, name="bring-back"),
    path("rack/<int:pk>/number/", rack.correct_number, name="correct-number"),
    path("rack/<int:pk>/repair/", rack.take_in_for_repair, name="take-in-for-repair"),
    path("rack/<int:pk>/give-back/", rack.give_back, name="give-back"),
    path("steel/", steel.steel, name="steel"),
    path("settings/", settings.settings, name="settings"),
    path("settings/members/", settings.add_member, name="add-member"),
    path("settings/members/<int:pk>/", settings.change_member, name="change-member"),
    path("settings/trail/", trail.trail, name="trail"),
    path("own-units/", settings.own_units, name="own-units"),
    path("own-password/", settings.own_password, name="own-password"),
]
