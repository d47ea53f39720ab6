"""The tables of the programs; Django looks for them here."""

from programs.models import asked_doctors as asked_doctors
from programs.models import beside as beside
from programs.models import clinic as clinic
from programs.models import database_copies as database_copies
from programs.models import phone as phone
from programs.models import plates as plates
from programs.models import press as press
from programs.models import program as program
from programs.models import program_state as program_state
from programs.models import record_check as record_check
from programs.models import rescreen as rescreen
from programs.models import rulebook_check as rulebook_check
from programs.models import seal as seal
