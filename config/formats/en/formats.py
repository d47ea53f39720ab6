"""Dates are typed one way only, year first, and shown with the month's name.

03/04/1950 is April to one reader and March to another, so no other order is taken.
"""

DATE_INPUT_FORMATS = ["%Y-%m-%d"]
DATETIME_INPUT_FORMATS = ["%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M", "%Y-%m-%d %H:%M:%S"]
TIME_INPUT_FORMATS = ["%H:%M", "%H:%M:%S"]
DATE_FORMAT = "j F Y"
SHORT_DATE_FORMAT = "j M Y"
MONTH_DAY_FORMAT = "j F"
YEAR_MONTH_FORMAT = "F Y"
TIME_FORMAT = "H:i"
DATETIME_FORMAT = "j F Y, H:i"
SHORT_DATETIME_FORMAT = "j M Y, H:i"
FIRST_DAY_OF_WEEK = 1
