"""Why something about the machine or a copy of the database was not done."""


class NotPossible(Exception):
    """Nothing was changed; the text tells the reader why and what to do."""
