"""Pages of the people, their facts and measures, files and scanners."""
