"""The timeline: what is seen and heard when, as plain data."""
