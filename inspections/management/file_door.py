"""A command that answers files: JSON in and out, no database, and exit codes that a script can rely on."""

import json
import sys
from pathlib import Path

from django.core.management.base import BaseCommand

from inspections.reckoning.json_file import BadFile

GOOD, NOT_GOOD, BAD_FILE = 0, 1, 2


class FileDoor(BaseCommand):
    """Subclasses give the ``schema``, the ``answers`` to a file's bytes, which are good, and ``tell`` one to people."""

    requires_system_checks = ()
    requires_migrations_checks = False
    several = "answers"

    def add_arguments(self, parser):
        parser.add_argument("files", nargs="*", help="JSON files, or - for standard input")
        shape = parser.add_mutually_exclusive_group()
        shape.add_argument("--json", action="store_true", help="print JSON (as without it)")
        shape.add_argument("--brief", action="store_true", help="print a few lines for people instead of JSON")
        parser.add_argument("--schema", action="store_true", help="print the form of a file (JSON Schema) and stop")

    def handle(self, *args, files, **asked):
        if asked["schema"]:
            self.stdout.write(json.dumps(self.schema(), indent=1, ensure_ascii=False))
            return
        if not files:
            self._refuse(["Name a file, or - for standard input."])
        answers = [{"file": name} | answer for name in files for answer in self._answers(name)]
        if asked["brief"]:
            for answer in answers:
                self.tell(answer)
        else:
            whole = answers[0] if len(answers) == 1 else {self.several: answers}
            self.stdout.write(json.dumps(whole, indent=1, ensure_ascii=False, allow_nan=False))
        if not all(self.is_good(answer) for answer in answers):
            raise SystemExit(NOT_GOOD)

    def schema(self) -> dict:
        raise NotImplementedError

    def answers(self, data: bytes) -> list[dict]:
        raise NotImplementedError

    def is_good(self, answer: dict) -> bool:
        raise NotImplementedError

    def tell(self, answer: dict) -> None:
        raise NotImplementedError

    def _answers(self, name: str) -> list[dict]:
        try:
            data = sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
        except OSError as problem:
            self._refuse([f"{name}: the file cannot be read ({(problem.strerror or 'unknown').lower()})."])
        try:
            return self.answers(data)
        except BadFile as bad:
            self._refuse([f"{'standard input' if name == '-' else name}: {sentence}" for sentence in bad.sentences])

    def _refuse(self, sentences: list[str]):
        for sentence in sentences:
            self.stderr.write(sentence)
        raise SystemExit(BAD_FILE)
