"""Routes of the inventory room."""

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import path

from inventory.views import held, imports, missing, structures

app_name = "inventory"

urlpatterns = [
    path("sign-in/", LoginView.as_view(template_name="inventory/sign_in.html"), name="sign_in"),
    path("sign-out/", LogoutView.as_view(), name="sign_out"),
    path("structures/<int:pk>/", structures.structure_page, name="structure"),
    path("records/", imports.import_page, name="import"),
    path("records/preview/", imports.import_preview, name="import_preview"),
    path("records/done/", imports.import_done, name="import_done"),
    path("records/held/", held.held_page, name="held"),
    path("records/missing/", missing.missing_page, name="missing"),
]
