"""Pictures as plain rows of text."""

from chartwalk_tui.widgets.drawing import Picture


def plain_rows(picture: Picture) -> list[str]:
    """Return a picture as plain rows of text, without the spaces at their ends."""
    return ["".join(text for text, _ in row).rstrip() for row in picture]
