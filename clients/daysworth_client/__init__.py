"""Ask a Daysworth store, and show its answers."""
