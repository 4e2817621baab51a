"""A small invented county for tests."""

from dataclasses import dataclass, field

from django.test import Client

from inventory.models import Agency, MemberGroup, Membership, Person, Span, Standing, Structure
from inventory.vocabulary.roles import Role


@dataclass
class County:
    agency: Agency
    people: dict[str, Person] = field(default_factory=dict)

    def client(self, role: str) -> Client:
        client = Client()
        client.force_login(self.people[role])
        return client


def make_county(name: str = "Quill County", number: str = "001") -> County:
    """An agency and one person in each role, named by the role."""
    agency = Agency.objects.create(name=name, state_code="38", county_code=number)
    county = County(agency)
    for role in Role:
        person = Person.objects.create_user(f"{role.value}-{number}", password="a long pass phrase")
        Membership.objects.create(person=person, agency=agency, role=role.value)
        county.people[role.value] = person
    return county


def make_stringer_bridge(agency: Agency, number: str = "Q-1", **fields) -> Structure:
    """A one-span sawn stringer bridge that can be rated: 18 ft, ten 6 x 16 in Douglas fir stringers at 2 ft."""
    values = {
        "road_name": "Heron Road",
        "feature_crossed": "Sedge Creek",
        "system": "sawn_stringer",
        "lon_deg": -97.5,
        "lat_deg": 46.4,
        "year_built": 1994,
        "length_ft": 20.0,
        "max_span_ft": 18.0,
        "span_count": 1,
        "roadway_width_ft": 18.0,
        "deck_width_ft": 20.0,
        "lanes": 2,
        "is_bridge_length": True,
    } | fields
    structure = Structure.objects.create(agency=agency, number=number, state_code=agency.state_code, **values)
    span = Span.objects.create(
        structure=structure,
        index=1,
        length_ft=18.0,
        system="sawn_stringer",
        deck_kind="plank",
        deck_thickness_in=3.0,
        lanes_loaded=2,
    )
    MemberGroup.objects.create(
        span=span,
        role="stringer",
        count=10,
        spacing_ft=2.0,
        first_offset_ft=1.0,
        width_in=6.0,
        depth_in=16.0,
        bearing_length_in=8.0,
        product="sawn",
        species="Douglas fir-larch",
        grade="No.1",
        size_class="beams and stringers",
        fb_psi=1350,
        fv_psi=170,
        fc_perp_psi=625,
        e_psi=1_600_000,
        value_source="NDS Supplement 2018 Table 4D (second-hand copy)",
    )
    Standing.objects.create(structure=structure)
    return structure
