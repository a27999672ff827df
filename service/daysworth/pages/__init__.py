"""Server-rendered pages: for volunteers who log, and for coordinators who read."""
