"""What speaks against switching a system on: the reasons for which a record is sealed only as *do not energise*."""

from dataclasses import replace

from proposal.results.finding_model import is_open_danger
from proposal.results.model import OptionResult, Results
from proposal.results.record_model import Hindrance, RecordResult


def hindrance_rows(option: OptionResult, record: RecordResult) -> tuple[Hindrance, ...]:
    """Open dangers, tests of dangers that failed or are missing, and open defects that are dangers.

    A danger that somebody accepts, where it can be accepted, is no hindrance: it stays on the first page. Common
    practice, no source.
    """
    found = [Hindrance("finding", f.id, f.item) for f in option.findings if is_open_danger(f)]
    for test in record.tests:
        if test.danger and test.outcome == "fail":
            found.append(Hindrance("failed_test", test.test, test.item, test.end))
        elif test.danger and test.outcome != "pass":
            found.append(Hindrance("missing_test", test.test, test.item, test.end))
    found += [
        Hindrance("defect", defect.id, defect.item)
        for defect in record.defects
        if defect.severity == "danger" and not defect.mended_on
    ]
    return tuple(found)


def condemned(results: Results) -> Results:
    """The same results, condemned by whoever seals them, where nothing else speaks against energising."""
    record = results.record
    if record is None or record.hindrances:
        return results
    return replace(results, record=replace(record, hindrances=(Hindrance("condemned", "condemned", ""),)))
