"""How dates and numbers are written on the pages."""
