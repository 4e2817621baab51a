"""Forecast bar force from a file: manage.py forecast_force FILE.json ... (- reads standard input)."""

from inspections.management.file_door import FileDoor
from inspections.reckoning.forecast_file import forecast_rows, read_rows, schema

YEARS_TOLD = (0, 1, 2, 5, 10, 20)


class Command(FileDoor):
    help = (
        "Forecasts the bar force of rows of bars described in files (ops/stressing-file.md) and prints bands and dates "
        "as JSON. No database is read or written. Leaves with 0 where every row has a forecast, 1 where one has none "
        "(its reasons are printed), 2 for a bad file."
    )
    several = "files"

    def schema(self) -> dict:
        return schema()

    def answers(self, data: bytes) -> list[dict]:
        return [forecast_rows(read_rows(data))]

    def is_good(self, answer: dict) -> bool:
        return answer["is_forecast"]

    def tell(self, answer: dict) -> None:
        for sentence in answer["cautions"]:
            self.stdout.write(sentence)
        for row in answer["rows"]:
            self._tell_row(row)

    def _tell_row(self, row: dict) -> None:
        write, made = self.stdout.write, row["forecast"]
        write(f"{row['name']}: {'forecast' if row['is_forecast'] else 'NO FORECAST'}")
        for sentence in row["warnings"] + row["reasons"]:
            write(f"  {sentence}")
        for read in row["not_standing"]:
            write(f"  {read['on']}, bar {read['bar']}, {read['force_lb']:,.0f} lb: {read['why']}.")
        if made is None:
            return
        write(f"  {'day':<12}{'least psi: lower':>18}{'middle':>8}{'upper':>8}{'mean lb: lower':>16}{'middle':>10}")
        for point in _told_points(made["points"]):
            write(
                f"  {point['on_day']:<12}{point['least_lower_psi']:>18.1f}{point['least_middle_psi']:>8.1f}"
                f"{point['least_upper_psi']:>8.1f}{point['mean_lower_lb']:>16,.0f}{point['mean_middle_lb']:>10,.0f}"
            )
        for reaching in made["reachings"]:
            what = "needed" if reaching["is_need"] else "asked"
            write(
                f"  {reaching['psi']:g} psi ({what}): lower edge {reaching['early_day'] or 'not within these years'}, "
                f"middle {reaching['middle_day'] or 'not within these years'}; chance that it is so already "
                f"{reaching['chance_already_ratio']:.0%}"
            )
        for sentence in made["sentences"]:
            write(f"  {sentence}")


def _told_points(points: list[dict]) -> list[dict]:
    """The points nearest to a few round years."""
    dated = [point for point in points if point["on_day"]]
    first = int(dated[0]["on_day"][:4])
    told = []
    for years in YEARS_TOLD:
        wanted = f"{first + years}{dated[0]['on_day'][4:]}"
        found = next((point for point in dated if point["on_day"] >= wanted), None)
        if found is not None and found not in told:
            told.append(found)
    return told
