"""Count pooled emergency food in days."""
