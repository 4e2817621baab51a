"""Start of the inventory room: its sections are hung on the shared pages here."""

from django.apps import AppConfig


class InventoryConfig(AppConfig):
    name = "inventory"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self):
        from .pages import Door, add_door
        from .vocabulary.roles import Permit

        add_door(Door(order=70, label="Missing", url_name="inventory:missing"))
        add_door(Door(order=80, label="Records", url_name="inventory:import", permit=Permit.IMPORT_RECORDS))
