"""An invented neighbourhood, and synthetic stores of any size."""
