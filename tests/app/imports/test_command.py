"""The import command: published counts, previews, repetition, changes, holds, and nothing half-saved."""

import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from inventory.models import Agency, Event, FederalRecord, HeldChange, Posting, RecordImport, Standing, Structure
from tests.makers.record_files import record, spreadsheet_copy, write_records

pytestmark = [pytest.mark.django_db, pytest.mark.database]
NUMBERS = ["000000000091101", "000000000091102", "000000000091103"]


def run(path, *options) -> dict:
    out = StringIO()
    call_command("import_records", str(path), *options, "--json", stdout=out)
    return json.loads(out.getvalue())


def state_of_the_register() -> tuple:
    """Everything an import may write, as plain values."""
    return tuple(
        list(model.objects.order_by("pk").values())
        for model in (Agency, Structure, FederalRecord, Standing, Posting, HeldChange, RecordImport, Event)
    )


@pytest.fixture
def three(tmp_path):
    return write_records(tmp_path / "a.txt", [record(i008=number) for number in NUMBERS])


@pytest.fixture
def alaska(shared_data):
    return shared_data / "nbi/AK19-timber.txt"


class TestPublicSample:
    """Counts published beside the file: 308 records, 45 State-owned, conditions G 122, F 140, P 46, item 41 A 259,
    P 30, K 12, B 5, D 1, G 1, three blank counties, 23 county codes [checked]."""

    def test_all_of_it(self, alaska):
        report = run(alaska)
        assert (report["read"], report["new"], report["refused_rows"], report["unassigned"]) == (308, 308, 0, 3)
        assert Structure.objects.count() == 308 == FederalRecord.objects.count() == Standing.objects.count()
        assert Structure.objects.filter(owner_code="01").count() == 45
        by_class = {
            word: Standing.objects.filter(condition_class=word).count()
            for word in ("good", "fair", "poor", "not_rated")
        }
        assert by_class == {"good": 122, "fair": 140, "poor": 46, "not_rated": 0}
        assert Standing.objects.filter(restriction="posted").count() == 30
        assert Standing.objects.filter(restriction="closed").count() == 12 + 1
        assert Standing.objects.filter(restriction="open").count() == 259 + 5 + 1
        assert Posting.objects.filter(source="record", superseded_on=None).count() == 30 + 12 + 1
        assert Agency.objects.count() == 23 + 1
        assert Agency.objects.get(county_code="").structures.count() == 3

    def test_its_known_defects_are_named_and_nothing_else_is_refused(self, alaska):
        """Lines 97 (decimals typed into both coordinates), 177 and 178 (60.00 seconds); item 48 is 0 in 14 lines."""
        report = run(alaska)
        places = {(fault["line"], fault["column"]) for fault in report["refused"] if fault["item"] in ("16", "17")}
        assert places == {(97, "LAT_016"), (97, "LONG_017"), (177, "LAT_016"), (178, "LAT_016")}
        others = [fault for fault in report["refused"] if fault["item"] not in ("16", "17")]
        assert {fault["column"] for fault in others} == {"MAX_SPAN_LEN_MT_048"} and len(others) == 14
        assert all(fault["value"] == "0" and fault["reason"] for fault in others)
        assert Structure.objects.filter(lat_deg=None).count() == 3
        assert Structure.objects.filter(max_span_ft=None).count() == 14

    def test_again_and_from_a_spreadsheet_copy_nothing_changes(self, alaska, tmp_path):
        run(alaska)
        before = state_of_the_register()
        again = run(alaska)
        assert (again["new"], again["changed"], again["same"], again["held"]) == (0, 0, 308, 0)
        copied = run(spreadsheet_copy(alaska, tmp_path / "copy.csv"))
        assert (copied["new"], copied["changed"], copied["held"]) == (0, 0, 0)
        assert copied["same"] + copied["refused_rows"] == 308
        assert state_of_the_register() == before

    def test_copy_first_then_the_original_sets_numbers_right(self, alaska, tmp_path):
        copied = run(spreadsheet_copy(alaska, tmp_path / "copy.csv"))
        assert copied["new"] + copied["refused_rows"] == 308
        assert copied["notes"] and "leading zeros may be lost" in copied["notes"][0]
        run(alaska)
        numbers = {line.split(",")[1].strip() for line in alaska.read_text().splitlines()[1:]}
        assert set(Structure.objects.values_list("number", flat=True)) == numbers


def test_preview_saves_nothing(three):
    before = state_of_the_register()
    report = run(three, "--preview")
    assert report["new"] == 3 and report["preview"] is True
    assert state_of_the_register() == before
    assert run(three)["new"] == report["new"]


def test_one_agency_or_one_for_each_county(tmp_path):
    path = write_records(
        tmp_path / "a.txt",
        [record(i008=NUMBERS[0]), record(i008=NUMBERS[1], i003="013"), record(i008=NUMBERS[2], i003="")],
    )
    report = run(path, "--preview")
    assert report["agencies"] == {
        "North Dakota, county 091": 1,
        "North Dakota, county 013": 1,
        "North Dakota, county not given": 1,
    }
    run(path, "--agency", "Quill County")
    quill = Agency.objects.get()
    assert (quill.name, quill.state_code, quill.structures.count()) == ("Quill County", "38", 3)


def test_an_agency_that_has_the_codes_gets_its_lines(three):
    Agency.objects.create(name="Quill County", state_code="38", county_code="091")
    report = run(three)
    assert report["agencies"] == {"Quill County": 3} and report["new_agencies"] == []


def test_narrowing(tmp_path):
    path = write_records(
        tmp_path / "a.txt",
        [
            record(i008=NUMBERS[0]),
            record(i008=NUMBERS[1], i003="013"),
            record(i008=NUMBERS[2], i043A="3"),
            record(i008="1" * 15, i005A="2"),
            record(i008="2" * 15, i001="27", i016="44011896", i017="095472832"),
        ],
    )
    report = run(path, "--timber", "--county", "91", "--state", "38")
    assert (report["read"], report["new"], report["not_asked"], report["under_routes"]) == (5, 1, 3, 1)


def test_every_line_is_counted_once(tmp_path):
    path = write_records(
        tmp_path / "a.txt",
        [record(i008=NUMBERS[0]), record(i008=NUMBERS[0]), record(i008=""), record(i008="1" * 15, i005A="A")],
    )
    report = run(path)
    counted = ("new", "changed", "same", "held", "refused_rows", "under_routes", "not_asked")
    assert report["read"] == 4 == sum(report[name] for name in counted)
    assert [fault["line"] for fault in report["refused"]] == [3, 4]
    assert "line 2 already has" in report["refused"][0]["reason"]


def test_a_changed_line_updates_what_came_from_the_record(three, tmp_path):
    run(three)
    changed = [record(i008=NUMBERS[0], i029="120", i059="4"), *(record(i008=number) for number in NUMBERS[1:])]
    report = run(write_records(tmp_path / "b.txt", changed))
    assert (report["changed"], report["same"], report["held"]) == (1, 2, 0)
    structure = Structure.objects.get(number=NUMBERS[0])
    assert structure.adt == 120 and structure.standing.condition_class == "poor" and structure.revision == 1
    assert structure.events.filter(verb="import_records").count() == 1


def test_what_the_county_entered_is_held_not_overwritten(three, tmp_path):
    run(three)
    Structure.objects.filter(number=NUMBERS[0]).update(adt=300, hand_entered=["adt"])
    path = write_records(tmp_path / "b.txt", [record(i008=NUMBERS[0], i029="120", i028A="1")])
    report = run(path)
    assert (report["held"], report["changed"]) == (1, 0)
    assert report["held_values"] == [{"line": 2, "structure": NUMBERS[0], "field": "adt", "county": 300, "record": 120}]
    structure = Structure.objects.get(number=NUMBERS[0])
    assert structure.adt == 300 and structure.lanes == 1
    hold = HeldChange.objects.get()
    assert (hold.field, hold.county_value, hold.record_value) == ("adt", 300, 120)
    assert run(path)["same"] == 1 and HeldChange.objects.count() == 1


def test_a_surveyed_position_is_held_as_one(three, tmp_path):
    run(three)
    Structure.objects.filter(number=NUMBERS[0]).update(lon_deg=-97.5, lat_deg=47.4, hand_entered=["lon_deg", "lat_deg"])
    run(write_records(tmp_path / "b.txt", [record(i008=NUMBERS[0], i016="47280000")]))
    structure = Structure.objects.get(number=NUMBERS[0])
    assert (structure.lon_deg, structure.lat_deg) == (-97.5, 47.4)
    assert HeldChange.objects.get().field == "position"


def test_a_structure_typed_in_before_its_record_came(three):
    quill = Agency.objects.create(name="Quill County", state_code="38", county_code="091")
    Structure.objects.create(
        agency=quill, number=NUMBERS[0], road_name="Mill Rd", lanes=2, hand_entered=["number", "road_name", "lanes"]
    )
    report = run(three)
    assert (report["new"], report["held"]) == (2, 1)
    structure = Structure.objects.get(number=NUMBERS[0])
    assert structure.road_name == "Mill Rd" and structure.adt == 85 and structure.state_code == "38"
    assert HeldChange.objects.get().field == "road_name"


def test_a_file_never_opens_a_bridge(tmp_path):
    run(write_records(tmp_path / "a.txt", [record(i041="K")]))
    structure = Structure.objects.get()
    assert structure.standing.restriction == "closed"
    report = run(write_records(tmp_path / "b.txt", [record(i041="A")]))
    structure = Structure.objects.get()
    assert report["held"] == 1 and structure.standing.restriction == "closed"
    assert structure.postings.get(superseded_on=None).restriction == "closed"
    assert HeldChange.objects.get().field == "restriction"


def test_a_file_closes_a_bridge_that_only_the_record_spoke_of(tmp_path):
    run(write_records(tmp_path / "a.txt", [record(i041="P")]))
    run(write_records(tmp_path / "b.txt", [record(i041="K")]))
    structure = Structure.objects.get()
    assert structure.standing.restriction == "closed"
    assert structure.postings.get(superseded_on=None).restriction == "closed"
    assert structure.postings.count() == 2


def test_a_county_posting_is_never_replaced(tmp_path, now):
    run(write_records(tmp_path / "a.txt", [record()]))
    structure = Structure.objects.get()
    Posting.objects.create(
        structure=structure, restriction="posted", single_ton=8, source="adopted", decided_on=now.date()
    )
    Standing.objects.update(restriction="posted")
    report = run(write_records(tmp_path / "b.txt", [record(i041="K")]))
    assert report["held"] == 1
    assert structure.postings.get(superseded_on=None).single_ton == 8


def test_condition_from_the_record_stops_where_an_inspection_of_the_county_began(three, tmp_path, now):
    run(three)
    Standing.objects.filter(structure__number=NUMBERS[0]).update(
        condition_class="poor", lowest_rating=3, superstructure_rating="3", last_inspected_on=now.date()
    )
    run(write_records(tmp_path / "b.txt", [record(i008=NUMBERS[0], i059="8", i090="0526")]))
    standing = Standing.objects.get(structure__number=NUMBERS[0])
    assert (standing.condition_class, standing.lowest_rating) == ("poor", 3)


def test_another_agencys_structure_is_not_touched(three):
    run(three, "--agency", "Quill County")
    report = run(three, "--agency", "Heron County")
    assert report["refused_rows"] == 3 and "another agency" in report["refused"][0]["reason"]
    assert Structure.objects.filter(agency__name="Quill County").count() == 3


def test_lost_zeros_match_only_where_one_fits(tmp_path):
    padded = ["           0565", "000000000000565"]
    run(write_records(tmp_path / "a.txt", [record(i008=padded[0])]))
    bare = write_records(tmp_path / "b.txt", [record(i008="565", i029="99")])
    assert run(bare)["changed"] == 1
    assert Structure.objects.get().number == "0565"
    run(write_records(tmp_path / "c.txt", [record(i008=padded[1])]))
    report = run(write_records(tmp_path / "d.txt", [record(i008="565", i029="50")]))
    assert (
        report["refused_rows"] == 1 and "2 structures of the register could be meant" in report["refused"][0]["reason"]
    )


def test_nothing_half_saved(three, monkeypatch):
    """A failure at the very end undoes everything (one transaction)."""
    before = state_of_the_register()

    def fail(*args, **kwargs):
        raise RuntimeError("power cut")

    monkeypatch.setattr("inventory.actions.import_records._Writer.finish", fail)
    with pytest.raises(RuntimeError):
        run(three)
    assert state_of_the_register() == before


def test_a_file_refused_as_a_whole(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text("name,age\n")
    with pytest.raises(CommandError, match="some other table"):
        call_command("import_records", str(path))
    out = StringIO()
    with pytest.raises(SystemExit):
        call_command("import_records", str(path), "--json", stdout=out)
    assert "some other table" in json.loads(out.getvalue())["error"]


def test_bad_options_are_told(three):
    with pytest.raises(CommandError, match="no State code"):
        call_command("import_records", str(three), "--state", "ND")
    with pytest.raises(CommandError, match="no county code"):
        call_command("import_records", str(three), "--county", "Quill")


def test_plain_words(three):
    out = StringIO()
    call_command("import_records", str(three), "--preview", stdout=out)
    assert "3 lines read (preview, nothing saved)" in out.getvalue() and "new 3" in out.getvalue()


def test_queries_do_not_grow_with_rows(tmp_path, django_assert_max_num_queries):
    records = [record(i008=f"{n:015d}") for n in range(1, 401)]
    path = write_records(tmp_path / "a.txt", records)
    # Changed rows travel some twenty to a statement, as many as a statement's parameters allow.
    with django_assert_max_num_queries(40):
        run(path)
    with django_assert_max_num_queries(80):
        run(write_records(tmp_path / "b.txt", [items | {"029": "77"} for items in records]))
    assert Structure.objects.filter(adt=77).count() == 400
