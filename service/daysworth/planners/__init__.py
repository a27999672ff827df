"""The questions: pure functions of a snapshot, a date and options."""
