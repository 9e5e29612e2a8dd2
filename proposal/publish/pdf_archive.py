"""The PDF that is kept for decades: PDF/A-3a and PDF/UA-1 in one file, with what it was made from attached."""

from __future__ import annotations

import base64
import copy
import io
import re
import warnings
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from functools import partial
from typing import IO, Any, Final, Literal

from proposal.book.blocks import Book
from proposal.frozen import frozen
from proposal.publish.labels import labels
from proposal.publish.pdf import day_of, library, memory_fetcher, type_set

_REPLACED: Final = "\ufffd"
# ISO 19005-3, 6.2.11.7.3: not without saying what they stand for, which nobody knows
_PRIVATE: Final = (*range(0xE000, 0xF900),)
# each is in vain once in 128
_MOST_TRIALS: Final = 20
_NAME: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,120}")
# By the end of the name and never by the machine's own list, so that the bytes are the same everywhere.
_MEDIA_TYPES: Final = {
    "yaml": "application/yaml",
    "json": "application/json",
    "txt": "text/plain",
    "jpg": "image/jpeg",
}
# ISO 19005-3: what a file is to the pages, source, data that they show, or a supplement to them
_RELATIONSHIPS: Final = {
    "spec": "Source",
    "entry": "Source",
    "results": "Data",
    "designations": "Supplement",
    "photo": "Supplement",
}
# ISO 19005 knows no property of PDF/UA: a file that has one says itself what it is (extension schema).
_UNIVERSAL: Final = b"""
<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/"><pdfuaid:part>1</pdfuaid:part></rdf:Description>
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/" xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of the standard for universal accessibility that the file conforms to</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
"""  # noqa: E501 - as it stands in the file


@frozen
class Attached:
    """A file that travels inside the PDF: its name without a folder, its content and what it is."""

    name: str
    data: bytes
    what: Literal["spec", "entry", "results", "designations", "photo"]


def render_archive_pdf(
    book: Book, drawings: Mapping[str, bytes], images: Mapping[str, bytes], attached: Sequence[Attached]
) -> bytes:
    """Return the book as ``render_pdf`` does, as PDF/A-3a and PDF/UA-1 at once, with ``attached`` inside it.

    Fonts and colour profile are embedded, and the metadata can be read without unpacking. Attached files are dated like
    the book and sorted by name; the same input gives the same bytes. Characters that no font here has, or that mean
    something in private only, are shown as U+FFFD: such a file may not have them. Raises as ``render_pdf`` does, and
    ``ValueError`` for two attached files of one name, or a name that is not plain or ends in no known way.
    """
    files = sorted(attached, key=lambda file: file.name)
    _prove(files)
    instead: dict[int, str] = dict.fromkeys(_PRIVATE, _REPLACED)
    while True:
        lacking: set[int] = set()
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", ResourceWarning)  # it leaves its colour profile open
            made = type_set(
                book,
                drawings,
                images,
                instead=instead,
                pdf_variant="pdf/a-3a",
                attachments=_attachments(book, files),
                finisher=partial(_finish, lacking),
            )
        if lacking <= instead.keys():
            return made
        sign = "?" if ord(_REPLACED) in lacking else _REPLACED
        instead |= dict.fromkeys(lacking, sign)
        if sign == "?":
            instead |= dict.fromkeys(instead, sign)


def _attachments(book: Book, files: Sequence[Attached]) -> list[Any]:
    weasyprint = library()
    words, day = labels(book), datetime.strptime(day_of(book.date), "%Y-%m-%d")
    fetcher = memory_fetcher(weasyprint, {f"{n}": (file.data, _media_type(file)) for n, file in enumerate(files)})
    return [
        weasyprint.Attachment(
            url=f"mem:{n}",
            url_fetcher=fetcher,
            name=file.name,
            description=words[f"attached_{file.what}"],
            created=day,
            modified=day,
            relationship=_RELATIONSHIPS[file.what],
        )
        for n, file in enumerate(files)
    ]


def _prove(files: Sequence[Attached]) -> None:
    names = [file.name for file in files]
    if twice := sorted({name for name in names if names.count(name) > 1}):
        raise ValueError(f"attached twice: {', '.join(twice)}")
    for file in files:
        if not _NAME.fullmatch(file.name) or _suffix(file) not in _MEDIA_TYPES:
            raise ValueError(f"{file.name!r} is no name of an attached file")


def _suffix(file: Attached) -> str:
    stem, _, suffix = file.name.rpartition(".")
    return suffix if stem else ""


def _media_type(file: Attached) -> str:
    return _MEDIA_TYPES[_suffix(file)]


def _finish(lacking: set[int], document: Any, pdf: Any) -> None:
    """Mend what the type-setter leaves open before the file is written, and note what no font has."""
    for font in document.fonts.values():
        lacking.update(font.missing)
    # The metadata must be legible as they stand, and say that the file is accessible as well.
    metadata = pdf.objects[int(pdf.catalog["Metadata"].split()[0])]
    metadata.compress = False
    metadata.stream = [b"\n".join(metadata.stream).replace(b"</rdf:RDF>", _UNIVERSAL + b"</rdf:RDF>", 1)]
    # It names each attached file twice.
    if "AF" in pdf.catalog:
        pdf.catalog["AF"][:] = list(dict.fromkeys(pdf.catalog["AF"]))
    for entry in pdf.objects:
        if hasattr(entry, "compress"):
            settle(entry)
    pdf.write = partial(written, pdf, pdf.write.__func__)


def settle(stream: Any) -> None:
    """Pack a stream now, and so that it does not end in a carriage return.

    That and the line feed in front of `endstream` would read as one end of line, and the stream as a byte too short
    (ISO 19005-3, 6.1.7.1). It happens to one packed stream in 256.
    """
    body = stream.data.partition(b"\nstream\n")[2].removesuffix(b"\nendstream")
    filters = [name for name in ("/FlateDecode" if stream.compress else stream.extra.get("Filter"),) if name]
    if body.endswith(b"\r"):
        body = base64.a85encode(body) + b"~>"
        if "DecodeParms" in stream.extra:
            stream.extra["DecodeParms"] = b"[null " + stream.extra["DecodeParms"].data + b"]"
        filters = ["/ASCII85Decode", *filters]
    if filters:
        stream.extra["Filter"] = filters[0] if len(filters) == 1 else f"[{' '.join(filters)}]"
    stream.stream, stream.compress = [body], False


def written(pdf: Any, write: Callable[..., None], output: IO[bytes], *options: Any) -> None:
    """Write the file; the last two streams come about while it is written, and an unused object changes their ends."""
    for _ in range(_MOST_TRIALS):
        trial = copy.copy(pdf)
        trial.objects = list(pdf.objects)
        made = io.BytesIO()
        write(trial, made, *options)
        if b"\r\nendstream" not in made.getvalue():
            break
        pdf.add_object(pdf.catalog.__class__())
    output.write(made.getvalue())
