"""The shapes of what comes in and goes out, with a bound on everything that comes in."""
