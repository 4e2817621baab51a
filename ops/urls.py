"""Every room's routes; each room keeps its own list."""

from django.contrib import admin
from django.urls import include, path

urlpatterns = [
    path("", include("maps.urls")),
    path("", include("inspections.urls")),
    path("", include("inventory.urls")),
    path("office/", admin.site.urls),
]
