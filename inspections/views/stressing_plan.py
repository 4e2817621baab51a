"""Plan a stressing day: asked in the address and computed without saving, then kept as a draft."""

import json

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from inspections.actions.stressing.draft import draft_stressing_day
from inspections.assembly.stressing_row import row_on_record
from inspections.forms.stressing import PlanForm, typed_again
from inspections.models import StressingDay
from inspections.pages.stressing import CAUTIONS, first_values, plan_context, plan_title, rows_of_bars
from inspections.queries.stressing import open_stressing_days, without_plans
from inspections.reckoning.stressing import tell_plan, try_plan
from inspections.rules.stressing.asked import DayAsked
from inspections.vocabulary.states import StressingState
from inventory.access import permitted, structure_or_404
from inventory.models import Structure
from inventory.queries.bars import jacks_in_use
from inventory.vocabulary.roles import Permit

from .attempts import attempt


@permitted(Permit.PLAN_STRESSING)
@require_http_methods(["GET", "HEAD", "POST"])
def plan_stressing(request: HttpRequest, pk: int) -> HttpResponse:
    structure = structure_or_404(request, pk, Permit.PLAN_STRESSING)
    if request.method == "POST":
        return _keep(request, structure)
    return _page(request, structure, request.GET)


def _page(request: HttpRequest, structure: Structure, typed: QueryDict, *, problems=(), status=200) -> HttpResponse:
    """The form, and the plan where one was asked for; whatever was refused stands beside what was typed."""
    rows = rows_of_bars(structure)
    row = next((each for each in rows if each["key"] == typed.get("row")), rows[0] if rows else None)
    again = _again(structure, typed)
    context = {
        "structure": structure,
        "rows": rows,
        "key": row["key"] if row else "",
        "again": again,
        "open_days": without_plans(open_stressing_days(structure)),
        "problems": list(problems),
        "cautions": CAUTIONS,
    }
    if row is not None:
        context |= _planned(structure, row, typed, again)
        context["problems"] += context["form"].problems()
    status = 422 if context["problems"] and status == 200 else status
    return render(request, "inspections/stressing/plan.html", context, status=status)


def _form(structure: Structure, row: dict, typed: QueryDict, again: StressingDay | None) -> PlanForm:
    today = timezone.localdate()
    held = row_on_record(system=row["system"], level=row["level"], as_of=today)
    initial = first_values(structure)
    if again is not None:
        initial |= _typed_before(again, row["system"].design_force_lb)
    data = typed if "try" in typed else None
    return PlanForm(data, row=held, jacks=list(jacks_in_use(structure.agency)), initial=initial)


def _typed_before(again: StressingDay, design_force_lb: float | None) -> dict:
    """What the draft was asked for; one kept by an older version in another shape is asked for anew."""
    try:
        return typed_again(DayAsked.from_dict(again.asked), design_force_lb=design_force_lb)
    except ValueError:
        return {}


def _planned(structure: Structure, row: dict, typed: QueryDict, again: StressingDay | None) -> dict:
    form = _form(structure, row, typed, again)
    context = {"form": form}
    if form.is_bound and form.is_valid():
        tried = try_plan(
            system=row["system"], level=row["level"], asked=form.asked(), as_of=timezone.localdate(), row=form.row
        )
        form.tell(tried.faults)
        if tried.plan is not None:
            context |= {
                "asked": typed.urlencode(),
                "seen": json.dumps(tried.rests_on),
                "notes": tried.assembled.notes,
                **plan_context(
                    plan=tried.plan.as_dict(),
                    told=tell_plan(tried.plan),
                    sources=tried.assembled.sources,
                    key="tried",
                    title=plan_title(row["system"].span.index, row["level"]),
                ),
            }
    context["values_open"] = any(field.errors or field.value() for field, _held in form.value_rows)
    return context


def _again(structure: Structure, typed: QueryDict) -> StressingDay | None:
    """The draft that is planned again, where the address names one of this structure."""
    word = typed.get("again", "")
    if not word.isdecimal() or len(word) > 12:
        return None
    return StressingDay.objects.filter(pk=int(word), structure=structure, state=StressingState.DRAFTED.value).first()


def _keep(request: HttpRequest, structure: Structure) -> HttpResponse:
    """Keep what was asked for, if the record is still as it was when the plan was shown."""
    typed = QueryDict(request.POST.get("asked", "")[:20_000], mutable=True)
    typed["try"] = "1"
    row = next((each for each in rows_of_bars(structure) if each["key"] == typed.get("row")), None)
    if row is None:
        return _page(request, structure, typed, problems=[("", "Choose the row of bars again.")])
    again = _again(structure, typed)
    form = _form(structure, row, typed, again)
    if not form.is_valid():
        return _page(request, structure, typed)
    tried = attempt(
        lambda: draft_stressing_day(
            structure=structure,
            system=row["system"],
            level=row["level"],
            asked=form.asked(),
            by=request.user,
            at=timezone.now(),
            seen=_seen(request),
            replaces=again,
        )
    )
    if not tried.done:
        problems = [("", sentence) for sentence in tried.sentences]
        return _page(request, structure, typed, problems=problems, status=tried.status)
    messages.success(request, "Kept as a draft. Nobody pulls from it until an engineer has released it.")
    return redirect("inspections:stressing_day", pk=tried.result.pk)


def _seen(request: HttpRequest) -> dict | None:
    try:
        seen = json.loads(request.POST.get("seen", "")[:2000])
    except ValueError:
        return {}
    return seen if isinstance(seen, dict) else {}
