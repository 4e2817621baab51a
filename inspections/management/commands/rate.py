"""Rate a bridge described in a file, without the register: manage.py rate FILE.json ... (- reads standard input)."""

import json
from pathlib import Path

from django.utils import timezone

from inspections.letters.calculation import calculation_sheet_pdf, sheet_of_answer
from inspections.management.file_door import FileCommand
from inspections.reckoning.rating_file import BadFile, Bridge, rate_bridge, read_bridges, schema

NOT_RATED = 1


class Command(FileCommand):
    help = (
        "Rates bridges described in files (ops/rating-file.md) and prints every factor and step as JSON. No database "
        "is read or written. Leaves with 0 where all were rated, 1 where one could not be (its reasons are printed), "
        "2 for a bad file."
    )

    def add_arguments(self, parser):
        parser.add_argument("files", nargs="*", help="JSON files, or - for standard input")
        shape = parser.add_mutually_exclusive_group()
        shape.add_argument("--json", action="store_true", help="print JSON (as without it)")
        shape.add_argument("--brief", action="store_true", help="print a few lines for people instead of JSON")
        parser.add_argument(
            "--method", choices=("ASR", "LRFR", "both"), default="both", help="whose factors to list (default both)"
        )
        parser.add_argument("--vehicles", default="", help="ids of standard vehicles, with commas, instead of its own")
        parser.add_argument("--curve", action="store_true", help="add the rating as a function of the bar force")
        parser.add_argument("--sheet", type=Path, help="write the calculation sheet of the one bridge to this PDF")
        parser.add_argument("--schema", action="store_true", help="print the form of a file (JSON Schema) and stop")

    def handle(self, *args, files, **asked):
        if asked["schema"]:
            self.stdout.write(json.dumps(schema(), indent=1, ensure_ascii=False))
            return
        if not files:
            self.refuse(["Name a file, or - for standard input."])
        bridges = [(name, bridge) for name in files for bridge in self.from_file(name, read_bridges)]
        if asked["sheet"] is not None and len(bridges) != 1:
            self.refuse([f"--sheet prints one bridge; {len(bridges)} were given. Rate them one by one."])
        vehicles = self._vehicles(asked["vehicles"])
        answers = [
            {"file": name} | rate_bridge(bridge, method=asked["method"], vehicles=vehicles, curve=asked["curve"])
            for name, bridge in bridges
        ]
        if asked["sheet"] is not None:
            self._print(asked["sheet"], bridges[0][1], answers[0])
        if asked["brief"]:
            for answer in answers:
                self._tell(answer)
        else:
            whole = answers[0] if len(answers) == 1 else {"bridges": answers}
            self.stdout.write(json.dumps(whole, indent=1, ensure_ascii=False, allow_nan=False))
        if not all(answer["is_rated"] for answer in answers):
            raise SystemExit(NOT_RATED)

    def _vehicles(self, asked: str) -> tuple:
        wanted = [name.strip() for name in asked.split(",") if name.strip()]
        if not wanted:
            return ()
        try:
            probe = {"name": "vehicles", "spans": [], "vehicles": wanted}
            return read_bridges(json.dumps(probe).encode())[0].snapshot.vehicles
        except BadFile as bad:
            self.refuse([f"--vehicles: {sentence}" for sentence in bad.sentences])

    def _print(self, path: Path, bridge: Bridge, answer: dict) -> None:
        name = "standard input" if answer["file"] == "-" else Path(answer["file"]).name
        sheet = sheet_of_answer(bridge=bridge, answer=answer, file_name=name, at=timezone.now())
        try:
            path.write_bytes(calculation_sheet_pdf(sheet))
        except OSError as problem:
            self.refuse([f"--sheet: {path} cannot be written ({(problem.strerror or 'unknown').lower()})."])

    def _tell(self, answer: dict) -> None:
        write = self.stdout.write
        if not answer["is_rated"]:
            write(f"{answer['name']}: NOT RATED")
            for sentence in [*answer["reasons"], *answer["flags"]]:
                write(f"  {sentence}")
            return
        write(f"{answer['name']}: least legal factor {answer['least_factor']:.3f}, {answer['governing']}")
        write(f"  {'vehicle':<12}{'inventory':>10}{'operating':>10}  governs")
        for row in answer["results"]["governing"]:
            place = f"{row['limit_state']}, {row['member']}, span {row['span']}, {row['station_ft']:.2f} ft"
            write(f"  {row['vehicle']:<12}{row['inventory_factor']:>10.3f}{row['operating_factor']:>10.3f}  {place}")
        for row in answer["results"].get("load_factor", []):
            place = f"{row['limit_state']}, {row['member']}, span {row['span']}"
            write(f"  {row['vehicle']:<12}{row['level']:>18}{row['rating_factor']:>8.3f}  {place}")
        for sentence in [*answer["reasons"], *answer["flags"], *answer["results"]["cautions"]]:
            write(f"  {sentence}")
