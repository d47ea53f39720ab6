"""The dose of each kind of loading, week by week."""
