"""Tables of measurements in and out of files; nothing is taken by guess."""
