"""Routes of the inventory room."""

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import path

from inventory.views import structures

app_name = "inventory"

urlpatterns = [
    path("sign-in/", LoginView.as_view(template_name="inventory/sign_in.html"), name="sign_in"),
    path("sign-out/", LogoutView.as_view(), name="sign_out"),
    path("structures/<int:pk>/", structures.structure_page, name="structure"),
]
