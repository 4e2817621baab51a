"""Rows of this room by number, as far as the person may see them; the rest do not exist for them."""

from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from inspections.models import Inspection, Rating, Recommendation, StressingDay
from inspections.queries.pages import inspections_for, ratings_for, recommendations_for, signs_for
from inspections.queries.stressing import stressing_days_for
from inventory.access import require
from inventory.models import Sign
from inventory.vocabulary.roles import Permit


def inspection_or_404(request: HttpRequest, pk: int, permit: Permit = Permit.READ) -> Inspection:
    inspection = get_object_or_404(inspections_for(request.user), pk=pk)
    require(request.user, inspection.structure.agency, permit)
    return inspection


def rating_or_404(request: HttpRequest, pk: int) -> Rating:
    return get_object_or_404(ratings_for(request.user), pk=pk)


def recommendation_or_404(request: HttpRequest, pk: int, permit: Permit = Permit.READ) -> Recommendation:
    recommendation = get_object_or_404(recommendations_for(request.user), pk=pk)
    require(request.user, recommendation.structure.agency, permit)
    return recommendation


def sign_or_404(request: HttpRequest, pk: int) -> Sign:
    sign = get_object_or_404(signs_for(request.user), pk=pk)
    require(request.user, sign.posting.structure.agency, Permit.CONFIRM_SIGN)
    return sign


def stressing_day_or_404(request: HttpRequest, pk: int, permit: Permit = Permit.READ) -> StressingDay:
    day = get_object_or_404(stressing_days_for(request.user), pk=pk)
    require(request.user, day.structure.agency, permit)
    return day
