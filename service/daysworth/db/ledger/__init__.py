"""Change stock, by appending entries and in no other way.

`held` finds a lot and writes the entries; the other modules say what may happen to a lot.
"""
