"""Phrases made sentences, and a sentence taken out of a text; all of words as they are shown."""


def capital(text: str) -> str:
    """Words as the beginning of a sentence.

    >>> capital("two feeds")
    'Two feeds'
    """
    return text[:1].upper() + text[1:]


def stopped(text: str) -> str:
    """Words with the full stop of their sentence, unless it ends already.

    >>> stopped("it is usual"), stopped("Is it?"), stopped("")
    ('it is usual.', 'Is it?', '')
    """
    return text if not text or text.endswith((".", "!", "?")) else f"{text}."


def sentence(text: str) -> str:
    """Words with a capital and a full stop.

    >>> sentence("two feeds")
    'Two feeds.'
    """
    return stopped(capital(text))


def first_sentence(text: str) -> str:
    """A text up to its first full stop.

    >>> first_sentence("A 24 V truck. It has two panels.")
    'A 24 V truck.'
    """
    head, stop, _ = text.partition(". ")
    return f"{head}." if stop else text
