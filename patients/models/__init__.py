"""The tables of the patients; Django looks for them here."""

from patients.models import codes as codes
from patients.models import erasure as erasure
from patients.models import finding as finding
from patients.models import forms_sent as forms_sent
from patients.models import life as life
from patients.models import looks as looks
from patients.models import patient as patient
from patients.models import scanners as scanners
from patients.models import staff as staff
from patients.models import standing as standing
from patients.models import unfinished as unfinished
