"""A page as a screen reader takes it apart."""

from html.parser import HTMLParser


class Elements(HTMLParser):
    """The elements of a page, each with its attributes and the text in it."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.held: list[tuple[str, dict[str, str]]] = []
        self.words: list[str] = []
        self._open: list[int] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.held.append((tag, {name: value or "" for name, value in attrs}))
        self.words.append("")
        if tag not in {"input", "img", "meta", "link", "br"}:
            self._open.append(len(self.held) - 1)

    def handle_endtag(self, tag: str) -> None:
        del tag
        self._open.pop()

    def handle_data(self, data: str) -> None:
        for place in self._open:
            self.words[place] += data

    def names(self, *tags: str) -> list[str]:
        """What a screen reader calls each of these."""
        labels = {
            attributes["for"]: words.strip()
            for (tag, attributes), words in zip(self.held, self.words, strict=True)
            if tag == "label"
        }
        return [
            attributes.get("aria-label")
            or labels.get(attributes.get("id", ""))
            or " ".join(words.split())
            for (tag, attributes), words in zip(self.held, self.words, strict=True)
            if tag in tags
            and attributes.get("type") != "hidden"
            and attributes.get("tabindex") != "-1"
        ]
