"""What must not stand in a log: the one-use code in an address of her phone."""

import logging
import re

from programs.phone.address import PATH

_CODE = re.compile(rf"({PATH}[^/\s]{{1,20}}/)[^/\s\"']+")


class WithoutCodes(logging.Formatter):
    """Writes a line, and what failed below it, without any code."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the text that is written."""
        return _CODE.sub(r"\1...", super().format(record))
