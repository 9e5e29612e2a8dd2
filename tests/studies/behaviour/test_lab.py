"""What a laboratory lends to one machine stays as it was for the next."""

from pathlib import Path

import numpy as np

from proposal.codes.chosen import chosen_family
from proposal.parts.catalogue import Catalogue
from proposal.results.evaluate import evaluate
from proposal.spec.loading import load_project
from proposal.spec.overlay import effective
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.lab import Lab

PROJECT = Path(__file__).parents[3] / "projects" / "marram"


def test_a_machine_without_sun_leaves_the_sun_to_the_next():
    project = load_project(PROJECT)
    spec, installer = project.spec.value, project.installer.value
    laid = effective(spec, installer, "shared")
    circuit = evaluate(project, {}, "a test").circuits["shared"]
    lab = Lab(laid, circuit, chosen_family(laid, installer), Catalogue.of(project.prices.value, spec.parts), 1)
    before = lab.ordinary_sun.copy()
    assert before.max() > 100.0
    lab.silence(lab.ordinary(lab.coarse, 0, 1))
    assert np.array_equal(lab.ordinary_sun, before)
    assert lab.ordinary(lab.coarse, 0, 1).arrays[c.M_SUN].max() > 100.0
