"""Start of the inventory room: its sections are hung on the shared pages here."""

from django.apps import AppConfig


class InventoryConfig(AppConfig):
    name = "inventory"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self):
        from .pages import Door, add_door
        from .pages.structure import hang_sections
        from .vocabulary.roles import Permit

        hang_sections()
        add_door(Door(order=10, label="Structures", url_name="inventory:structures"))
        add_door(
            Door(order=75, label="New structure", url_name="inventory:new_structure", permit=Permit.EDIT_STRUCTURE)
        )
        add_door(Door(order=72, label="How we rate", url_name="inventory:rating_settings"))
        add_door(Door(order=45, label="Jacks", url_name="inventory:jacks"))
        add_door(Door(order=73, label="Whom to call", url_name="inventory:contacts"))
        add_door(Door(order=47, label="Qualifications", url_name="inventory:qualifications"))
        add_door(Door(order=70, label="Missing", url_name="inventory:missing"))
        add_door(Door(order=80, label="Records", url_name="inventory:import", permit=Permit.IMPORT_RECORDS))
