"""Start of the inventory room: its sections are hung on the shared pages here."""

from django.apps import AppConfig


class InventoryConfig(AppConfig):
    name = "inventory"
    default_auto_field = "django.db.models.BigAutoField"
