"""The measures page, part by part, as data for the template."""
