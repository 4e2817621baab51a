"""manage.py draw_map FILE --agency NAME --kind road|stream|outline|township [--layer NAME]"""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from inventory.models import Agency
from maps.actions.draw_lines import draw_lines
from maps.geometry import NotOnTheMap
from maps.models import Line
from maps.records.line_files import read_lines

SHOWN = 20


class Command(BaseCommand):
    help = "Puts the lines of a geographic file on an agency's county sheet in place of those of the same kind."

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path)
        parser.add_argument("--agency", required=True, help="the agency's name, whole")
        parser.add_argument("--kind", required=True, choices=[kind for kind, _ in Line.KINDS])
        parser.add_argument("--layer", help="the layer, where a file holds several")

    def handle(self, *, file: Path, agency: str, kind: str, layer: str | None, **_):
        try:
            owner = Agency.objects.get(name=agency)
        except Agency.DoesNotExist:
            known = ", ".join(Agency.objects.values_list("name", flat=True)) or "none yet"
            raise CommandError(f'There is no agency named "{agency}". Those here: {known}.') from None
        try:
            read = read_lines(file, layer=layer)
            count = draw_lines(agency=owner, kind=kind, lines=read.lines, by=None, at=timezone.now())
        except NotOnTheMap as reason:
            raise CommandError(str(reason)) from None
        self.stdout.write(f"{count} lines of the kind {kind} drawn for {owner} (file in {read.crs}).")
        for number, reason in read.refused[:SHOWN]:
            self.stdout.write(f"Feature {number} left out: {reason}")
        if len(read.refused) > SHOWN:
            self.stdout.write(f"and {len(read.refused) - SHOWN} more left out.")
