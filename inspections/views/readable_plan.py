"""Pages of a stressing day whose plan another version of this software kept: a sentence and the way out of it."""

from collections.abc import Callable
from functools import wraps

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from inspections.assembly.stored_plan import PlanUnreadable, plan_faults
from inspections.forms.stressing import WithdrawDayForm
from inspections.pages.stressing import CAUTIONS
from inspections.queries.stressing_log import entries_of
from inspections.rules import lifecycle
from inspections.vocabulary.states import StressingState
from inventory.queries.people import permits_of

from .scope import stressing_day_or_404

WITHDRAWAL = "withdraw_stressing"


def plan_readable(view: Callable) -> Callable:
    """Show why the plans kept with a day cannot be read, instead of a page made from them; a withdrawal goes on.

    Stands below `permitted`. A post answers 409 and changes nothing.
    """

    @wraps(view)
    def guarded(request: HttpRequest, pk: int, **kwargs) -> HttpResponse:
        day = stressing_day_or_404(request, pk)
        faults = plan_faults(day)
        if not faults:
            return view(request, pk, **kwargs)
        if view.__name__ == WITHDRAWAL:
            try:
                return view(request, pk, **kwargs)
            except PlanUnreadable:  # refused, and its page is one made from the plan
                day = stressing_day_or_404(request, pk)
        permits = permits_of(request.user, day.structure.agency)
        context = {
            "day": day,
            "structure": day.structure,
            "cautions": CAUTIONS,
            "faults": faults,
            "entries": entries_of(day).select_related("bar"),
            "may_withdraw": not lifecycle.may_move(
                lifecycle.STRESSING, day.state, StressingState.WITHDRAWN, permits=permits
            ),
            "withdraw": WithdrawDayForm(initial={"revision": day.revision}, prefix="withdraw"),
        }
        status = 409 if request.method == "POST" else 200
        return render(request, "inspections/stressing/unreadable.html", context, status=status)

    return guarded
