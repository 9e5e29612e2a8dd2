"""Schemas that lie in the repository and the package are those that the code makes today."""

from pathlib import Path

import pytest

import proposal.results
from proposal.cli.schema import KINDS, schema_text

PROJECTS = Path(__file__).parents[2] / "projects"


@pytest.mark.parametrize("kind", KINDS)
def test_the_schemas_beside_the_projects_are_todays(kind):
    # mended by: proposal schema projects
    assert (PROJECTS / f"{kind}.schema.json").read_text(encoding="utf-8") == schema_text(kind)


def test_the_schema_of_the_results_ships_with_the_package():
    shipped = Path(proposal.results.__file__).parent / "results.schema.json"
    # mended by: proposal schema --kind results > proposal/results/results.schema.json
    assert shipped.read_text(encoding="utf-8") == schema_text("results")
