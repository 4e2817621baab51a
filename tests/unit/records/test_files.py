"""Files: what is no record file is told so in a sentence; every published form and spreadsheet copies are read."""

import random
from datetime import date

import pytest

from inventory.records import record_file
from inventory.records.record_file import open_record_file
from inventory.records.record_source import NotARecordFile
from tests.makers.record_files import NEWER, OLDER, line_of, record, spreadsheet_copy, write_records

AS_OF = date(2026, 6, 15)


def rows_of(path):
    return list(open_record_file(path).rows(AS_OF))


@pytest.mark.parametrize("names", [NEWER, OLDER], ids=["123", "134"])
def test_both_published_forms(tmp_path, names):
    path = write_records(tmp_path / "a.txt", [record()], names=names)
    assert len(path.read_text().splitlines()[0].split(",")) in (123, 134)
    (row,) = rows_of(path)
    assert not row.faults and row.given["road_name"] == "MILL ROAD"


def test_order_and_company_do_not_matter(tmp_path):
    """Columns are found by name, whatever their order and whatever stands between them."""
    plain = rows_of(write_records(tmp_path / "a.txt", [record()]))[0]
    names = [*NEWER, "REMARK", "OUR_OWN"]
    random.Random(7).shuffle(names)
    path = write_records(tmp_path / "b.txt", [record()], names=names)
    file = open_record_file(path)
    (shuffled,) = file.rows(AS_OF)
    assert (shuffled.given, shuffled.position, shuffled.digest) == (plain.given, plain.position, plain.digest)
    assert set(file.header.ignored) == {"REMARK", "OUR_OWN"}


def test_renamed_fronts_are_found_by_the_item_number(tmp_path):
    header = [
        f"renamed_{name.rsplit('_', 1)[1]}" if name[-4:-1].isdigit() or name[-3:].isdigit() else name for name in NEWER
    ]
    (row,) = rows_of(write_records(tmp_path / "a.txt", [record()], header=header))
    assert not row.faults and row.given["length_ft"] == 32.15


def test_missing_columns_are_named(tmp_path):
    names = [name for name in NEWER if name not in ("STRUCTURE_NUMBER_008", "COUNTY_CODE_003")]
    with pytest.raises(NotARecordFile, match="STRUCTURE_NUMBER_008, COUNTY_CODE_003"):
        open_record_file(write_records(tmp_path / "a.txt", [record()], names=names))


def test_columns_that_may_be_absent_are_named_and_leave_values_alone(tmp_path):
    names = [name for name in NEWER if name != "ADT_029"]
    file = open_record_file(write_records(tmp_path / "a.txt", [record()], names=names))
    (row,) = file.rows(AS_OF)
    assert file.header.absent == ("ADT_029",) and "adt" not in row.given


def test_two_columns_for_one_item(tmp_path):
    with pytest.raises(NotARecordFile, match="Two columns stand for item 29"):
        open_record_file(write_records(tmp_path / "a.txt", [record()], names=[*NEWER, "OTHER_ADT_029"]))


def test_spreadsheet_copy_reads_like_its_original(tmp_path):
    """A copy loses leading zeros and blanks, doubles double quotes, ends lines in LF."""
    original = write_records(tmp_path / "a.txt", [record(i008="           0565", i006A='PEAT AREA "B"', i090="0818")])
    copy = spreadsheet_copy(original, tmp_path / "b.csv")
    text = copy.read_text()
    assert '"\'PEAT AREA ""B""\'"' in text and ",91," in text and "\r" not in text
    (first,), (second,) = rows_of(original), rows_of(copy)
    assert first.given == second.given and first.position == second.position and first.standing == second.standing
    assert first.number == "0565" and second.number == "565" and second.number_is_bare and not first.number_is_bare


@pytest.mark.parametrize("separator", [";", "\t"])
def test_other_separators_of_saved_copies(tmp_path, separator):
    path = tmp_path / "a.csv"
    path.write_text(separator.join(NEWER) + "\n" + line_of(record()).replace(",", separator) + "\n")
    (row,) = rows_of(path)
    assert not row.faults


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252", "latin-1", "utf-8"])
def test_encodings(tmp_path, encoding):
    (row,) = rows_of(write_records(tmp_path / "a.txt", [record(i006A="CAÑON CREEK")], encoding=encoding))
    assert row.given["feature_crossed"] == "CAÑON CREEK"


@pytest.mark.parametrize("line_end", ["\r\n", "\n", "\r"])
def test_line_ends(tmp_path, line_end):
    path = write_records(tmp_path / "a.txt", [record(), record(i008="000000000091102")], line_end=line_end)
    assert [row.line for row in rows_of(path)] == [2, 3]


def test_inner_apostrophes_do_not_join_lines(tmp_path):
    """Reported for real files: 'I-70  I-70 CD's' and '500' E OF WASHINGTON AVE' (public file printouts)."""
    records = [
        record(i006A="I-70  I-70 CD's", i009="500' E OF MILL AVE"),
        record(i008="000000000091102", i006A="O'NEIL'S DITCH"),
    ]
    first, second = rows_of(write_records(tmp_path / "a.txt", records))
    assert first.given["feature_crossed"] == "I-70  I-70 CD's" and first.given["location"] == "500' E OF MILL AVE"
    assert second.given["feature_crossed"] == "O'NEIL'S DITCH"


def test_a_comma_inside_a_text_is_refused_by_the_count(tmp_path):
    (row,) = rows_of(write_records(tmp_path / "a.txt", [record(i006A="CREEK, NORTH FORK")]))
    assert row.is_refused and "124 values" in row.faults[0].reason and row.faults[0].line == 2


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"  \r\n\r\n", "empty"),
        (b"PK\x03\x04" + b"\x00" * 400, "workbook"),
        (b"\xd0\xcf\x11\xe0" + b"\x00" * 400, "old workbook"),
        (b"%PDF-1.7 ...", "PDF"),
        (b"\x1f\x8b\x08" + b"\x00" * 40, "gzip"),
        (b"\x89PNG\r\n\x1a\n" + b"\x00" * 40, "picture"),
        (bytes(range(256)) * 20, "binary"),
        (b"<?xml version='1.0'?><FHWAELEMENT><FHWAED><STATE>01</STATE></FHWAED></FHWAELEMENT>", "element data"),
        (b"<?xml version='1.0'?><other/>", "XML"),
        (b"<!DOCTYPE html><html><body>Not found</body></html>", "web page"),
        (b'{"type": "FeatureCollection"}', "JSON"),
        (b"name,age\nA,1\n", "some other table"),
        (b"just some words without any columns", "some other table"),
        (b"a" * 200_000, "first line"),
    ],
)
def test_what_else_it_is(tmp_path, content, words):
    path = tmp_path / "a.csv"
    path.write_bytes(content)
    with pytest.raises(NotARecordFile, match=words):
        open_record_file(path)


@pytest.mark.parametrize("length", [432, 445])
def test_fixed_form_is_named(tmp_path, length):
    """Guide p. E-1 [checked]: 432 characters; the later yearly form has 445 (public format page, checked)."""
    path = tmp_path / "a.txt"
    path.write_text("388" + "000000000091101" + "1" + "4" * (length - 19) + "\n")
    with pytest.raises(NotARecordFile, match="fixed form"):
        open_record_file(path)


def test_element_sample_is_named(shared_data):
    """The public element file of the federal specification of 2014 [checked]."""
    with pytest.raises(NotARecordFile, match="element data"):
        open_record_file(shared_data / "nbi/nbe_2023_AL_sample.xml")


def test_records_without_a_header(tmp_path):
    path = tmp_path / "a.txt"
    path.write_text(line_of(record()) + "\n")
    with pytest.raises(NotARecordFile, match="holds a record, not column names"):
        open_record_file(path)


def test_missing_file(tmp_path):
    with pytest.raises(NotARecordFile, match="cannot be opened"):
        open_record_file(tmp_path / "none.txt")


def test_too_large_is_told_before_it_is_read(tmp_path):
    path = tmp_path / "big.txt"
    with path.open("wb") as out:
        out.truncate(200_000_000)
    with pytest.raises(NotARecordFile, match="200 MB and the limit is 100 MB"):
        open_record_file(path)


def test_a_row_of_400_columns(tmp_path):
    path = write_records(tmp_path / "a.txt", [record(i008="000000000091102")])
    path.write_text(path.read_text() + ",".join("1" for _ in range(400)) + "\n")
    good, bad = rows_of(path)
    assert not good.faults and bad.is_refused and "400 values" in bad.faults[0].reason


def test_a_header_of_2000_columns(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text(",".join(f"C{n}" for n in range(2000)) + "\n")
    with pytest.raises(NotARecordFile, match="2000 columns"):
        open_record_file(path)


def test_a_file_cut_off_on_its_way(tmp_path):
    path = write_records(tmp_path / "a.txt", [record(), record(i008="000000000091102")])
    path.write_bytes(path.read_bytes()[:-150])
    good, cut = rows_of(path)
    assert not good.faults and cut.is_refused and "cut off" in cut.faults[0].reason


def test_a_line_without_end_is_one_refused_line(tmp_path):
    """Memory stays bounded: a line longer than any record is passed over."""
    path = write_records(tmp_path / "a.txt", [record()])
    path.write_bytes(path.read_bytes() + b"x" * 300_000 + b"\r\n" + line_of(record(i008="1" * 15)).encode() + b"\r\n")
    first, long, last = rows_of(path)
    assert not first.faults and long.is_refused and long.line == 3 and not last.faults and last.line == 4


def test_damage_deep_inside(tmp_path):
    path = write_records(tmp_path / "a.txt", [record()])
    path.write_bytes(path.read_bytes() + line_of(record(i008="1" * 15)).encode().replace(b"MILL", b"M\x00LL") + b"\r\n")
    good, bad = rows_of(path)
    assert not good.faults and bad.is_refused and "damaged" in bad.faults[0].reason


@pytest.mark.parametrize("text", ["²", "٣", "½", "\u202e1", "=1+1", "🙂"])
def test_odd_characters_in_every_column_are_no_crash(tmp_path, text):
    items = {item: text for item in record()}
    for row in rows_of(write_records(tmp_path / "a.txt", [items], encoding="utf-8")):
        assert row.is_refused


def test_a_file_of_refusals_only_does_not_fill_the_memory(tmp_path, monkeypatch):
    """Ten refusals allowed: of a hundred lines that are none, the eleventh (line 12 of the file) ends the reading."""
    monkeypatch.setattr(record_file, "MOST_REFUSALS", 10)
    path = write_records(tmp_path / "f.txt", [record()])
    path.write_bytes(path.read_bytes().split(b"\n", 1)[0] + b"\n" + b"no record\n" * 100)
    taken = []
    with pytest.raises(NotARecordFile, match="up to line 12 cannot be taken"):
        taken.extend(open_record_file(path).rows(date(2026, 6, 15)))
    assert path.stat().st_size > 0
