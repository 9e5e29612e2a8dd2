from pathlib import Path

import pytest

from proposal.errors import SpecError
from proposal.reading import read_text
from proposal.spec.project import Spec
from proposal.spec.references import complaints
from proposal.spec.versions import spec_of_today

MARRAM = Path(__file__).parents[2] / "projects" / "marram" / "spec.yaml"


def test_an_older_version_is_brought_to_today_before_anything_looks_at_it():
    older = (
        MARRAM.read_text(encoding="utf-8").replace("spec_version: 1", "spec_version: 0").replace("client:", "customer:")
    )

    def step(tree):
        tree["client"] = tree.pop("customer")
        return tree | {"spec_version": "1"}

    document = read_text(
        older, "spec.yaml", Spec, also=complaints, migrate=lambda tree: spec_of_today(tree, {"0": step})
    )
    assert document.value.client.name == "Ilse and Tomas Varnegg"


@pytest.mark.parametrize("version", ["2", "0", "one"])
def test_a_version_that_nobody_knows_is_refused_at_its_place(version):
    text = MARRAM.read_text(encoding="utf-8").replace("spec_version: 1", f"spec_version: {version}")
    with pytest.raises(SpecError) as caught:
        read_text(text, "spec.yaml", Spec, also=complaints, migrate=spec_of_today)
    (problem,) = caught.value.problems
    assert problem.line == 3
    assert "spec_version" in problem.what


@pytest.mark.parametrize("tree", ["text", ["a"], {}, {"spec_version": ["1"]}])
def test_trees_without_a_version_come_back_as_they_are(tree):
    assert spec_of_today(tree, {"1": lambda t: t}) == tree
