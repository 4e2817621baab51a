"""A command that answers files: JSON in and out, no database, and exit codes that a script can rely on."""

import json
import sys
from abc import ABC, abstractmethod
from collections.abc import Callable
from pathlib import Path

from django.core.management.base import BaseCommand

from inspections.reckoning.json_file import BadFile

GOOD, NOT_GOOD, BAD_FILE = 0, 1, 2


class FileCommand(BaseCommand):
    """Reads files named on the command line, or standard input; what cannot be read ends with its faults."""

    requires_system_checks = ()
    requires_migrations_checks = False

    def from_file(self, name: str, read: Callable[[bytes], object]):
        """What ``read`` makes of a file's bytes; leaves with BAD_FILE where it cannot be read."""
        try:
            data = sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
        except OSError as problem:
            self.refuse([f"{name}: the file cannot be read ({(problem.strerror or 'unknown').lower()})."])
        try:
            return read(data)
        except BadFile as bad:
            self.refuse([f"{'standard input' if name == '-' else name}: {sentence}" for sentence in bad.sentences])

    def refuse(self, sentences: list[str]):
        for sentence in sentences:
            self.stderr.write(sentence)
        raise SystemExit(BAD_FILE)


class FileDoor(FileCommand, ABC):
    """Answers files. Subclasses give the form of a file, the answers to one, which are good, and how to tell one."""

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
            self.refuse(["Name a file, or - for standard input."])
        answers = [{"file": name} | answer for name in files for answer in self.from_file(name, self.answers)]
        if asked["brief"]:
            for answer in answers:
                self.tell(answer)
        else:
            whole = answers[0] if len(answers) == 1 else {self.several: answers}
            self.stdout.write(json.dumps(whole, indent=1, ensure_ascii=False, allow_nan=False))
        if not all(self.is_good(answer) for answer in answers):
            raise SystemExit(NOT_GOOD)

    @abstractmethod
    def schema(self) -> dict:
        """The form of a file, as JSON Schema."""

    @abstractmethod
    def answers(self, data: bytes) -> list[dict]:
        """The answers to a file's bytes; ``BadFile`` with a sentence for each fault."""

    @abstractmethod
    def is_good(self, answer: dict) -> bool:
        """Whether a script may go on with this answer."""

    @abstractmethod
    def tell(self, answer: dict) -> None:
        """Write one answer as a few lines for people."""
