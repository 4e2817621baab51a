"""Routes of the maps room."""

from django.urls import path

from maps import views

app_name = "maps"

urlpatterns = [
    path("", views.county_sheet, name="county"),
    path("map/structures.geojson", views.structures_layer, name="structures.geojson"),
    path("map/lines.geojson", views.lines_layer, name="lines.geojson"),
    path("structures/export.<slug:form>", views.export_list, name="export"),
]
