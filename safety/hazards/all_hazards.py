"""All hazards, by the part of the work in which they come about."""

from __future__ import annotations

from safety.hazards.hazard import Chapter
from safety.hazards.of_reading_the_papers import OF_READING_THE_PAPERS
from safety.hazards.of_the_follow_up import OF_THE_FOLLOW_UP
from safety.hazards.of_the_papers import OF_THE_PAPERS
from safety.hazards.of_the_plan import OF_THE_PLAN
from safety.hazards.of_the_record import OF_THE_RECORD
from safety.hazards.of_the_screen import OF_THE_SCREEN
from safety.hazards.of_the_signature import OF_THE_SIGNATURE
from safety.hazards.of_what_is_known import OF_WHAT_IS_KNOWN
from safety.hazards.of_who_she_is import OF_WHO_SHE_IS

CHAPTERS = (
    Chapter(name="Who she is", hazards=OF_WHO_SHE_IS),
    Chapter(name="What is known of her", hazards=OF_WHAT_IS_KNOWN),
    Chapter(name="The safety screen", hazards=OF_THE_SCREEN),
    Chapter(name="The plan", hazards=OF_THE_PLAN),
    Chapter(name="Deciding and signing", hazards=OF_THE_SIGNATURE),
    Chapter(name="The papers", hazards=OF_THE_PAPERS + OF_READING_THE_PAPERS),
    Chapter(name="While she trains", hazards=OF_THE_FOLLOW_UP),
    Chapter(name="The record and the machine", hazards=OF_THE_RECORD),
)
HAZARDS = tuple(hazard for chapter in CHAPTERS for hazard in chapter.hazards)
