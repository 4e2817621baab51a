"""Federal record files of our own invention, for every fault a real one may have.

The column names are those of the public yearly files; every structure, name and number is invented.
"""

from collections.abc import Iterable, Mapping
from pathlib import Path

from inventory.vocabulary.record_1995.columns import COLUMNS, TAIL_NEWER, TAIL_OLDER

NEWER = [column.name for column in COLUMNS] + list(TAIL_NEWER)
OLDER = [column.name for column in COLUMNS] + list(TAIL_OLDER)
_QUOTED = {"FEATURES_DESC_006A", "FACILITY_CARRIED_007", "LOCATION_009"}

# One sound timber bridge in North Dakota, by item number.
SOUND = {
    "001": "38",
    "008": "000000000091101",
    "005A": "1",
    "005B": "4",
    "005C": "1",
    "005D": "00012",
    "005E": "0",
    "002": "03",
    "003": "091",
    "004": "00000",
    "006A": "HEN CREEK",
    "007": "MILL ROAD",
    "009": "2 E OF ALDER",
    "010": "99.99",
    "011": "0",
    "012": "0",
    "016": "47273060",
    "017": "097420512",
    "019": "12",
    "020": "3",
    "021": "02",
    "022": "02",
    "026": "09",
    "027": "1984",
    "028A": "2",
    "028B": "0",
    "029": "85",
    "030": "2016",
    "031": "5",
    "032": "7.3",
    "033": "0",
    "034": "0",
    "035": "0",
    "036A": "0",
    "036B": "0",
    "036C": "0",
    "036D": "0",
    "037": "5",
    "038": "0",
    "039": "0",
    "040": "0",
    "041": "A",
    "042A": "1",
    "042B": "5",
    "043A": "7",
    "043B": "01",
    "044A": "0",
    "044B": "00",
    "045": "1",
    "046": "0",
    "047": "7.3",
    "048": "9.1",
    "049": "9.8",
    "050A": "0",
    "050B": "0",
    "051": "7.3",
    "052": "7.9",
    "053": "99.99",
    "054A": "N",
    "054B": "0",
    "055A": "N",
    "055B": "0",
    "056": "0",
    "058": "7",
    "059": "6",
    "060": "7",
    "061": "7",
    "062": "N",
    "063": "2",
    "064": "36.2",
    "065": "2",
    "066": "25.4",
    "067": "6",
    "068": "5",
    "069": "N",
    "070": "5",
    "071": "7",
    "072": "8",
    "090": "818",
    "091": "24",
    "092A": "N  ",
    "092B": "N  ",
    "092C": "N  ",
    "099": " " * 15,
    "100": "0",
    "101": "N",
    "102": "2",
    "104": "0",
    "105": "0",
    "106": "0",
    "107": "8",
    "108A": "6",
    "108B": "0",
    "108C": "0",
    "109": "5",
    "110": "0",
    "112": "Y",
    "113": "8",
    "114": "110",
    "115": "2036",
}
_BY_NAME = {column.name: column.item for column in COLUMNS}


def record(**changes: str) -> dict[str, str]:
    """A sound record with some items changed: record(i016="...", i008="...")."""
    return SOUND | {name.removeprefix("i"): value for name, value in changes.items()}


def line_of(items: Mapping[str, str], names: Iterable[str] = NEWER) -> str:
    """One line of the published form: apostrophes around the three texts, apostrophes inside not doubled."""
    cells = []
    for name in names:
        value = items.get(_BY_NAME.get(name, name), "")
        cells.append(f"'{value}'" if name in _QUOTED else value)
    return ",".join(cells)


def write_records(
    path: Path,
    records: Iterable[Mapping[str, str]],
    *,
    names: list[str] = NEWER,
    header: list[str] | None = None,
    line_end: str = "\r\n",
    encoding: str = "ascii",
) -> Path:
    """Write a file of the published form; `header` renames the columns without moving them."""
    lines = [",".join(header or names), *(line_of(items, names) for items in records)]
    path.write_bytes((line_end.join(lines) + line_end).encode(encoding))
    return path


def spreadsheet_copy(original: Path, copy: Path) -> Path:
    """What a spreadsheet makes of a file opened and saved: numbers lose zeros and padding, texts with commas or double
    quotes are wrapped in double quotes with those inside doubled, the apostrophes stay, lines end in LF."""
    rows = original.read_text("latin-1").splitlines()
    out = [rows[0]]
    for row in rows[1:]:
        out.append(",".join(_as_spreadsheet(cell) for cell in row.split(",")))
    copy.write_text("\n".join(out) + "\n", "latin-1", newline="")
    return copy


def _as_spreadsheet(cell: str) -> str:
    text = cell.strip()
    if text.replace(".", "", 1).isdigit():
        return f"{float(text):.10g}" if "." in text else (str(int(text)) if len(text) <= 15 else f"{float(text):.5E}")
    if '"' in cell:
        return '"' + cell.replace('"', '""') + '"'
    return cell


def repeated(sample: Path, target: Path, count: int) -> Path:
    """`count` lines made of a sample file's lines over and over, each under a new structure number."""
    header, *lines = sample.read_bytes().splitlines(keepends=True)
    with target.open("wb") as out:
        out.write(header)
        for number in range(count):
            cells = lines[number % len(lines)].split(b",")
            cells[1] = b"%015d" % (number + 1)
            out.write(b",".join(cells))
    return target
