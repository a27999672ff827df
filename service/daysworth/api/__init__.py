"""The JSON API: routes, the schemas of what comes in and goes out, and problems in plain words."""
