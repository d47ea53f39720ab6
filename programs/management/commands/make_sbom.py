"""Write the list of what the product is made of anew, from the app's lock."""

from typing import Any

from django.core.management.base import BaseCommand

from programs.actions.made_of import KEPT, keep


class Command(BaseCommand):
    help = "Write the list of what Calcar is made of anew (CycloneDX), from requirements.txt."

    def handle(self, *args: Any, **options: Any) -> None:
        keep()
        self.stdout.write(f"{KEPT}: as the lock has it.")
