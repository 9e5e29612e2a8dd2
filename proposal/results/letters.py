"""Letters by which options, and notes below a table, are told apart."""


def letter_of(number: int) -> str:
    """Letter of a place in a list, counted from nought: A, B … Z, AA."""
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
