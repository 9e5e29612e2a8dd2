"""The bibliography: every document has an entry, and nothing cites what is not there."""

import re
from typing import get_args

import pytest

from proposal.sources import SOURCES, Citation, Source, Status


def test_ids_are_short_unique_and_fit_for_a_file() -> None:
    assert all(re.fullmatch(r"[a-z][a-z0-9_]{1,19}", key) for key in SOURCES)
    assert all(key == source.id for key, source in SOURCES.items())


def test_no_document_stands_twice() -> None:
    titles = [source.title.casefold() for source in SOURCES.values()]
    assert len(set(titles)) == len(titles)


@pytest.mark.parametrize("source", SOURCES.values(), ids=SOURCES.keys())
def test_every_source_can_be_shown_to_a_reader(source: Source) -> None:
    assert source.title
    assert source.title == source.title.strip()
    assert "\n" not in source.title


@pytest.mark.parametrize(
    "key",
    ["cfr183", "abyc_e11", "abyc_e10", "abyc_e13", "abyc_a31", "iso13297", "iso10133", "iso23625", "nec", "nfpa1192",
     "iec60228", "astm_b258", "iec60364_4_43", "iec60364_5_52", "iec60364_5_54", "iec61660_1", "iec60949", "ul248",
     "sae_j537", "sae_j1127", "bci", "ieee485", "en62485_2", "common_practice", "memory", "arithmetic", "iec81346",
     "iec60617", "iso7200", "iso8846", "iec60947_2", "iso8820_3", "iso8820_5"],
)  # fmt: skip
def test_the_documents_the_trade_works_by_are_there(key: str) -> None:
    assert key in SOURCES


def test_a_citation_of_nothing_fails_where_it_is_written() -> None:
    with pytest.raises(KeyError, match="no source 'iec00000'"):
        Citation("iec00000", "1", "corroborated")


@pytest.mark.parametrize("status", get_args(Status))
def test_a_citation_reads_as_one_line(status: Status) -> None:
    assert str(Citation("iec60228", "Table 3", status)) == "IEC 60228, conductors of insulated cables, 2004, Table 3"
    assert str(Citation("common_practice", "", status)) == "common practice, no source"


def test_the_bibliography_cannot_be_changed_by_a_reader() -> None:
    with pytest.raises(TypeError):
        SOURCES["x"] = SOURCES["nec"]  # type: ignore[index]
