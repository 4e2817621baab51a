"""What newer formulas and tables change: manage.py recalculate [--agency NAME] [--dry-run] [--report FILE]."""

import sys
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from inspections.actions.recalculate import owe_recalculated
from inspections.pages.recalculation import cells_of, line_of, report_csv, report_json, touched_by
from inspections.queries.recalculations import rated_anew, ratings_as_values, standing_rating_ids
from inspections.reckoning.recalculation import causes_of, change_made, present_versions, rate_all_again
from inventory.models import Agency, Structure

SHOWN = 20


class Command(BaseCommand):
    help = (
        "Computes every standing rating that a changed formula or table touches once more, from its own inputs, and "
        "says what would change. Then, if you agree, owes those structures a rating: the worker makes new ratings and "
        "recommendations, and an engineer decides. No posting changes by this command."
    )

    def add_arguments(self, parser):
        parser.add_argument("--agency", default="", help="only this agency, by its name")
        parser.add_argument("--dry-run", action="store_true", help="say what would change and owe nothing")
        parser.add_argument("--yes", action="store_true", help="owe the ratings without asking")
        parser.add_argument("--everything", action="store_true", help="compute untouched ratings again as well")
        parser.add_argument("--report", type=Path, help="write every structure to this .csv or .json file")
        parser.add_argument("--workers", type=int, default=1, help="processes to compute with (default 1)")

    def handle(self, *args, agency, report, workers, **asked):
        if report is not None and report.suffix not in (".csv", ".json"):
            raise CommandError("The report must be named .csv or .json.")
        if not 1 <= workers <= 64:
            raise CommandError("Give 1 to 64 workers.")
        chosen = self._agency(agency)
        ids = standing_rating_ids(chosen)
        why = {row["pk"]: causes_of(row) for row in ratings_as_values(ids)}
        wanted = [pk for pk in ids if why.get(pk) or asked["everything"]]
        self._head(len(ids), sum(1 for causes in why.values() if causes), why)
        found = [
            (self._names(rating), rating["structure_id"], self._line(change, why[rating["pk"]]))
            for rating, change in rate_all_again(ratings_as_values(wanted), workers=workers)
        ]
        for old, new in rated_anew([pk for pk in ids if not why.get(pk)]):
            causes, change = change_made(old, new)
            if causes:
                found.append((self._names(new), new["structure_id"], line_of(change, causes)))
        changed = [row for row in found if row[2]["is_changed"] or row[2]["problem"]]
        self._tell(changed)
        if report is not None:
            self._write(report, found, len(ids))
        self._owe([row for row in changed if not row[2]["is_rated_anew"]], asked)

    def _agency(self, name: str) -> Agency | None:
        if not name:
            return None
        try:
            return Agency.objects.get(name=name)
        except Agency.DoesNotExist as missing:
            known = ", ".join(Agency.objects.order_by("name").values_list("name", flat=True)[:20])
            raise CommandError(f"No agency {name}; known are {known or 'none'}.") from missing

    def _names(self, rating: dict) -> dict:
        return {
            "agency": rating["structure__agency__name"],
            "number": rating["structure__number"],
            "road": rating["structure__road_name"],
            "feature": rating["structure__feature_crossed"],
        }

    def _line(self, change: dict | str, causes: list[str]) -> dict:
        return line_of({}, causes, change) if isinstance(change, str) else line_of(change, causes)

    def _head(self, standing: int, touched: int, why: dict) -> None:
        kernel, _tables = present_versions()
        self.stdout.write(f"Kernel {kernel}: {standing} standing ratings, {touched} touched by what changed.")
        for cause, count in touched_by(why.values()):
            self.stdout.write(f"  {count:>6}  {cause}")

    def _tell(self, changed: list) -> None:
        self.stdout.write(f"{len(changed)} structures would be, or were just, rated otherwise.")
        for names, _structure, line in changed[:SHOWN]:
            if line["problem"]:
                self.stdout.write(f"  {names['number']}: could not be computed ({line['problem']})")
                continue
            posting = line["new"]["posting"]
            if line["posting_changes"]:
                posting = f"{line['old']['posting']} -> {posting}"
            self.stdout.write(
                f"  {names['number']}: {line['old_factor']} -> {line['new_factor']} {line['by']}, "
                f"{line['new']['governing'] or 'nothing governs'}; {posting}"
            )
        if len(changed) > SHOWN:
            self.stdout.write(f"  and {len(changed) - SHOWN} more; --report lists them all")

    def _write(self, report: Path, found: list, standing: int) -> None:
        kernel, tables = present_versions()
        rows = [cells_of(names, line) for names, _structure, line in found]
        try:
            with report.open("w", encoding="utf-8", newline="") as handle:
                if report.suffix == ".csv":
                    report_csv(handle, rows)
                else:
                    head = {"kernel_version": kernel, "table_versions": tables, "standing_ratings": standing}
                    report_json(handle, rows, head)
        except OSError as problem:
            raise CommandError(f"{report} cannot be written ({(problem.strerror or 'unknown').lower()}).") from problem
        self.stdout.write(f"Every structure computed stands in {report}.")

    def _owe(self, changed: list, asked: dict) -> None:
        if asked["dry_run"] or not changed:
            self.stdout.write("Nothing was owed.")
            return
        if not asked["yes"]:
            if not sys.stdin.isatty():
                self.stdout.write("Nothing was owed: say --yes to owe these structures a rating.")
                return
            if input(f"Owe {len(changed)} structures a rating? [yes/no] ").strip().lower() != "yes":
                self.stdout.write("Nothing was owed.")
                return
        rows = Structure.objects.in_bulk([structure for _names, structure, _line in changed])
        owed = owe_recalculated(
            ratings=[(rows[structure], line["causes"]) for _names, structure, line in changed], at=timezone.now()
        )
        self.stdout.write(f"{owed} structures are owed a rating; the worker makes them.")
