"""Makes an agency and its first administrator: manage.py make_agency "Quill County" jdoe."""

import getpass
import secrets
import sys

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from inventory.actions.make_agency import AlreadyThere, make_agency
from inventory.models import Person


class Command(BaseCommand):
    help = "Makes an agency and its first administrator. Without a terminal, a password is made and printed once."

    def add_arguments(self, parser):
        parser.add_argument("agency", help="the agency's name, in quotation marks")
        parser.add_argument("administrator", help="the administrator's sign-in name")
        parser.add_argument("--state-code", default="", help="two-digit FIPS code of the State")
        parser.add_argument("--county-code", default="", help="three-digit FIPS code of the county")
        parser.add_argument("--print-password", action="store_true", help="make a password and print it once")

    def handle(self, *args, **asked):
        printed = asked["print_password"] or not sys.stdin.isatty()
        password = secrets.token_urlsafe(15) if printed else self._typed(asked["administrator"])
        try:
            agency = make_agency(
                name=asked["agency"],
                administrator=asked["administrator"],
                password=password,
                state_code=asked["state_code"],
                county_code=asked["county_code"],
                at=timezone.now(),
            )
        except (AlreadyThere, ValidationError) as refusal:
            raise CommandError(" ".join(getattr(refusal, "messages", [str(refusal)]))) from refusal
        self.stdout.write(f"{agency} stands; {asked['administrator']} may sign in and add the others.")
        if printed:
            self.stdout.write(f"Password, shown this once: {password}")

    def _typed(self, name: str) -> str:
        for _ in range(3):
            password = getpass.getpass(f"Password for {name}: ")
            if password != getpass.getpass("The same again: "):
                self.stderr.write("The two differ; once more.")
                continue
            try:
                validate_password(password, Person(username=name))
            except ValidationError as refusal:
                self.stderr.write(" ".join(refusal.messages))
                continue
            return password
        raise CommandError("No password was set, so nothing was made: run the command again.")
