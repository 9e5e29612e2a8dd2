"""The codes for the battery box: the emergency card as text, and where the record lies on the web."""

from proposal.book.opening import context_of
from proposal.book.pages.emergency import EMERGENCY_CODE, RECORD_CODE
from proposal.book.pages.emergency_steps import emergency_text, record_address
from proposal.book.sentences import emergency as words
from proposal.drawings.code import square_code
from proposal.results.model import Results


def draw_codes(results: Results) -> dict[str, bytes]:
    """The codes of a record by file name; none where there is no record, one where it has no address."""
    if results.record is None:
        return {}
    book = context_of(results)
    texts = {EMERGENCY_CODE: (emergency_text(book), words.CODE_ALT)}
    address = record_address(results)
    if address:
        texts[RECORD_CODE] = (address, words.RECORD_CODE_ALT)
    return {
        name: square_code(
            text,
            prefix=name.removesuffix(".svg"),
            title=book.text(words.TITLE),
            description=book.text(alt),
            language=book.writer.language.tag,
        )
        for name, (text, alt) in texts.items()
    }
