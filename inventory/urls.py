"""Routes of the inventory room."""

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import path

from inventory.views import (
    bars,
    equipment,
    held,
    history,
    imports,
    missing,
    photos,
    rating,
    register,
    setting,
    structures,
    vehicles,
)

app_name = "inventory"

urlpatterns = [
    path("sign-in/", LoginView.as_view(template_name="inventory/sign_in.html"), name="sign_in"),
    path("sign-out/", LogoutView.as_view(), name="sign_out"),
    path("structures/", structures.structure_list, name="structures"),
    path("structures/new/", register.new_structure, name="new_structure"),
    path("structures/<int:pk>/", structures.structure_page, name="structure"),
    path("structures/<int:pk>/edit/", register.change_structure, name="edit_structure"),
    path("structures/<int:pk>/spans/new/", register.change_span, name="new_span"),
    path("structures/<int:pk>/spans/<int:span_pk>/", register.change_span, name="edit_span"),
    path("structures/<int:pk>/spans/<int:span_pk>/remove/", register.take_out_span, name="remove_span"),
    path("structures/<int:pk>/spans/<int:span_pk>/bars/", register.change_bars, name="edit_bars"),
    path("structures/<int:pk>/spans/<int:span_pk>/members/new/", register.change_member, name="new_member"),
    path(
        "structures/<int:pk>/spans/<int:span_pk>/members/<int:member_pk>/", register.change_member, name="edit_member"
    ),
    path(
        "structures/<int:pk>/spans/<int:span_pk>/members/<int:member_pk>/remove/",
        register.take_out_member,
        name="remove_member",
    ),
    path("structures/<int:pk>/surfacing/<int:layer_pk>/remove/", history.remove_layer, name="remove_layer"),
    path("structures/<int:pk>/photos/new/", photos.add_photo, name="add_photo"),
    path("photos/<int:pk>/", photos.show_photo, name="photo"),
    path("structures/<int:pk>/record/<slug:kind>/", history.record, name="record"),
    path("structures/<int:pk>/setting/", setting.setting_list, name="setting"),
    path("structures/<int:pk>/setting/new/", setting.start, name="start_setting"),
    path("structures/<int:pk>/setting/<int:record_pk>/", setting.record_page, name="setting_record"),
    path("structures/<int:pk>/setting/<int:record_pk>/sheet/", setting.sheet, name="setting_sheet"),
    path("structures/<int:pk>/setting/<int:record_pk>/edit/", setting.change, name="edit_setting"),
    path("structures/<int:pk>/setting/<int:record_pk>/beams/", setting.beams, name="setting_beams"),
    path("structures/<int:pk>/setting/<int:record_pk>/checklist/", setting.checklist, name="setting_checklist"),
    path("structures/<int:pk>/setting/<int:record_pk>/opening/", setting.opening, name="setting_opening"),
    path("structures/<int:pk>/setting/<int:record_pk>/steps/<int:order>/", setting.step, name="setting_step"),
    path(
        "structures/<int:pk>/setting/<int:record_pk>/steps/<int:order>/back/",
        setting.take_back,
        name="take_back_setting_step",
    ),
    path("structures/<int:pk>/bars/<int:bar_pk>/aside/", bars.set_bar_aside, name="set_aside_bar"),
    path("structures/<int:pk>/bars/<int:bar_pk>/release/", bars.release_bar_page, name="release_bar"),
    path("bars/policy/", bars.bar_policy_page, name="bar_policy"),
    path("bars/policy/change/", bars.change_bar_policy_page, name="change_bar_policy"),
    path("jacks/", equipment.jacks_page, name="jacks"),
    path("jacks/new/", equipment.new_jack, name="new_jack"),
    path("jacks/<int:pk>/edit/", equipment.change_jack, name="edit_jack"),
    path("jacks/<int:pk>/retire/", equipment.take_jack_out, name="retire_jack"),
    path("rating/", rating.rating_settings_page, name="rating_settings"),
    path("rating/change/", rating.change_settings_page, name="change_rating_settings"),
    path("vehicles/", vehicles.vehicles_page, name="vehicles"),
    path("vehicles/new/", vehicles.new_vehicle, name="new_vehicle"),
    path("vehicles/<int:pk>/", vehicles.vehicle_page, name="vehicle"),
    path("vehicles/<int:pk>/edit/", vehicles.change_vehicle, name="edit_vehicle"),
    path("vehicles/<int:pk>/retire/", vehicles.take_vehicle_out, name="retire_vehicle"),
    path("records/", imports.import_page, name="import"),
    path("records/preview/", imports.import_preview, name="import_preview"),
    path("records/done/", imports.import_done, name="import_done"),
    path("records/held/", held.held_page, name="held"),
    path("records/missing/", missing.missing_page, name="missing"),
]
