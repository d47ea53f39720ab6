"""All that writes patients, what was measured and answered, scanners and files."""
