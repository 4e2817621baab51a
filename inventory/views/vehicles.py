"""Rating vehicles of the State and the county: the list, one of them, entering, changing, retiring."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.access import permitted, require
from inventory.actions.rating_vehicles import add_vehicle, edit_vehicle, retire_vehicle
from inventory.forms.rating import RetireForm, VehicleForm, typed_values
from inventory.forms.row_numbers import row_number
from inventory.models import RatingVehicle
from inventory.pages.rating import drawing_of, vehicle_context
from inventory.queries.people import permits_of
from inventory.queries.rating import rating_settings_of, vehicles_for
from inventory.reckoning.standard_vehicles import copied_values, row_of, standard_rows, warnings_of
from inventory.rules.refusals import Refused
from inventory.vocabulary.roles import Permit

from .entry import entry_page
from .rating import chosen_agency

NOTE = (
    "Ratings made before keep the vehicle as it was. What you save here is rated with every structure in service, "
    "except a permit vehicle, which is rated only where somebody asks whether it may cross."
)
COPIED = ("name", "vehicle_class", "sign_class", "lane_klf", "lane_moment_kip", "lane_shear_kip",
          "relieving_axles_dropped", "note")  # fmt: skip


@permitted(Permit.READ)
@require_safe
def vehicles_page(request: HttpRequest) -> HttpResponse:
    """The agency's own vehicles first, then the standard ones with source and mark."""
    agency = chosen_agency(request)
    chosen = set(rating_settings_of(agency).standard_vehicles)
    own = vehicles_for(request.user).filter(agency=agency)
    context = {
        "agency": agency,
        "own": [(vehicle, row_of(vehicle)) for vehicle in own],
        "standard": [(row, row.key in chosen, drawing_of(row, key=f"standard-{row.key}")) for row in standard_rows()],
        "may_change": Permit.SET_RATING in permits_of(request.user, agency),
        "today": timezone.localdate(),
    }
    return render(request, "inventory/rating/vehicles.html", context)


@permitted(Permit.READ)
@require_safe
def vehicle_page(request: HttpRequest, pk: int) -> HttpResponse:
    return _vehicle(request, get_object_or_404(vehicles_for(request.user), pk=pk))


def _vehicle(request: HttpRequest, vehicle: RatingVehicle, form: RetireForm | None = None, status=200) -> HttpResponse:
    context = {
        **vehicle_context(vehicle),
        "warnings": warnings_of(vehicle),
        "may_change": Permit.SET_RATING in permits_of(request.user, vehicle.agency),
        "form": form or RetireForm(initial={"revision": vehicle.revision}),
    }
    return render(request, "inventory/rating/vehicle.html", context, status=status)


@permitted(Permit.SET_RATING)
@require_http_methods(["GET", "POST"])
def new_vehicle(request: HttpRequest) -> HttpResponse:
    """An empty form, or one filled from a standard vehicle (`copy=TYPE3`) or from one of the agency's own."""
    agency = chosen_agency(request, Permit.SET_RATING)
    first = _copied(request) | {"in_use_from": timezone.localdate()}
    return entry_page(
        request,
        form=VehicleForm(request.POST or None, initial=first),
        title=f"New rating vehicle of {agency}",
        note=NOTE,
        act=lambda values: add_vehicle(agency=agency, values=values, by=request.user, at=timezone.now()),
        done="The vehicle is entered. Look at what stands below before you rely on it.",
        after=_address_of,
        leave=reverse("inventory:vehicles"),
    )


def _copied(request: HttpRequest) -> dict:
    wanted = request.GET.get("copy", "")
    if values := copied_values(wanted):
        return values
    own = vehicles_for(request.user).filter(pk=row_number(wanted)).first()
    return {} if own is None else {name: getattr(own, name) for name in COPIED} | typed_values(own)


@permitted(Permit.SET_RATING)
@require_http_methods(["GET", "POST"])
def change_vehicle(request: HttpRequest, pk: int) -> HttpResponse:
    vehicle = _owned(request, pk)
    return entry_page(
        request,
        form=VehicleForm(request.POST or None, row=vehicle),
        title=f"Change {vehicle}",
        note=NOTE,
        stamp=str(vehicle.revision),
        act=lambda values: edit_vehicle(
            vehicle=vehicle, values=values, revision=_revision(request), by=request.user, at=timezone.now()
        ),
        done="The vehicle is changed. New ratings follow.",
        after=_address_of,
        leave=_address_of(vehicle),
    )


@permitted(Permit.SET_RATING)
@require_POST
def take_vehicle_out(request: HttpRequest, pk: int) -> HttpResponse:
    vehicle = _owned(request, pk)
    form = RetireForm(request.POST)
    if form.is_valid():
        try:
            given = form.cleaned_data
            retire_vehicle(vehicle=vehicle, **given, by=request.user, at=timezone.now())
        except Refused as refused:
            for name, sentence in refused.faults.items():
                form.add_error(name or None, sentence)
        else:
            messages.success(request, "The vehicle is retired. It stays on record; new ratings are made without it.")
            return redirect("inventory:vehicle", pk=pk)
    return _vehicle(request, vehicle, form, status=422)


def _owned(request: HttpRequest, pk: int) -> RatingVehicle:
    vehicle = get_object_or_404(vehicles_for(request.user), pk=pk)
    require(request.user, vehicle.agency, Permit.SET_RATING)
    return vehicle


def _revision(request: HttpRequest) -> int:
    found = row_number(request.POST.get("stamp", ""))
    return -1 if found is None else found


def _address_of(vehicle: RatingVehicle) -> str:
    return reverse("inventory:vehicle", args=[vehicle.pk])
