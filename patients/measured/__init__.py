"""What was measured over time and what it means: density, bone markers, function, height."""
