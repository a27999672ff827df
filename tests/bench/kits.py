"""Measure the packing of kits: 500 foods, 50 kits of five kinds, and what is proved of each aim."""

from statistics import median
from time import perf_counter, process_time
from typing import Final

from daysworth.planners.packing import plan_packing
from tests.bench.kit_store import FOODS, TAKEN_ON, kit_store, kits_asked

SEEDS: Final = range(1, 9)
TO_REACH_S: Final = 5.0


def measure() -> None:
    """Plan each store once, and print seconds, the largest program, kits made and the gaps left."""
    print(f"{FOODS} foods, 50 kits of five kinds; to reach {TO_REACH_S:g} s, with no gap left")
    print(f"{'store':>5} {'seconds':>8} {'of CPU':>7} {'lots':>6} {'columns':>8} {'kits':>5}  gaps")
    took = []
    for seed in SEEDS:
        store = kit_store(seed)
        began, began_cpu = perf_counter(), process_time()
        plan = plan_packing(store, TAKEN_ON, asked=kits_asked(store.households))
        took.append(perf_counter() - began)
        cpu = process_time() - began_cpu
        columns = max(one.columns for one in plan.stages)
        gaps = " ".join(f"{one.name} {one.gap:g}" for one in plan.stages)
        print(
            f"{seed:>5} {took[-1]:>8.2f} {cpu:>7.2f} {len(store.lots):>6} {columns:>8}"
            f" {len(plan.kits):>5}  {gaps}",
            flush=True,
        )
    print(f"median {median(took):.2f} s, longest {max(took):.2f} s")
