"""Everything kept of a person, to be taken away: a format of our own, a paper, and FHIR R4."""
