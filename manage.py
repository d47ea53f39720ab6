#!/usr/bin/env python
"""Django's command line for Calcar."""

import os
import sys

from django.core.management import execute_from_command_line


def main() -> None:
    """Run a command; say in words what of this machine stands in its way."""
    from config.local import CannotStart

    # What is made here holds records or keys: nobody else on the machine reads it.
    os.umask(0o077)
    try:
        execute_from_command_line(sys.argv)
    except CannotStart as refusal:
        sys.exit(str(refusal))
    except Exception as error:
        if "--traceback" in sys.argv or not (words := failure_in_words(error)):
            raise
        sys.exit(words)


def failure_in_words(error: Exception) -> str:
    """Return what of this machine failed, or nothing where it is a mistake of the program."""
    from programs.machine.what_failed import cause_of_error

    return str(cause_of_error(error) or "")


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    main()
