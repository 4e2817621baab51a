"""Try a change on the standing rating of a structure, from outside: manage.py try_change STRUCTURE FILE.json."""

import json
import sys
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from inspections.queries.ratings import current_rating
from inspections.reckoning.trials import try_changes
from inspections.rules.trials import TrialRefused, read_changes
from inventory.models import Structure


class Command(BaseCommand):
    help = (
        "Rates a structure with changes and without, side by side; nothing is saved. FILE.json (- reads standard "
        'input) names the changes, such as {"overlay_in": 2, "bars_lost": [3]}; units are in the names. Leaves with 0 '
        "where an answer was found, 2 where the changes were refused."
    )

    def add_arguments(self, parser):
        parser.add_argument("structure", help="number of the structure")
        parser.add_argument("file", help="JSON file, or - for standard input")
        parser.add_argument("--agency", default="", help="name of the agency, where two have such a number")
        parser.add_argument("--json", action="store_true", help="print everything as JSON")

    def handle(self, *args, structure, file, agency, **asked):
        rating = current_rating(self._structure(structure, agency))
        if rating is None:
            raise CommandError(f"Structure {structure} has not been rated yet.", returncode=2)
        try:
            changes = read_changes(self._text(file))
            trial = try_changes(rating=rating, changes=changes, as_of=timezone.localdate())
        except TrialRefused as refusal:
            told = "\n".join(f"{name or 'changes'}: {sentence}" for name, sentence in refusal.problems)
            raise CommandError(told, returncode=2) from refusal
        if asked["json"]:
            self.stdout.write(json.dumps(trial.as_dict(), indent=1, ensure_ascii=False, allow_nan=False))
            return
        for sentence in (*trial.told, *trial.cautions):
            self.stdout.write(sentence)
        for line in trial.lines:
            if line.series == "posting":
                before, after = ("not rated" if f is None else f"{f:.3f}" for f in (line.before, line.after))
                self.stdout.write(f"{line.name}: {before} -> {after}")

    def _structure(self, number: str, agency: str) -> Structure:
        found = Structure.objects.filter(number=number)
        if agency:
            found = found.filter(agency__name=agency)
        rows = list(found[:2])
        if len(rows) != 1:
            word = "no structure" if not rows else "more than one structure"
            raise CommandError(f"There is {word} {number}; name it with --agency.", returncode=2)
        return rows[0]

    def _text(self, file: str) -> str:
        try:
            return sys.stdin.read() if file == "-" else Path(file).read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError) as trouble:
            raise CommandError(f"{file} cannot be read: {trouble}.", returncode=2) from trouble
