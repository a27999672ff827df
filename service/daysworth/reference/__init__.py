"""Published facts as data files, each row with its source."""
