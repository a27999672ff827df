"""Tell whether the prices of a solved program fall apart into parts that do not meet."""

from collections.abc import Iterable
from typing import Final

import numpy as np
from numpy.typing import NDArray

_NO_PRICE: Final = 1e-11


def falls_apart(
    aims: Iterable[int],
    *,
    duals: NDArray[np.float64],
    starts: NDArray[np.int32],
    columns: NDArray[np.int32],
    is_free: NDArray[np.bool_],
) -> bool:
    """Tell whether no two of the columns aimed at are joined through rows that have a price.

    Two rows with a price are joined where a free column stands in both. The matrix is row by row:
    row `r` holds the entries from `starts[r]` to `starts[r + 1]`. Where a program maximises the sum
    of the columns aimed at and they are not joined, its duals are proofs for each of them alone:
    each is as high as it can be whatever becomes of the others.
    """
    priced = np.flatnonzero(np.abs(duals) > _NO_PRICE)
    root = list(range(len(is_free)))

    def find(column: int) -> int:
        while root[column] != column:
            root[column] = root[root[column]]
            column = root[column]
        return column

    for row in priced.tolist():
        here = columns[starts[row] : starts[row + 1]]
        first, *rest = here[is_free[here]].tolist() or [-1]
        for column in rest:
            root[find(column)] = find(first)
    parts = [find(column) for column in aims]
    return len(set(parts)) == len(parts)
