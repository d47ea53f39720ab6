"""FHIR R4: one Bundle of what has a place there, made from the export's document."""
