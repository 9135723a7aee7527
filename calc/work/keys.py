"""The keys of lines and checks: 'fastened_va', and with the item that tells it apart 'required_in3[sink box]'."""


def keyed(stem: str, item: str) -> str:
    """The key of a line of this stem about an item: ('required_in3', 'sink box') -> 'required_in3[sink box]'."""
    return f"{stem}[{item}]" if item else stem


def stem_and_item(key: str) -> tuple[str, str]:
    """The stem of a key and its item, '' where it has none; an item may have brackets of its own."""
    stem, _, item = key.partition("[")
    return stem, item.removesuffix("]")


def stem_of(key: str) -> str:
    """A key without its item: it is the line's entry in the words file."""
    return stem_and_item(key)[0]


def item_of(key: str) -> str:
    """The item of a key, '' where it has none."""
    return stem_and_item(key)[1]
