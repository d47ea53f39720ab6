"""The clinician's changes to a draft, held to the limits and said in words."""
