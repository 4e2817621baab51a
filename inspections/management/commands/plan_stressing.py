"""Plan the stressing of a row of bars in a file: manage.py plan_stressing FILE.json ... (- reads standard input)."""

from inspections.management.file_door import FileDoor
from inspections.reckoning.stressing_file import plan_row, read_row, schema


class Command(FileDoor):
    help = (
        "Plans the stressing of rows of bars described in files (ops/stressing-file.md) and prints every pull, gauge "
        "reading, expected force and limit as JSON. No database is read or written. Leaves with 0 where every plan may "
        "be used, 1 where one may not (its reasons are printed), 2 for a bad file."
    )
    several = "rows"

    def schema(self) -> dict:
        return schema()

    def answers(self, data: bytes) -> list[dict]:
        return [plan_row(read_row(data))]

    def is_good(self, answer: dict) -> bool:
        return answer["is_usable"]

    def tell(self, answer: dict) -> None:
        write, plan = self.stdout.write, answer["plan"]
        write(f"{answer['name']}: {'plan' if answer['is_usable'] else 'NO PLAN MAY BE USED'}")
        for sentence in answer["cautions"] + answer["reasons"]:
            write(f"  {sentence}")
        if plan is None:
            return
        write(f"  targets from: {answer['target_source']}")
        heads = f"{'gauge psi':>10}{'set lb':>10}{'then lb':>10}{'moves in':>10}"
        write(f"  {'pass':>4}{'pull':>6}  {'bar':<8}{'jack':<12}{heads}")
        for pull in plan["pulls"]:
            for each in pull["bars"]:
                write(
                    f"  {pull['pass_number']:>4}{pull['number']:>6}  {each['bar']:<8}{each['jack']:<12}"
                    f"{each['gauge_psi']:>10,.0f}{each['set_lb']:>10,.0f}{each['locked_lb']:>10,.0f}"
                    f"{each['elongation_in']:>10.2f}"
                )
        for bar, force in zip(plan["given"]["bars"], plan["final_lb"], strict=True):
            target = f" of {bar['target_lb']:,.0f}" if bar["is_planned"] else ", not pulled"
            write(f"  bar {bar['name']}: at the end {force:,.0f} lb{target}")
        for sentence in dict.fromkeys([check["words"] for check in plan["checks"]] + plan["sentences"]):
            write(f"  {sentence}")
