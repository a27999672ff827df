"""Change the decision code, one decision at a time, and see that the tests notice.

`python -m tests.mutation` tries every mutant, `--some N` tries N of them, always the same ones.
Exit code 1 where fewer than nine in ten are caught.
"""

import argparse
import os
import random
import sys
from collections import Counter
from typing import Final

from tests.mutation.mutants import mutants_of
from tests.mutation.trial import (
    MODULES,
    ROOT,
    load_what_no_mutant_changes,
    passes_unchanged,
    source_of,
    trials,
)

SEED: Final = 1
LEAST_CAUGHT: Final = 0.9


def main() -> int:
    """Try the mutants, print those that nothing noticed, and the share that was caught."""
    asked = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    asked.add_argument("--some", type=int, metavar="N", help="try N mutants")
    asked.add_argument("modules", nargs="*", help=f"of: {', '.join(MODULES)}; all, if none")
    given = asked.parse_args()
    modules = given.modules or MODULES
    if not set(modules) <= set(MODULES):
        asked.error(f"the decision modules are: {', '.join(MODULES)}")
    os.chdir(ROOT)
    load_what_no_mutant_changes()
    if not all(passes_unchanged(module) for module in modules):
        print("the tests fail before anything is changed", file=sys.stderr)
        return 2
    chosen = [(module, one) for module in modules for one in mutants_of(source_of(module))]
    if given.some is not None and given.some < len(chosen):
        chosen = random.Random(SEED).sample(chosen, given.some)
    made, caught = Counter[str](), Counter[str]()
    for trial in trials(chosen):
        made[trial.module] += 1
        caught[trial.module] += trial.is_caught
        if not trial.is_caught:
            print(f"{trial.module}.py:{trial.mutant.line}: {trial.mutant.what}", flush=True)
    for module in made:
        print(f"{module:<16}{caught[module]:>5} of {made[module]:>4} caught")
    share = caught.total() / made.total()
    print(f"{'all':<16}{caught.total():>5} of {made.total():>4} caught, {share:.1%}")
    return 0 if share >= LEAST_CAUGHT else 1


sys.exit(main())
