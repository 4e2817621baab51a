"""The form that receives a federal record file."""

from django import forms
from django.conf import settings

from inventory.models import Person
from inventory.queries.people import agencies_permitting
from inventory.records.record_source import NotARecordFile, check_size
from inventory.vocabulary.roles import Permit


class RecordFileForm(forms.Form):
    agency = forms.ModelChoiceField(queryset=None, empty_label=None, label="Into the register of")
    file = forms.FileField(
        label="Record file",
        help_text="The yearly federal inventory file of your State in its comma-separated form, or a saved copy.",
        error_messages={"required": "Choose the file first.", "empty": "The file is empty."},
    )
    timber_only = forms.BooleanField(
        required=False, initial=True, label="Only structures with main or approach spans of wood or timber"
    )
    only_county = forms.BooleanField(
        required=False, initial=True, label="Only lines of this agency's State and county (where they are known)"
    )

    def __init__(self, *args, person: Person, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["agency"].queryset = agencies_permitting(person, Permit.IMPORT_RECORDS)

    def clean_file(self):
        file = self.cleaned_data["file"]
        try:
            check_size(file.size, settings.RECORD_FILE_MAX_BYTES)
        except NotARecordFile as refusal:
            raise forms.ValidationError(str(refusal))
        return file
