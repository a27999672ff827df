"""Draw households' days as bars: an SVG picture for a telephone and for paper, in black and grey.

The picture is 320 CSS pixels wide as it stands and scales with its view box. Its text stays text,
in the reader's own letters, so the same households give the same bytes on any machine. The
plotting library is loaded by the first picture.
"""

from collections.abc import Iterator, Sequence
from io import StringIO
from threading import Lock
from typing import TYPE_CHECKING, Final

from daysworth.printing.figures import is_short_of, tenths, whole
from daysworth.printing.plain_text import columns, fitted
from daysworth.wording.catalogue import Catalogue

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.font_manager import FontProperties

MOST_BARS: Final = 40
"""How many households are drawn, the worst off first, before the rest are only counted."""

Home = tuple[str, float | None, bool]
"""A household, its days (None: nobody in it has a need of their own), and if at least those."""

# In points, four thirds of a CSS pixel each: 240 are 320 pixels, and the text has 11 and some.
_WIDTH: Final = 240.0
_MARGIN: Final = 4.0
_LINE: Final = 14.0
_TEXT: Final = 8.5
_BASE: Final = 3.0
"""How far the foot of a text's letters is below the middle of its line."""
_BARS_FROM: Final = 74.0
_BARS_TO: Final = 206.0
_THICK: Final = 0.6
"""A bar's share of its line."""
_MOST_OF_A_NAME: Final = 13

_BELOW_FLOOR: Final = "#000000"
_FROM_FLOOR: Final = "#808080"

_LOCK: Final = Lock()
"""Matplotlib is not promised to be safe from two threads, and its settings are the process's."""


def days_bars(
    households: Sequence[Home], *, horizon_days: int, floor_days: int, words: Catalogue
) -> bytes:
    """Draw a bar for each household's days, worst first, with a line at the floor, as SVG.

    A household without a need has no bar and says so. At most `MOST_BARS` households are drawn:
    the picture says how many more there are, and `bars_left_out` says it to the caller.
    """
    import matplotlib

    ordered = sorted(households, key=lambda home: (home[1] is None, home[1] or 0.0, home[0]))
    with (
        _LOCK,
        matplotlib.rc_context(
            {
                "svg.fonttype": "none",
                "svg.hashsalt": "daysworth",
                "font.family": ["sans-serif"],
                # It comes with the library, which complains where it finds none of those named.
                "font.sans-serif": ["DejaVu Sans"],
                "text.parse_math": False,
                "text.usetex": False,
            }
        ),
    ):
        figure = _picture(ordered, horizon_days, floor_days=floor_days, words=words)
        return _as_svg(figure, title=words.say("bars-title"))


def bars_left_out(households: Sequence[Home]) -> int:
    """Count the households that `days_bars` does not draw."""
    return max(0, len(households) - MOST_BARS)


def _picture(
    ordered: Sequence[Home], horizon_days: int, *, floor_days: int, words: Catalogue
) -> "Figure":
    """Lay out the lines, top to bottom: title, the floor's label, households, notes."""
    from matplotlib.figure import Figure

    shown = ordered[:MOST_BARS]
    notes = list(_notes(ordered, horizon_days, words=words))
    lines = 2 + len(shown) + len(notes)
    figure = Figure(figsize=(_WIDTH / 72, (lines + 0.5) * _LINE / 72), dpi=72, facecolor="white")
    _write(figure, words.say("bars-title"), line=0, weight="bold")
    _draw_bars(figure, shown, floor_days=floor_days)
    _label_floor(figure, shown, floor_days=floor_days, words=words)
    for line, home in enumerate(shown, start=2):
        _label_home(figure, home, line=line, words=words)
    for line, note in enumerate(notes, start=2 + len(shown)):
        _write(figure, note, line=line)
    return figure


def _notes(ordered: Sequence[Home], horizon_days: int, *, words: Catalogue) -> Iterator[str]:
    if not ordered:
        yield words.say("bars-nobody")
    if left_out := bars_left_out(ordered):
        yield words.say("bars-more", more=left_out)
    if any(days is not None and at_least for _, days, at_least in ordered[:MOST_BARS]):
        yield words.say("bars-at-least-note", days=horizon_days)


def _draw_bars(figure: "Figure", shown: Sequence[Home], *, floor_days: int) -> None:
    """Draw the bars on axes of their own: days across, lines of the picture down."""
    if not shown:
        return
    height = _height(figure)
    bars = figure.add_axes(
        (
            _BARS_FROM / _WIDTH,
            1 - (2 + len(shown)) * _LINE / height,
            (_BARS_TO - _BARS_FROM) / _WIDTH,
            len(shown) * _LINE / height,
        )
    )
    bars.set_axis_off()
    bars.set_xlim(0, _longest(shown, floor_days=floor_days))
    bars.set_ylim(len(shown), 0)
    for number, (_, days, at_least) in enumerate(shown):
        if days is not None:
            # How far a household goes beyond the horizon is not known: it is not called short.
            is_short = is_short_of(days, floor_days) and not at_least
            color = _BELOW_FLOOR if is_short else _FROM_FLOOR
            bars.barh(number + 0.5, days, _THICK, color=color)
    # Households without a need stand last, and the line at the floor ends above their words.
    fed = sum(days is not None for _, days, _ in shown)
    if floor_days > 0 and fed > 0:
        bars.vlines(floor_days, 0, fed, colors="black", linewidths=1, linestyles="--")


def _label_floor(
    figure: "Figure", shown: Sequence[Home], *, floor_days: int, words: Catalogue
) -> None:
    if floor_days == 0 or all(days is None for _, days, _ in shown):
        return
    share = floor_days / _longest(shown, floor_days=floor_days)
    side = "left" if share < 0.5 else "right"
    across = _BARS_FROM + share * (_BARS_TO - _BARS_FROM)
    _write(figure, words.say("bars-floor", days=floor_days), line=1, across=across, side=side)


def _label_home(figure: "Figure", home: Home, *, line: int, words: Catalogue) -> None:
    name, days, at_least = home
    _write(figure, fitted(name, _MOST_OF_A_NAME), line=line, until=_BARS_FROM - _MARGIN)
    if days is None:
        _write(figure, words.say("bars-no-need"), line=line, across=_BARS_FROM)
        return
    if at_least:
        said = words.say("bars-at-least", days=whole(days))
    else:
        said = words.say("bars-days", days=tenths(days))
    _write(figure, said, line=line, across=_WIDTH - _MARGIN, side="right")


def _write(
    figure: "Figure",
    text: str,
    *,
    line: int,
    across: float = _MARGIN,
    side: str = "left",
    until: float = _WIDTH,
    weight: str = "normal",
) -> None:
    """Write a text on a line of the picture, `across` points from its left edge."""
    from matplotlib.transforms import Bbox

    height = _height(figure)
    figure.text(
        across / _WIDTH,
        1 - ((line + 0.5) * _LINE + _BASE) / height,
        text,
        size=_TEXT,
        color="black",
        ha=side,
        va="baseline",
        weight=weight,
        # Letters of some alphabets are wide: what is too long is cut off, not drawn over a bar.
        clip_on=until < _WIDTH,
        clip_box=Bbox.from_bounds(0, 0, until, height),
    )


def _longest(shown: Sequence[Home], *, floor_days: int) -> float:
    return max([floor_days, *(days for _, days, _ in shown if days is not None)]) or 1.0


def _height(figure: "Figure") -> float:
    return float(figure.get_figheight()) * 72


def _as_svg(figure: "Figure", *, title: str) -> bytes:
    from matplotlib.backends.backend_svg import RendererSVG

    class Measured(RendererSVG):
        """A renderer that measures no letters: the reader's own are used, whatever is here."""

        def get_text_width_height_descent(
            self, s: str, prop: "FontProperties", *_: object, **_how: object
        ) -> tuple[float, float, float]:
            """Guess the size of a text, in points; a measure would warn of missing letters."""
            size = prop.get_size_in_points()
            return columns(s) * size / 2, size, size / 4

    written = StringIO()
    metadata = {"Title": title, "Creator": None, "Date": None}
    renderer = Measured(_WIDTH, _height(figure), written, metadata=metadata)  # type: ignore[no-untyped-call]
    figure.draw(renderer)
    renderer.finalize()  # type: ignore[no-untyped-call]
    return written.getvalue().encode()
