"""The command `daysworth`. Nothing heavy is imported before it is needed.

Exit codes: 0 done, 1 refused with a clear message, 2 wrong usage.
"""

from daysworth.cli.root import main

__all__ = ["main"]
