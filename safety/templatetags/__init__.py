"""How a finding is shown."""
