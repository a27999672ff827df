"""A page is to be read: a list of hundreds of lots shows the first and counts the rest."""

from daysworth.domain.intake import IntakeLine
from daysworth.domain.label_dates import LabelKind
from tests.grounds import SHELF, STORE_ID, box, put_up
from tests.pages.browsing import Site
from tests.pages.coordinating import signed_in


def test_a_list_of_more_lots_than_anybody_reads_counts_the_rest(quick_site: Site) -> None:
    undated = [box(1, label_kind=LabelKind.UNLABELLED, printed=None) for _ in range(203)]
    put_up(quick_site.engine, *undated, IntakeLine(place=SHELF, words="red jars", units=1))
    page = signed_in(quick_site).open(f"/stores/{STORE_ID}/summary")
    assert "Undated, not counted until somebody dates it: 203 lots" in page.text
    assert "and 193 more lots." in page.text
    assert "and 3 more lots." in page.text
    section = page.root.the("section", **{"aria-labelledby": "undated-title"})
    first, rest = section.each("tbody")
    assert len(list(first.each("tr"))) == 10
    assert len(list(rest.each("tr"))) == 190
    assert list(section.the("details").each("tbody")) == [rest]
    # To unfold, on paper where nothing can be unfolded, and at the end of what is unfolded.
    assert page.text.count("more lot") == 3
