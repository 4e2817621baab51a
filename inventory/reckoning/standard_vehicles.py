"""The standard rating vehicles as plain values, for pages and forms that do not call the kernel."""

from dataclasses import dataclass

from inventory.mechanics.vehicle import STANDARD_VEHICLES, Vehicle
from inventory.rules.axle_trains import train_of, weight_warnings
from inventory.rules.rating_settings import SELECTABLE
from inventory.vocabulary.vehicles import USUAL_SET

CLASS_WORDS = {
    "design": "Design vehicle",
    "legal": "Legal truck",
    "shv": "Specialised hauling vehicle",
    "screen": "Screening load",
    "emergency": "Emergency vehicle",
    "county": "County's own",
    "permit": "Permit vehicle",
}
SIGN_WORDS = {"single_unit": "single unit", "combination": "one trailer", "two_trailers": "two trailers"}


@dataclass(frozen=True, kw_only=True)
class VehicleRow:
    """A vehicle for the page: axles front to rear in kip, (least, most) spacings in ft, words for the rest."""

    key: str
    name: str
    vehicle_class: str
    class_words: str
    sign_words: str
    axles_kip: tuple[float, ...]
    spacings_ft: tuple[tuple[float, float], ...]
    gross_kip: float
    extras: tuple[str, ...]
    source: str
    mark: str
    in_usual_set: bool = False

    @property
    def gross_tons(self) -> float:
        return self.gross_kip / 2.0

    @property
    def axle_words(self) -> str:
        return ", ".join(f"{axle:g}" for axle in self.axles_kip)

    @property
    def spacing_words(self) -> str:
        return ", ".join(f"{low:g}" if low == high else f"{low:g}-{high:g}" for low, high in self.spacings_ft)


def _row(vehicle: Vehicle) -> VehicleRow:
    return VehicleRow(
        key=vehicle.id,
        name=vehicle.name,
        vehicle_class=vehicle.vehicle_class,
        class_words=CLASS_WORDS[vehicle.vehicle_class],
        sign_words=SIGN_WORDS[vehicle.sign_class] if vehicle.vehicle_class in ("legal", "shv", "county") else "",
        axles_kip=vehicle.axles_kip,
        spacings_ft=vehicle.spacings_ft,
        gross_kip=vehicle.gross_kip,
        extras=_extras(vehicle),
        source=vehicle.source,
        mark=vehicle.mark,
        in_usual_set=vehicle.id in USUAL_SET,
    )


def _extras(vehicle: Vehicle) -> tuple[str, ...]:
    told = []
    if vehicle.lane is not None:
        lane = vehicle.lane
        told.append(
            f"or a lane load of {lane.uniform_klf:g} kip/ft with {lane.moment_kip:g} kip for moment, "
            f"{lane.shear_kip:g} kip for shear"
        )
    if vehicle.together_plf:
        told.append(f"with a lane load of {vehicle.together_plf / 1000.0:g} kip/ft")
    if vehicle.instead_kip:
        told.append(f"or axles of {' and '.join(f'{axle:g}' for axle in vehicle.instead_kip)} kip")
    if vehicle.relieving_axles_dropped:
        told.append("axles that would relieve an effect are left out")
    return tuple(told)


def standard_rows() -> tuple[VehicleRow, ...]:
    """Every standard vehicle a county may choose."""
    return tuple(_row(STANDARD_VEHICLES[key]) for key in SELECTABLE)


def row_of(vehicle) -> VehicleRow:
    """A vehicle of the agency in the same form; `vehicle` is its row."""
    return _row(train_of(vehicle.__dict__))


def copied_values(key: str) -> dict | None:
    """What a new vehicle starts from when it is copied from a standard one; None for an unknown key."""
    if key not in SELECTABLE:
        return None
    vehicle = STANDARD_VEHICLES[key]
    row, lane = _row(vehicle), vehicle.lane
    return {
        "name": vehicle.name,
        "vehicle_class": vehicle.vehicle_class if vehicle.vehicle_class in ("legal", "shv", "emergency") else "county",
        "sign_class": vehicle.sign_class,
        "axles": row.axle_words,
        "spacings": row.spacing_words,
        "lane_klf": lane and lane.uniform_klf,
        "lane_moment_kip": lane and lane.moment_kip,
        "lane_shear_kip": lane and lane.shear_kip,
        "relieving_axles_dropped": vehicle.relieving_axles_dropped,
    }


def warnings_of(vehicle) -> list[str]:
    """Sentences where a federal weight limit is exceeded; `vehicle` is the agency's row."""
    return weight_warnings(vehicle.__dict__)
