"""Changes to try: everything may stay empty; what is refused is said beside its field and stays as typed."""

import re

from django import forms

from inspections.rules.trials import (
    ASPHALT_PCF,
    CHOICES,
    RANGES,
    WOODS,
    Changes,
    damage_of,
    standard_vehicles,
    wood_fields,
)
from inventory.rules.axle_trains import read_axles, read_spacings

from .decisions import PlainForm
from .numbers import NumberField, WholeNumberField

METHOD_WORDS = {"ASR": "Allowable stress", "LRFR": "Load and resistance factors"}
DISTRIBUTION_WORDS = {"rules": "By the rules of the specifications", "refined": "Refined: the deck as a plate"}
EVERY_DAMAGED = ("*", "Every damaged member")
NUMBERS = re.compile(r"[,;\s]+")


def _number(name: str, label: str) -> NumberField:
    low, high, unit = RANGES[name]
    return NumberField(label=label, unit=unit, low=low, high=high)


def _size(label: str, low: float = 0.0, high: float = 240.0) -> NumberField:
    return NumberField(label=label, unit="in", low=low, high=high)


def _choice(label: str, choices=(), asked: str = "Choose one of the list.") -> forms.ChoiceField:
    return forms.ChoiceField(label=label, required=False, choices=choices, error_messages={"invalid_choice": asked})


def _text(label: str) -> forms.CharField:
    return forms.CharField(label=label, required=False, max_length=400)


def _listed(name: str, words: dict[str, str] | None = None) -> list[tuple[str, str]]:
    """Choices of a field, each in words; none is the first."""
    found = [(value, (words or {}).get(value, value.replace("_", " "))) for value in CHOICES[name]]
    return [("", "none" if name.startswith("damage") else "as it is"), *found]


class TrialForm(PlainForm):
    """`spans` and `members` are the labels of the rated cases, `vehicles` (key, words) of the county's own."""

    span = _choice("Span")
    mill_in = _number("mill_in", "Milled off")
    overlay_in = _number("overlay_in", "Laid on top")
    overlay_pcf = _number("overlay_pcf", "Unit weight of the new layer")
    pressure_psi = _number("pressure_psi", "Least local pressure")
    bar_force_lb = _number("bar_force_lb", "Or force in every bar")
    bars_lost = _text("Bars lost, by number")
    member = _choice("Member")
    sound_again = forms.BooleanField(label="Replaced: sound again", required=False)
    member_width_in = _number("member_width_in", "Another width")
    member_depth_in = _number("member_depth_in", "Another depth")
    wood = _choice("Another wood")
    damage_kind = _choice("Damage added", _listed("damage_kind"))
    damage_from_ft = NumberField(label="From the first bearing", unit="ft", low=0, high=400)
    damage_to_ft = NumberField(label="To", unit="ft", low=0, high=400)
    damage_face = _choice("On the face", _listed("damage_face"))
    damage_depth_in = _size("Depth lost")
    damage_width_in = _size("Width of a void")
    damage_height_in = _size("Height of a void")
    damage_offset_in = _size("Its centre above mid-depth (below: minus)", low=-120.0, high=120.0)
    damage_count = WholeNumberField(label="Laminations lost", low=0, high=200)
    vehicle = _choice("Vehicle on record")
    axles_kip = _text("Or axle weights, kip, front to rear")
    spacings_ft = _text("Spacings between them, ft")
    vehicle_posts = forms.BooleanField(label="Count the typed vehicle in the posting", required=False)
    lanes_loaded = WholeNumberField(label="Lanes loaded", low=1, high=8)
    distribution = _choice("Distribution of wheel loads", _listed("distribution", DISTRIBUTION_WORDS))
    posting_method = _choice("Method that posts", _listed("posting_method", METHOD_WORDS))

    SURFACING = ("mill_in", "overlay_in", "overlay_pcf")
    BARS = ("pressure_psi", "bar_force_lb", "bars_lost")
    MEMBER = ("member", "sound_again", "member_width_in", "member_depth_in", "wood")
    DAMAGE = tuple(f"damage_{name}" for name in ("kind", "from_ft", "to_ft", "face", "depth_in", "width_in",
                                                  "height_in", "offset_in", "count"))  # fmt: skip
    VEHICLE = ("vehicle", "axles_kip", "spacings_ft", "vehicle_posts")
    SETTINGS = ("lanes_loaded", "distribution", "posting_method")

    def __init__(self, *args, spans: list[str], members: list[str], vehicles: list[tuple[str, str]], **more):
        super().__init__(*args, **more)
        self.fields["span"].choices = [("", "every span"), *((label, f"Span {label}") for label in spans)]
        self.fields["member"].choices = [("", "none"), EVERY_DAMAGED, *((label, label) for label in members)]
        self.fields["vehicle"].choices = [("", "none"), *vehicles, *standard_vehicles()]
        self.fields["wood"].choices = [("", "as it is"), *((key, value.title) for key, value in WOODS.items())]

    @property
    def groups(self) -> list[tuple[str, list]]:
        """Fields by what they are about, for the page."""
        titles = (
            ("Surfacing", self.SURFACING),
            ("Bars", self.BARS),
            ("A member replaced", self.MEMBER),
            ("Damage to the member chosen above", self.DAMAGE),
            ("Another vehicle", self.VEHICLE),
            ("How it is rated", self.SETTINGS),
        )
        return [(title, [self[name] for name in names]) for title, names in titles]

    def clean(self) -> dict:
        given = super().clean()
        given["numbers"] = self._bar_numbers(given.get("bars_lost") or "")
        axles, gaps = [], []
        if given.get("axles_kip"):
            axles, fault = read_axles(given["axles_kip"])
            if fault:
                self.add_error("axles_kip", fault)
            gaps, fault = read_spacings(given.get("spacings_ft") or "", len(axles))
            if fault:
                self.add_error("spacings_ft", fault)
        elif given.get("spacings_ft"):
            self.add_error("axles_kip", "Spacings were typed without axle weights; write the weights too.")
        given["axles"], given["gaps"] = axles, gaps
        if given.get("damage_kind") and None in (given.get("damage_from_ft"), given.get("damage_to_ft")):
            if "damage_from_ft" not in self.errors and "damage_to_ft" not in self.errors:
                self.add_error("damage_from_ft", "Say where the damage begins and ends along the span.")
        return given

    def _bar_numbers(self, text: str) -> tuple[int, ...]:
        words = [word for word in NUMBERS.split(text.strip()) if word]
        wrong = next((word for word in words if not word.isdecimal() or len(word) > 4), None)
        if wrong is not None:
            self.add_error("bars_lost", f"“{wrong[:20]}” is not the number of a bar; write numbers such as 3, 4.")
            return ()
        return tuple(dict.fromkeys(int(word) for word in words))

    def changes(self) -> Changes:
        """What was asked, as the trial takes it."""
        given = self.cleaned_data
        straight = ("span", "pressure_psi", "bar_force_lb", "member", "sound_again", "member_width_in",
                    "member_depth_in", "vehicle", "vehicle_posts", "lanes_loaded", "distribution",
                    "posting_method")  # fmt: skip
        return Changes(
            **{name: given[name] for name in straight},
            mill_in=given["mill_in"] or 0.0,
            overlay_in=given["overlay_in"] or 0.0,
            overlay_pcf=ASPHALT_PCF if given["overlay_pcf"] is None else given["overlay_pcf"],
            bars_lost=given["numbers"],
            damage=self._damage(given),
            axles_kip=tuple(given["axles"]),
            spacings_ft=tuple((least, most) for least, most in given["gaps"]),
            **wood_fields(given["wood"]),
        )

    def _damage(self, given: dict):
        if not given["damage_kind"]:
            return None
        sizes = {name: given[f"damage_{name}"] or 0.0 for name in ("depth_in", "width_in", "height_in", "offset_in")}
        return damage_of(
            kind=given["damage_kind"],
            from_ft=given["damage_from_ft"],
            to_ft=given["damage_to_ft"],
            face=given["damage_face"],
            count=given["damage_count"] or 0,
            **sizes,
        )
