"""Form of an emergency contact."""

from inventory.models import EmergencyContact

from .entry import EntryForm


class ContactForm(EntryForm):
    row_model = EmergencyContact
    groups = {"Whom to call": ("role", "name", "phone", "note")}
    told = {
        "name": "The person or office that answers, such as Duty officer.",
        "phone": "As dialled from the structure. A telephone dials it from the page with one press.",
        "note": "Such as: day and night; only for roads of the State.",
    }

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        for name, words in self.told.items():
            self.fields[name].help_text = words
        self.fields["phone"].widget.attrs["inputmode"] = "tel"
        for field in self.fields.values():
            field.required = False  # the rule asks for what is needed in words of the trade
