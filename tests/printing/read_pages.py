"""Read a page of HTML into its elements and its texts."""

from html.parser import HTMLParser


class Page(HTMLParser):
    """A page as read: every element with its attributes, and the text within each."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[tuple[str, str]] = []
        self._open = ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        self._open = tag

    def handle_data(self, data: str) -> None:
        if data.strip():
            self.texts.append((self._open, data))

    def all(self, *tags: str) -> list[str]:
        """Give the text of every element of some tags, in order."""
        return [text for tag, text in self.texts if tag in tags]
