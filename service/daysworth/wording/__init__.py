"""What pages and papers say, in one catalogue, and how dates are written where the store is."""
