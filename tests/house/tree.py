"""The files of this house, as the tests under tests/house read them."""

from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
APPS = ("inventory", "inspections", "maps")
NOT_OURS = {".git", ".venv", ".state", "__pycache__", ".pytest_cache", ".ruff_cache", ".import_linter_cache"}
NOT_OURS |= {".hypothesis", "build", "dist", ".coverage"}


def files(*suffixes: str, under: str = ".") -> list[Path]:
    """Every file of the checkout with one of the suffixes; all of them where none is given."""
    found = []
    for path in sorted((ROOT / under).rglob("*")):
        if path.is_file() and not NOT_OURS & set(path.relative_to(ROOT).parts):
            if not suffixes or path.suffix in suffixes:
                found.append(path)
    return found


def name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def text_files() -> list[Path]:
    kinds = {".py", ".html", ".txt", ".md", ".toml", ".css", ".js", ".json", ".yml", ".yaml", ".ini", ".cfg", ".svg"}
    return [path for path in files() if path.suffix in kinds or path.suffix in ("", ".lock")]
