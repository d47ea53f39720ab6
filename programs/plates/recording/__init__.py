"""A plate measured from the recording of an accelerometer: read, judged, worked out with errors."""
